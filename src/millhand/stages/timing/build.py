"""How long one load takes attendant and machine, by hand or by an arm: from elements or from exchange figures."""

from collections.abc import Mapping

from millhand.model.catalogue import Catalogue, HandChange
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.machine import Machine
from millhand.model.part import Operation
from millhand.model.timing import OperationTiming, Timing
from millhand.stages.timing.arm import arm_travel, arm_visit
from millhand.stages.timing.shared import Line, Scope, refused
from millhand.trace import Sheet


def timing(inquiry: Inquiry, concept: Concept, layout: Layout, catalogue: Catalogue, sheet: Sheet) -> Timing:
    """Every phase of a load for each operation of the first part family, and the travel between the places."""
    refused(inquiry)
    part = inquiry.parts[0]
    scope = Scope(sheet=sheet, inquiry=inquiry, concept=concept, catalogue=catalogue)
    places = layout_places(inquiry)
    cell = concept.kind == "cell"
    travel = arm_travel(scope, layout, places) if cell else _walks(scope, places)
    line = Line(
        inquiry=inquiry,
        operations=part.operations,
        machines=tuple(machine_of(inquiry, operation) for operation in part.operations),
        travel=travel,
    )
    timed = _by_arm if cell else _by_hand
    operations = tuple(timed(scope, line, index) for index in range(len(part.operations)))
    return Timing(
        concept=concept.id,
        part=part.name,
        operations=operations,
        places=places,
        travel={pair: fact.id for pair, fact in travel.items()},
    )


def layout_places(inquiry: Inquiry) -> tuple[str, ...]:
    """The places of a cell: presenter, one for each machine in the inquiry's order, outfeed, home."""
    count = sum(round(machine.count.value) for machine in inquiry.machines)
    return ("presenter", *(f"machine_{number}" for number in range(1, count + 1)), "outfeed", "home")


def machine_of(inquiry: Inquiry, operation: Operation) -> Machine:
    """The machine that an operation names (intake has checked that it is there)."""
    return next(machine for machine in inquiry.machines if machine.name == operation.machine)


def _effects(scope: Scope) -> Mapping[str, Fact]:
    """What the concept changes by hand, as factors; nothing for today."""
    changes: tuple[HandChange, ...] = scope.catalogue.hand_changes
    return next((change.effects for change in changes if change.id == scope.concept.change), {})


def _walks(scope: Scope, places: tuple[str, ...]) -> dict[str, Fact]:
    """The operator's walk between machines, and between them and the rack, which is presenter and outfeed in one."""
    effects, walk, tended = _effects(scope), scope.inquiry.today.walk_s, scope.inquiry.people.machines_per_operator
    if "walk" in effects:
        walk = scope.apply("changed_time_s", "walk", time_s=walk, factor=effects["walk"])
    if "machines_per_operator" in effects:
        factor = effects["machines_per_operator"]
        tended = scope.apply("machines_a_head", "machines_a_head", machines_per_operator=tended, factor=factor)
    near = scope.apply("rack_walk_s", "rack_walk", walk_s=walk, machines_per_operator=tended)
    pairs = [(a, b) for a in places for b in places if a != b and {a, b} != {"presenter", "outfeed"}]
    return {f"{a} {b}": walk if a.startswith("machine_") and b.startswith("machine_") else near for a, b in pairs}


def _process(scope: Scope, operation: Operation, outside: Fact) -> Fact:
    """Machining time of one load: as given, or floor to floor less today's outside work."""
    if operation.time_is.value == "floor_to_floor":
        return scope.apply(
            "cutting_time_s", f"{operation.name}.process", floor_to_floor_s=operation.time_s, outside_s=outside
        )
    return operation.time_s


def _elements(scope: Scope, operation: Operation, side: str, name: str) -> Fact:
    """All manual elements of one side on one load, with allowance."""
    elements = [element for element in scope.inquiry.today.elements if element.side.value == side]
    return scope.apply(
        "element_sum_s",
        f"{operation.name}.{name}",
        times_s=tuple(element.time_s for element in elements),
        every_n=tuple(element.every_n for element in elements),
        allowances=tuple(element.allowance or scope.inquiry.people.allowance for element in elements),
    )


def _by_hand(scope: Scope, line: Line, index: int) -> OperationTiming:
    """An operator: one exchange with everything outside in it, then the inside work at the rack or bench."""
    operation, effects = line.operations[index], _effects(scope)
    name, outside = operation.name, _elements(scope, operation, "outside", "outside_by_hand")
    inside = _elements(scope, operation, "inside", "inside_by_hand")
    process = _process(scope, operation, outside)
    if "outside" in effects:
        outside = scope.apply("changed_time_s", f"{name}.outside", time_s=outside, factor=effects["outside"])
    if "inside" in effects:
        inside = scope.apply("changed_time_s", f"{name}.inside", time_s=inside, factor=effects["inside"])
    if "process" in effects:
        process = scope.apply("changed_time_s", f"{name}.process_changed", time_s=process, factor=effects["process"])
    here = line.places(index)[0]
    step = line.travel[f"{line.places(index - 1)[0] if index else 'presenter'} {here}"]
    back = (line.travel[f"{here} presenter"],) if index == len(line.operations) - 1 else ()
    away = scope.apply("attendant_work_s", f"{name}.travel", elements_s=(step, *back))
    return OperationTiming(
        operation=name,
        process=process.id,
        lead=scope.none(f"{name}.lead").id,
        exchange=outside.id,
        tail=scope.none(f"{name}.tail").id,
        gap=scope.apply("attendant_work_s", f"{name}.gap", elements_s=(outside,)).id,
        other=inside.id,
        travel=away.id,
        work=scope.apply("attendant_work_s", f"{name}.work", elements_s=(outside, inside, away)).id,
        parts_per_load=operation.parts_per_cycle.id,
    )


def _by_arm(scope: Scope, line: Line, index: int) -> OperationTiming:
    """An arm: the machine's own phases, the exchange by gripper, picking and placing at presenter and outfeed."""
    operation = line.operations[index]
    outside = _elements(scope, operation, "outside", "outside_by_hand")
    return arm_visit(scope, line, index, _process(scope, operation, outside))
