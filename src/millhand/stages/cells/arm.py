"""The cell of a concept with an arm: presenter, machines, outfeed, the arm, and a person who looks after it."""

from dataclasses import replace
from typing import Literal

from millhand.model.cell import Attendant, Cell, CellPart, Dispatch, MoveTable, Place, Step
from millhand.model.concept import Concept
from millhand.model.duty import Duty, Trigger
from millhand.model.fact import Fact
from millhand.model.handling import Handling, Miss, Visit
from millhand.model.station import Station
from millhand.model.timing import OperationTiming
from millhand.stages.cells.hand import operation_step
from millhand.stages.cells.shared import (
    Draft,
    calendar,
    loads_between,
    machine_station,
    manned,
    open_intervals,
    served,
    shift_intervals,
    stations_of,
)
from millhand.trace import apply

DAY_S = 86_400.0
Holds = Literal["station", "arm", "nothing"]


def arm_cell(draft: Draft, concept: Concept, pockets: str) -> Cell:
    """One arm with one or two hands. A cell's part is one machine load; a mould as presenter never runs out."""
    machines = served(draft)
    moulding = concept.presenter is not None and concept.presenter.id == "from_mould"
    per_load = draft.of(draft.timing.operations[0].parts_per_load).value
    capacity = None if moulding else loads_between(draft.of(pockets).value, per_load)
    stations = {
        "presenter": Station(
            kind="supply",
            place="presenter",
            capacity=capacity,
            start=capacity or 0,
            refill=None if moulding else "refill",
        ),
        **{
            name: machine_station(draft, name, machine, "open", fills_itself=moulding)
            for name, machine in machines.items()
        },
        "outfeed": Station(kind="sink", place="outfeed", capacity=None),
    }
    hands = 1 if concept.gripper is None else round(concept.gripper.figures["hands"].value)
    # Whoever tends takes breaks when nothing calls: the cell is never left for a whole break.
    shifts = [piece for shift in manned(draft.inquiry) for piece in shift_intervals(shift, with_breaks=False)]
    return Cell(
        name=f"{draft.inquiry.name}: {concept.title}",
        places={name: Place() for name in ("presenter", *machines, "outfeed", "home", "aisle")},
        calendars={
            "manned": calendar(shifts, "finish_duty"),
            "open": calendar(open_intervals(draft.inquiry), "finish_load"),
        },
        stations=stations,
        attendants={
            "arm1": Attendant(kind="arm", hands=1 if moulding else hands, home="home", moves_full="arm"),
            "tender": Attendant(kind="operator", hands=1, home="aisle", moves_full="stand", calendar="manned"),
        },
        moves={"arm": _table(draft, tuple(machines)), "stand": MoveTable(places=("aisle",), empty_s=((0.0,),))},
        handling=_handling(draft, concept, double=hands == 2 and not moulding, moulding=moulding),
        parts={draft.timing.part: _route(draft)},
        duties=_duties(draft, concept, pockets, capacity),
        dispatch={"arm1": Dispatch(rule="first_to_finish" if hands == 2 else "longest_waiting")},
        origins=draft.origins,
    )


def _table(draft: Draft, machines: tuple[str, ...]) -> MoveTable:
    """Travel of the arm, empty as loaded; a pair that the layout has no distance for is one spot."""
    places = ("presenter", *machines, "outfeed", "home")
    rows = []
    for i, a in enumerate(places):
        row = []
        for j, b in enumerate(places):
            fact_id = draft.timing.travel.get(f"{a} {b}")
            if fact_id is not None:
                draft.note(f"/moves/arm/empty_s/{i}/{j}", draft.of(fact_id))
            row.append(draft.of(fact_id).value if fact_id is not None else 0.0)
        rows.append(tuple(row))
    return MoveTable(places=places, empty_s=tuple(rows))


def _handling(draft: Draft, concept: Concept, *, double: bool, moulding: bool) -> tuple[Handling, ...]:
    """Presenter with mis-picks, each operation's machines, outfeed."""
    assert concept.presenter is not None
    assert concept.outfeed is not None
    rows: list[Handling] = []
    if not moulding:
        pick = draft.seconds("/handling/0/pick/hold_s", concept.presenter.figures["pick_s"])
        rows.append(Handling(who=("arm1",), at=("presenter",), pick=Visit(hold_s=pick), miss=_miss(draft, concept, 0)))
    for operation in draft.timing.operations:
        rows.append(_visit(draft, concept, operation, len(rows), double=double, moulding=moulding))
    place = concept.outfeed.figures.get("place_s") or concept.presenter.figures["place_s"]
    hold = draft.seconds(f"/handling/{len(rows)}/place/hold_s", place)
    rows.append(Handling(who=("arm1",), at=("outfeed",), place=Visit(hold_s=hold)))
    return tuple(rows)


def _miss(draft: Draft, concept: Concept, row: int) -> Miss:
    """A fault that needs a person, on the whole exchange of one load, counted at the pick."""
    assert concept.presenter is not None
    shares = [draft.figures["fault_share_per_part"]]
    if "fault_share" in concept.presenter.figures:
        shares.append(concept.presenter.figures["fault_share"])
    fact = apply(
        draft.sheet,
        "load_fault_share",
        f"concepts.{concept.id}.cells.fault_share",
        fault_shares=tuple(shares),
        parts=draft.of(draft.timing.operations[0].parts_per_load),
    )
    draft.note(f"/handling/{row}/miss/p", fact)
    return Miss(p=fact.value, retries=0, duty="arm_fault")


