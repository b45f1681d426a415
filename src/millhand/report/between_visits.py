"""What an operator meets beside a machine's cycle: how long it needs nobody, what holds hands, what must not wait."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from millhand.formulas import REGISTER
from millhand.model.fact import Fact
from millhand.model.part import Operation
from millhand.model.study import Study

BOUND = "hands_bound_s"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a table: its words, the fact behind its figure, and the format of that."""

    operation: str  # '' where there is one alone
    words: str
    fact: str
    form: str


def lines(study: Study, facts: Mapping[str, Fact]) -> tuple[Line, ...]:
    """What was said or assumed of each operation beside its time, and what follows; nothing where nothing was."""
    operations = study.inquiry.parts[0].operations
    found = [line for operation in operations for line in lines_of(operation, several=len(operations) > 1)]
    return tuple(line for line in found if line.fact in facts)


def lines_of(operation: Operation, *, several: bool) -> Iterator[Line]:
    """The lines of one operation, with its name before them where there are several."""
    timing, name = f"concepts.today.timing.{operation.name}", operation.name if several else ""

    def line(words: str, fact: str, form: str) -> Line:
        return Line(operation=name, words=words, fact=fact, form=form)

    if operation.cycles_per_visit is not None:
        yield line("cycles from one visit to the next", operation.cycles_per_visit.id, "count")
        yield line("parts of them", f"{timing}.parts_alone", "parts")
        yield line("the machine needs nobody for", f"{timing}.run", "minutes")
    if operation.bar is not None:
        yield line("in it the change from bar to bar", f"{timing}.bar_changes", "seconds")
    if operation.dressing is not None:
        yield line("the machine's own stop, shared over a load", f"{timing}.dressing", "seconds")
    if operation.hands_bound is not None and operation.hands_bound.value > 0.0:
        yield line("share of the cycle that holds the hands", operation.hands_bound.id, "percent")
        yield line("the hands are held for", f"{timing}.bound", "seconds")
    if operation.take_out_within_s is not None:
        yield line("a finished part may stay for", operation.take_out_within_s.id, "seconds")
        yield line("taken out in time", "concepts.today.performance.in_time", "percent")


def caution(found: tuple[Line, ...]) -> str:
    """What stands beside hands that are held; nothing where none are."""
    return REGISTER[BOUND].caution if any(line.fact.endswith(".bound") for line in found) else ""
