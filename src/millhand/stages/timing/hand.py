"""How long one load takes an operator: from the elements of today's work, and what a change by hand makes of them.

Each effect of a change is a function here that takes the times before and gives the times after.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from millhand.model.catalogue import HandChange, share_of_steps
from millhand.model.fact import Fact
from millhand.model.part import ManualElement, Operation
from millhand.model.timing import OperationTiming
from millhand.stages.timing.shared import Line, Scope, parts_of, run_of
from millhand.trace import found


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The times of one load at one operation, as far as the changes have been worked in.

    `process` is all of the machine's run; `bound` the share of it in which the operator's hands are held.
    """

    operation: str
    process: Fact
    bound: Fact | None
    outside: Fact
    inside: Fact
    parts: Fact


def change_of(scope: Scope) -> HandChange | None:
    """The change by hand that the concept is; None for today."""
    changes: tuple[HandChange, ...] = scope.catalogue.hand_changes
    return next((change for change in changes if change.id == scope.concept.change), None)


def effects_of(scope: Scope) -> Mapping[str, Fact]:
    """What the concept changes by hand; nothing for today."""
    change = change_of(scope)
    return change.effects if change is not None else {}


def walks(scope: Scope, places: tuple[str, ...]) -> dict[str, Fact]:
    """The operator's walk between machines, and between them and the rack, which is presenter and outfeed in one."""
    effects, walk, tended = effects_of(scope), scope.inquiry.today.walk_s, scope.inquiry.people.machines_per_operator
    if "walk" in effects:
        walk = scope.apply("changed_time_s", "walk", time_s=walk, factor=effects["walk"])
    if "machines_per_operator" in effects:
        factor = effects["machines_per_operator"]
        tended = scope.apply("machines_a_head", "machines_a_head", machines_per_operator=tended, factor=factor)
    near = scope.apply("rack_walk_s", "rack_walk", walk_s=walk, machines_per_operator=tended)
    pairs = [(a, b) for a in places for b in places if a != b and {a, b} != {"presenter", "outfeed"}]
    return {f"{a} {b}": walk if a.startswith("machine_") and b.startswith("machine_") else near for a, b in pairs}


def process_of(scope: Scope, operation: Operation, outside: Fact) -> Fact:
    """The machine's time of one load: as given, or floor to floor less today's outside work, with its own stops."""
    cycle = operation.time_s
    if operation.time_is.value == "floor_to_floor":
        if operation.cycles_per_visit is not None:  # the outside work of a visit, shared over its cycles
            alone = {"load_s": outside, "parts_per_load": operation.cycles_per_visit}
            outside = scope.apply("time_a_part_s", f"{operation.name}.outside_a_cycle", **alone)
        cycle = scope.apply("cutting_time_s", f"{operation.name}.process", floor_to_floor_s=cycle, outside_s=outside)
    return run_of(scope, operation, cycle)


def elements_of(scope: Scope, operation: Operation, side: str, name: str) -> Fact:
    """All manual elements of one side on one load of an operation, with allowance."""
    elements = [each for each in scope.inquiry.today.elements if each.side.value == side and is_at(each, operation)]
    return scope.apply(
        "element_sum_s",
        f"{operation.name}.{name}",
        times_s=tuple(element.time_s for element in elements),
        every_n=tuple(element.every_n for element in elements),
        allowances=tuple(allowance_of(scope, element) for element in elements),
    )


def is_at(element: ManualElement, operation: Operation) -> bool:
    """Whether an element is done at an operation: at the one that it names, or at each."""
    return element.operation in (None, operation.name)


def allowance_of(scope: Scope, element: ManualElement) -> Fact:
    """The allowance of one element: its own, or that of the people."""
    return element.allowance or scope.inquiry.people.allowance


def load_by_hand(scope: Scope, operation: Operation) -> Load:
    """One load as today, then what the change by hand makes of it."""
    outside = elements_of(scope, operation, "outside", "outside_by_hand")
    load = Load(
        operation=operation.name,
        process=process_of(scope, operation, outside),
        bound=operation.hands_bound,
        outside=outside,
        inside=elements_of(scope, operation, "inside", "inside_by_hand"),
        parts=parts_of(scope, operation),
    )
    return with_factors(scope, moved_inside(scope, filled(scope, load), operation))


def filled(scope: Scope, load: Load) -> Load:
    """So many times as many parts in one load, and so all its times; the other effects then say what that saves."""
    times = effects_of(scope).get("parts_per_load")
    if times is None:
        return load

    def longer(name: str, time: Fact) -> Fact:
        return scope.apply("changed_time_s", f"{load.operation}.{name}_of_several", time_s=time, factor=times)

    parts = scope.apply("parts_in_load", f"{load.operation}.parts_per_load", parts_per_load=load.parts, times=times)
    return replace(
        load, process=longer("process", load.process), outside=longer("outside", load.outside),
        inside=longer("inside", load.inside), parts=parts,
    )  # fmt: skip


