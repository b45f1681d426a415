"""What the timing of hands and of arms has in common: where its facts go, and how many grips one load takes."""

from dataclasses import dataclass

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.part import Operation
from millhand.trace import Sheet, apply, found


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """One concept being timed, and the sheet that its facts are written into."""

    sheet: Sheet
    inquiry: Inquiry
    concept: Concept
    catalogue: Catalogue

    def id(self, name: str) -> str:
        """The fact id of one figure of this concept's timing."""
        return f"concepts.{self.concept.id}.timing.{name}"

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A computed fact of this concept's timing."""
        return apply(self.sheet, formula, self.id(name), **inputs)

    def none(self, name: str) -> Fact:
        """A phase that this process does not have: the sum of no elements."""
        return self.apply("attendant_work_s", name, elements_s=())


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