def _visit(
    draft: Draft, concept: Concept, operation: OperationTiming, row: int, *, double: bool, moulding: bool
) -> Handling:
    """The arm at a machine: a swap with two hands, a pick and a later place with one, a pick alone at a mould."""
    at, where = stations_of(draft, operation), f"/handling/{row}"
    lead, tail, exchange = (draft.of(name) for name in (operation.lead, operation.tail, operation.exchange))

    def visit(phase: str, share: float, *, opens: bool, closes: bool) -> Visit:
        pointer = f"{where}/{phase}"
        spans = {
            "lead_s": draft.seconds(f"{pointer}/lead_s", lead, 1.0 if opens else 0.0),
            "hold_s": draft.seconds(f"{pointer}/hold_s", exchange, share),
            "tail_s": draft.seconds(f"{pointer}/tail_s", tail, 1.0 if closes else 0.0),
        }
        return Visit(lead_on="finish" if opens else "arrival", **spans)

    if moulding:
        pick = visit("pick", 1.0, opens=True, closes=True)
        return Handling(who=("arm1",), at=at, pick=pick, miss=_miss(draft, concept, row))
    return Handling(
        who=("arm1",),
        at=at,
        pick=visit("pick", 0.5, opens=True, closes=False),
        place=visit("place", 0.5, opens=False, closes=True),
        swap=visit("swap", 1.0, opens=True, closes=True) if double else None,
    )


def _route(draft: Draft) -> CellPart:
    """Presenter, the operations in order, outfeed."""
    steps = [Step(at=("presenter",))]
    for number, operation in enumerate(draft.timing.operations, start=1):
        steps.append(operation_step(draft, operation, number))
    return CellPart(route=(*steps, Step(at=("outfeed",))))


def _duties(draft: Draft, concept: Concept, pockets: str, capacity: int | None) -> dict[str, Duty]:
    """Faults of the arm, machine stops, tools, chips, refill; inside work at the bench never holds the cell up."""
    stop = next(iter(served(draft).values())).stops.short_takes_s
    figures, fault, wear = draft.figures, Trigger(kind="fault"), Trigger(kind="wear")
    duties = {
        "arm_fault": _call(draft, "arm_fault", fault, figures["clear_s"], "arm"),
        "clear": _call(draft, "clear", fault, stop, "station"),
        "tools": _call(draft, "tools", wear, figures["tool_change_s"], "station"),
        "chips": _call(draft, "chips", wear, figures["chips_empty_s"], "station"),
    }
    if capacity is not None:
        duties["refill"] = _refill(draft, concept, pockets, capacity)
    if draft.inquiry.wishes.unattended_s.value > 0.0:
        duties |= _evening(draft, duties)
    return duties


def _evening(draft: Draft, duties: dict[str, Duty]) -> dict[str, Duty]:
    """Before a run alone, people change the tools in use and empty the chip boxes, in time for the last refill."""
    last = max(shift.start_s.value + shift.length_s.value for shift in manned(draft.inquiry))
    work = sum(duties[name].takes.mean_s for name in ("tools", "chips")) * len(served(draft))
    refill = duties["refill"].takes.mean_s if "refill" in duties else 0.0
    clock = Trigger(kind="clock", at_s=(_before_end(last, work + refill),))
    return {name: replace(duties[name], also=clock) for name in ("tools", "chips")}


def _call(draft: Draft, name: str, trigger: Trigger, takes: Fact, holds: Holds) -> Duty:
    """A duty that the tender is called to, who comes after the usual response."""
    return Duty(
        trigger=trigger,
        who=("tender",),
        priority=1 if trigger.kind == "fault" else 2,
        place="aisle",
        holds=holds,
        response_s=draft.seconds(f"/duties/{name}/response_s", draft.figures["response_s"]),
        takes=draft.seconds(f"/duties/{name}/takes", takes),
    )


def _refill(draft: Draft, concept: Concept, pockets: str, capacity: int) -> Duty:
    """At a level of the stock, and before the people leave, so that the hours alone begin full."""
    level = draft.figures["refill_level_share"]
    parts = apply(
        draft.sheet,
        "refill_parts",
        f"concepts.{concept.id}.cells.refill_parts",
        pockets=draft.sheet[pockets],
        share=level,
    )
    visit = apply(
        draft.sheet,
        "refill_visit_s",
        f"concepts.{concept.id}.cells.refill_visit",
        walk_s=draft.figures["refill_visit_s"],
        part_s=draft.figures["refill_part_s"],
        parts=parts,
    )
    ends = sorted(
        {_before_end(shift.start_s.value + shift.length_s.value, visit.value) for shift in manned(draft.inquiry)}
    )
    return Duty(
        trigger=Trigger(kind="level", at=("presenter",), below=max(1, int(capacity * level.value))),
        also=Trigger(kind="clock", at_s=tuple(ends)),
        who=("tender",),
        priority=3,
        place="aisle",
        response_s=draft.seconds("/duties/refill/response_s", draft.figures["response_s"]),
        takes=draft.seconds("/duties/refill/takes", visit),
        restores={"presenter": "full"},
    )


def _before_end(end_s: float, visit_s: float) -> float:
    """Time of day, in whole minutes, at which the last refill of a shift is called."""
    return float(int((end_s - visit_s - 900.0) // 60.0 * 60.0) % int(DAY_S))
