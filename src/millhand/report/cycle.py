"""The cycle of a cell element by element: what the machine stands for, what the arm does besides, and the sums."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.model.performance import MachineWait
from millhand.model.study import Result, Study
from millhand.model.timing import Element, OperationTiming
from millhand.report.comparison import living, looked_at, result_of

CAUTION = (
    "Worked out from the arm's links, the usual time of each handling step and the shop's own doors and clamping. "
    "Before anything was tried, what a machine stands for is worth its figure within a fifth up or down, and so is the "
    "arm's work: read them to the second, plan with that band, and time the first trial."
)

NOT_ADVISED = "This is not what is advised: it is the best of the cells that can work."


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """One operation's elements and sums; figures are fact ids."""

    operation: str  # "" where the part has one alone
    standing: tuple[Element, ...]
    alone: tuple[Element, ...]
    times: OperationTiming  # the sums
    wait: MachineWait | None = None  # how long its machines wait to be served; None where nothing was simulated


def cell_of(study: Study) -> Result | None:
    """The cell that a reader looks at closely: the winner, or the best of those that can work."""
    order = [study.decision.winner, *(row.concept for row in living(study))]
    found = (result_of(study, name) for name in order)
    return next((each for each in found if each and each.concept.kind == "cell" and each.cell), None)


def others(study: Study) -> tuple[Result, ...]:
    """The further cells that a report shows in full."""
    first = cell_of(study)
    return tuple(
        each for each in looked_at(study)
        if each.concept.kind == "cell" and each.cell and each is not first and any(cycles(each))
    )  # fmt: skip


def cycles(result: Result) -> Iterator[Cycle]:
    """The operations of a concept that an arm tends, in their order."""
    timed = result.timing.operations if result.timing else ()
    waits = {each.operation: each for each in result.performance.waits} if result.performance else {}
    for each in timed:
        if each.elements:
            made = cycle(each, each.operation if len(timed) > 1 else "")
            yield replace(made, wait=waits.get(each.operation))


def cycle(timed: OperationTiming, name: str) -> Cycle:
    """One operation."""
    return Cycle(
        operation=name,
        standing=tuple(each for each in timed.elements if each.side == "machine stands"),
        alone=tuple(each for each in timed.elements if each.side == "arm alone"),
        times=timed,
    )