def moved_inside(scope: Scope, load: Load, operation: Operation) -> Load:
    """Steps that need no standing machine, done while it runs: taken from the work outside, put to the work inside."""
    change = change_of(scope)
    if change is None or "moved" not in change.effects:
        return load
    elements = [each for each in scope.inquiry.today.elements if is_at(each, operation)]
    able = [each for each in elements if moving_share(each, change) > 0.0]
    moved = scope.apply(
        "moved_inside_s",
        f"{load.operation}.moved",
        times_s=tuple(each.time_s for each in able),
        every_n=tuple(each.every_n for each in able),
        allowances=tuple(allowance_of(scope, each) for each in able),
        step_shares=tuple(_step_share(scope, each, change) for each in able),
        moved_share=change.effects["moved"],
    )
    outside = scope.apply("time_left_s", f"{load.operation}.outside", time_s=load.outside, less_s=moved)
    inside = scope.apply("attendant_work_s", f"{load.operation}.inside", elements_s=(load.inside, moved))
    return replace(load, outside=outside, inside=inside)


def moving_share(element: ManualElement, change: HandChange) -> float:
    """Which share of an element is done outside and could be inside: all of it at a bench, else by its name."""
    if element.side.value != "outside":
        return 0.0
    return 1.0 if element.place == "bench" else share_of_steps(element.name, change.steps)


def _step_share(scope: Scope, element: ManualElement, change: HandChange) -> Fact:
    """The same as a fact."""
    return found(
        scope.sheet,
        Fact(
            id=scope.id(f"{element.name}.step_share"), value=moving_share(element, change), unit="1", basis="computed",
            source=f"follows from the steps that the element is named by, {element.time_s.source}",
        ),
    )  # fmt: skip


def with_factors(scope: Scope, load: Load) -> Load:
    """Times that the change multiplies by a factor."""
    effects, name = effects_of(scope), load.operation

    def times(effect: str, fact_name: str, time: Fact) -> Fact:
        if effect not in effects:
            return time
        return scope.apply("changed_time_s", f"{name}.{fact_name}", time_s=time, factor=effects[effect])

    return replace(
        load,
        process=times("process", "process_changed", load.process),
        outside=times("outside", "outside", load.outside),
        inside=times("inside", "inside", load.inside),
    )


def by_hand(scope: Scope, line: Line, index: int) -> OperationTiming:
    """An operator: one exchange with everything outside in it, then the inside work at the rack or bench."""
    load = load_by_hand(scope, line.operations[index])
    name, outside, inside, bound = load.operation, load.outside, load.inside, bound_of(scope, load)
    here = line.places(index)[0]
    step = line.travel[f"{line.places(index - 1)[0] if index else 'presenter'} {here}"]
    back = (line.travel[f"{here} presenter"],) if index == len(line.operations) - 1 else ()
    away = scope.apply("attendant_work_s", f"{name}.travel", elements_s=(step, *back))
    exchange, free = outside, load.process
    if bound is not None:
        exchange = scope.apply("attendant_work_s", f"{name}.exchange", elements_s=(outside, bound))
        free = scope.apply("time_left_s", f"{name}.free_run", time_s=load.process, less_s=bound)
    return OperationTiming(
        operation=name,
        process=free.id,
        lead=scope.none(f"{name}.lead").id,
        exchange=exchange.id,
        tail=scope.none(f"{name}.tail").id,
        gap=scope.apply("attendant_work_s", f"{name}.gap", elements_s=(outside,)).id,
        other=inside.id,
        travel=away.id,
        work=scope.apply("attendant_work_s", f"{name}.work", elements_s=(exchange, inside, away)).id,
        parts_per_load=load.parts.id,
        bound=bound.id if bound is not None else None,
        run=load.process.id if bound is not None else None,
    )


def bound_of(scope: Scope, load: Load) -> Fact | None:
    """Time of the run in which the operator's hands are held; None where nothing holds them."""
    if load.bound is None or load.bound.value <= 0.0:
        return None
    bound = scope.apply("hands_bound_s", f"{load.operation}.bound", run_s=load.process, bound_share=load.bound)
    factor = effects_of(scope).get("bound")
    if factor is None:
        return bound
    return scope.apply("changed_time_s", f"{load.operation}.bound_changed", time_s=bound, factor=factor)
