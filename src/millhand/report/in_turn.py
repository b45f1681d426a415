"""What the phases of a lot come to beside their mean, for each concept: times of a load, and who sets the pace."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.phases import Phases
from millhand.model.study import Study
from millhand.report.comparison import in_sight, living, result_of


@dataclass(frozen=True, slots=True, kw_only=True)
class InTurn:
    """One concept with the phases of its lots."""

    concept: str
    title: str
    phases: Phases


def rows(study: Study) -> Iterator[InTurn]:
    """The concepts in sight whose lots go through the same machines several times, by place."""
    shown = in_sight(study)
    for row in living(study):
        result = result_of(study, row.concept) if row.concept in shown else None
        if result is not None and result.performance is not None and result.performance.phases is not None:
            yield InTurn(concept=row.concept, title=row.title, phases=result.performance.phases)
