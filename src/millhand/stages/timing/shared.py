"""What the timing of hands and of arms has in common: where its facts go, and how many grips one load takes."""

from collections.abc import Mapping
from dataclasses import dataclass

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.machine import Machine
from millhand.model.part import Operation
from millhand.trace import Sheet, apply, found


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """One concept being timed, and the sheet that its facts are written into."""

    sheet: Sheet
    inquiry: Inquiry
    concept: Concept
    catalogue: Catalogue
    layout: Layout

    def id(self, name: str) -> str:
        """The fact id of one figure of this concept's timing."""
        return f"concepts.{self.concept.id}.timing.{name}"

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A computed fact of this concept's timing."""
        return apply(self.sheet, formula, self.id(name), **inputs)

    def none(self, name: str) -> Fact:
        """A phase that this process does not have: the sum of no elements."""
        return self.apply("attendant_work_s", name, elements_s=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """The operations of one part in their order, the kind of machine of each, and the ways between all places."""

    inquiry: Inquiry
    operations: tuple[Operation, ...]
    machines: tuple[Machine, ...]
    travel: Mapping[str, Fact]

    def places(self, index: int) -> tuple[str, ...]:
        """The places of the alike machines that do one operation."""
        first = 1
        for machine in self.inquiry.machines:
            if machine.name == self.machines[index].name:
                break
            first += round(machine.count.value)
        return tuple(f"machine_{first + each}" for each in range(round(self.machines[index].count.value)))

    def before(self, index: int) -> tuple[str, ...]:
        """Where the part of an operation comes from; a mould fills itself, and the arm comes from the outfeed."""
        if index > 0:
            return self.places(index - 1)
        return ("outfeed",) if self.machines[0].kind.value == "moulding" else ("presenter",)

    def after(self, index: int) -> tuple[str, ...]:
        """Where it goes."""
        return self.places(index + 1) if index + 1 < len(self.operations) else ("outfeed",)


def parts_of(scope: Scope, operation: Operation) -> Fact:
    """Parts from one visit to the next: of one machine cycle, or of all that the machine makes alone. Of a part that
    comes again, what finished parts they stand for."""
    if operation.passes is not None:
        return scope.apply(
            "finished_in_pieces", f"{operation.name}.finished_in_load",
            pieces=operation.parts_per_cycle, passes=operation.passes,
        )  # fmt: skip
    if operation.cycles_per_visit is None:
        return operation.parts_per_cycle
    return scope.apply(
        "parts_in_load", f"{operation.name}.parts_alone",
        parts_per_load=operation.parts_per_cycle, times=operation.cycles_per_visit,
    )  # fmt: skip


def run_of(scope: Scope, operation: Operation, cycle: Fact) -> Fact:
    """The machine's time from one visit to the next: its cycles, and what it stops for by itself."""
    stops = own_stops(scope, operation)
    if operation.cycles_per_visit is None and not stops:
        return cycle
    cycles = {"cycles": operation.cycles_per_visit} if operation.cycles_per_visit is not None else {}
    return scope.apply("self_fed_run_s", f"{operation.name}.run", cycle_s=cycle, own_stops_s=stops, **cycles)


def own_stops(scope: Scope, operation: Operation) -> tuple[Fact, ...]:
    """Dressing or spraying, spread over the parts, and the change from bar to bar."""
    found = []
    if operation.dressing is not None:
        found.append(
            scope.apply(
                "own_stop_s", f"{operation.name}.dressing",
                takes_s=operation.dressing.takes_s, times=parts_of(scope, operation),
                every=operation.dressing.every_parts,
            )
        )  # fmt: skip
    if operation.bar is not None:
        change, bars = operation.bar.change_s, operation.bar.bars
        found.append(scope.apply("own_stop_s", f"{operation.name}.bar_changes", takes_s=change, times=bars))
    return tuple(found)


def grips_of(scope: Scope, operation: Operation) -> Fact:
    """Exchanges one after the other in one load: one a part, but a moulding machine's shot is taken in one grip."""
    machine = next(machine for machine in scope.inquiry.machines if machine.name == operation.machine)
    if machine.kind.value != "moulding":
        return operation.parts_per_cycle
    return _count(scope, f"{operation.name}.grips", 1.0, machine.kind.source)


def vises_of(scope: Scope, operation: Operation) -> Fact:
    """Two where first and second side sit in two vises and are exchanged in one opening, else one."""
    count = 2.0 if operation.sides.value == "two_vises" else 1.0
    return _count(scope, f"{operation.name}.vises", count, operation.sides.source)


def _count(scope: Scope, name: str, value: float, source: str) -> Fact:
    """A count that follows from a word of the inquiry."""
    return found(
        scope.sheet, Fact(id=scope.id(name), value=value, unit="1", basis="computed", source=f"follows from {source}")
    )
