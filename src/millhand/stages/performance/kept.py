"""Which of today's manual work people still do beside a cell: nothing is credited that merely moves elsewhere.

Loading goes to the arm. Fetching and putting away become the refill, a duty of the cell. Gauging, deburring and packing
stay in full, at the bench where the machine stood for them; of what the cell does with the part besides loading a share
stays. What its name does not tell is counted by a share.
"""

from collections.abc import Sequence
from typing import Literal

from millhand.model.catalogue import AT_THE_MACHINE
from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.part import ManualElement
from millhand.stages.performance.shared import Scope

Fate = Literal["stays", "refill", "arm", "unsaid"]
STAYS = ("gaug", "measur", "deburr", "inspect", "look", "check", "pack", "mark", "wash", "set_up")
MOVES = ("fetch", "put_away", "carry", "bring", "stack")


def fate(element: ManualElement, *, moulding: bool) -> Fate:
    """What becomes of one element; at a mould no refill goes by parts, so what moves them is not told by its name."""
    name = f"_{element.name}"
    if any(f"_{stem}" in name for stem in STAYS):
        return "stays"
    if element.side.value == "outside":
        elsewhere = element.every_n.value > 1.0 or element.place == "bench"
        return "stays" if elsewhere else "arm"
    moves = any(f"_{stem}" in name for stem in MOVES)
    return "refill" if moves and not moulding else "unsaid"


def kept(scope: Scope) -> Fact:
    """Time of a part that people still work on it: all that stays, and the usual share of what is not told."""
    unsaid = scope.apply(
        "changed_time_s",
        "inside_unsaid_s",
        time_s=_elements(scope, "unsaid"),
        factor=scope.figures["inside_kept_share"],
    )
    left = (*(_left(scope, work) for work in scope.concept.works), *filled_beside(scope))
    return scope.apply("attendant_work_s", "inside_s", elements_s=(_elements(scope, "stays"), unsaid, *left))


def filled_beside(scope: Scope) -> tuple[Fact, ...]:
    """Laying parts into a trolley that is not docked: work beside the cell, which holds no arm up."""
    presenter = scope.concept.presenter
    docks = presenter is not None and "exchange_s" in presenter.figures
    return (scope.figures["refill_part_s"],) if docks else ()


def taken_over(element: ManualElement, work: Component) -> bool:
    """Whether a work of the arm is all that an element is: each of its steps by its name, and none at the machine.

    An element that joins two pieces of work is not taken over: told apart, one of them may be.
    """
    stems = tuple(f"_{stem}" for stem in work.words["takes"].split(", "))
    steps = [f"_{step}" for step in element.name.split("_and_")]
    at_machine = any(set(step.split("_")) & set(AT_THE_MACHINE) for step in steps)
    return not at_machine and all(any(stem in step for stem in stems) for step in steps)


def _left(scope: Scope, work: Component) -> Fact:
    """What people still do of the work that the arm takes over."""
    chosen = [each for each in scope.inquiry.today.elements if taken_over(each, work)]
    whole = _sum(scope, work.id, chosen)
    return scope.apply("changed_time_s", f"{work.id}_left_s", time_s=whole, factor=work.figures["left_to_people_share"])


def _elements(scope: Scope, wanted: Fate) -> Fact:
    """Today's elements of one fate on one part over all operations, with allowance; without what the arm takes over."""
    moulding = any(machine.kind.value == "moulding" for machine in scope.machines)
    works = scope.concept.works
    chosen = [
        each for each in scope.inquiry.today.elements
        if fate(each, moulding=moulding) == wanted and not any(taken_over(each, work) for work in works)
    ]  # fmt: skip
    return _sum(scope, wanted, chosen)


def _sum(scope: Scope, wanted: str, chosen: Sequence[ManualElement]) -> Fact:
    """Some of today's elements on one part over all operations, with allowance."""
    own = any(element.operation for element in chosen)
    parts = tuple(
        _of_operation(
            scope, f"{operation.name}.{wanted}" if own else wanted,
            [each for each in chosen if each.operation in (None, operation.name)],
        )
        for operation in scope.operations
    )  # fmt: skip
    return scope.apply("attendant_work_s", f"{wanted}_part_s", elements_s=parts)


def _of_operation(scope: Scope, name: str, chosen: Sequence[ManualElement]) -> Fact:
    """Some elements at one operation, a part."""
    once = scope.apply(
        "element_sum_s", f"{name}_load_s",
        times_s=tuple(element.time_s for element in chosen), every_n=tuple(element.every_n for element in chosen),
        allowances=tuple(element.allowance or scope.inquiry.people.allowance for element in chosen),
    )  # fmt: skip
    return scope.apply("time_a_part_s", f"{name}_operation_s", load_s=once, parts_per_load=scope.parts_per_load)
