"""How long one load takes attendant and machine, by hand or by an arm: from elements or from exchange figures."""

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.machine import Machine
from millhand.model.part import Operation
from millhand.model.timing import OperationTiming, Timing
from millhand.stages.timing.arm import arm_visit
from millhand.stages.timing.hand import by_hand, elements_of, process_of, walks
from millhand.stages.timing.moves import arm_travel
from millhand.stages.timing.shared import Line, Scope
from millhand.trace import Sheet


def timing(inquiry: Inquiry, concept: Concept, layout: Layout, catalogue: Catalogue, sheet: Sheet) -> Timing:
    """Every phase of a load for each operation of the first part family, and the travel between the places."""
    part = inquiry.parts[0]
    scope = Scope(sheet=sheet, inquiry=inquiry, concept=concept, catalogue=catalogue, layout=layout)
    places = layout_places(inquiry, concept)
    cell = concept.kind == "cell"
    travel = arm_travel(scope, places) if cell else walks(scope, places)
    line = Line(
        inquiry=inquiry,
        operations=part.operations,
        machines=tuple(machine_of(inquiry, operation) for operation in part.operations),
        travel=travel,
    )
    timed = _by_arm if cell else by_hand
    operations = tuple(timed(scope, line, index) for index in range(len(part.operations)))
    return Timing(
        concept=concept.id,
        part=part.name,
        operations=operations,
        places=places,
        travel={pair: fact.id for pair, fact in travel.items()},
    )


def layout_places(inquiry: Inquiry, concept: Concept) -> tuple[str, ...]:
    """The places of a cell: presenter, one for each machine in the inquiry's order, outfeed, home; two arms on a track
    have each a place where they wait."""
    count = sum(round(machine.count.value) for machine in inquiry.machines)
    homes = ("home",) if concept.sharing is None else ("parking_1", "parking_2")
    return ("presenter", *(f"machine_{number}" for number in range(1, count + 1)), "outfeed", *homes)


def machine_of(inquiry: Inquiry, operation: Operation) -> Machine:
    """The machine that an operation names (intake has checked that it is there)."""
    return next(machine for machine in inquiry.machines if machine.name == operation.machine)


def _by_arm(scope: Scope, line: Line, index: int) -> OperationTiming:
    """An arm: the machine's own phases, the exchange by gripper, picking and placing at presenter and outfeed."""
    operation = line.operations[index]
    outside = elements_of(scope, operation, "outside", "outside_by_hand")
    return arm_visit(scope, line, index, process_of(scope, operation, outside))
