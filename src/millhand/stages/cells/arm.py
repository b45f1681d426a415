"""The cell of a concept with an arm, or two: presenter, machines, outfeed, and a person who looks after it."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

from millhand.model.cell import Attendant, Cell, CellPart, Dispatch, MoveTable, Place, Step, Zone
from millhand.model.concept import Concept
from millhand.model.duty import Duty, Trigger
from millhand.model.fact import Fact
from millhand.model.handling import Handling, Miss, Visit
from millhand.model.layout import Layout
from millhand.model.safeguarding import AT_MACHINES
from millhand.model.station import Station
from millhand.model.timing import OperationTiming
from millhand.stages.cells.arms import Arms, arms_of
from millhand.stages.cells.hand import operation_step
from millhand.stages.cells.people_away import after, hours_lost
from millhand.stages.cells.shared import (
    WEEK_S,
    Draft,
    calendar,
    clear_name,
    day_lengths_s,
    fills_itself,
    kinds,
    last_shift,
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


def arm_cell(draft: Draft, concept: Concept, layout: Layout) -> Cell:
    """One arm with one or two hands, or two arms on a track.

    A cell's part is one machine load; a mould as presenter never runs out.
    """
    machines, pockets = served(draft), layout.pockets
    moulding = fills_itself(machines[stations_of(draft, draft.timing.operations[0])[0]])
    capacity = loads_between(draft.of(pockets).value, draft.of(draft.timing.operations[0].parts_per_load).value)
    stations = {
        "presenter": _presenter(None if moulding else capacity),
        **{name: machine_station(draft, name, machine, "open") for name, machine in machines.items()},
        "outfeed": _outfeed(capacity if moulding else None),
    }
    arms = arms_of(draft, concept, layout, machines)
    # Whoever tends takes breaks when nothing calls: the cell is never left for a whole break.
    shifts = [piece for shift in manned(draft.inquiry) for piece in shift_intervals(shift, pauses=())]
    duties = _duties(draft, concept, pockets, moulding=moulding)
    return Cell(
        name=f"{draft.inquiry.name}: {concept.title}",
        places={**arms.places, "aisle": Place()},
        tracks=arms.tracks,
        calendars={
            "manned": calendar(shifts, "finish_duty"),
            "open": calendar(open_intervals(draft.inquiry), "finish_load"),
        },
        stations=stations,
        attendants={
            **arms.attendants,
            "tender": Attendant(kind="operator", hands=1, home="aisle", moves_full="stand", calendar="manned"),
        },
        moves={**arms.moves, "stand": MoveTable(places=("aisle",), empty_s=((0.0,),))},
        handling=_handling(draft, concept, arms, moulding=moulding),
        parts={draft.timing.part: _route(draft)},
        duties=hours_lost(draft, "tender", 1, manned(draft.inquiry), "aisle") | after(duties),
        zones=_zones(concept, duties, arms.names),
        dispatch={name: Dispatch(rule=arms.rule) for name in arms.names},
        origins=draft.origins,
    )


def _presenter(capacity: int | None) -> Station:
    """Where the arm takes raw parts from; out of a mould they come by themselves and never run out."""
    if capacity is None:
        return Station(kind="supply", place="presenter", capacity=None, self_out=True)
    return Station(kind="supply", place="presenter", capacity=capacity, start=capacity, refill="refill")


def _outfeed(capacity: int | None) -> Station:
    """Where finished parts go; it holds what came from a presenter, but at a mould it is what fills up."""
    return Station(kind="sink", place="outfeed", capacity=capacity, refill=None if capacity is None else "refill")


def _handling(draft: Draft, concept: Concept, arms: Arms, *, moulding: bool) -> tuple[Handling, ...]:
    """Presenter with mis-picks, each operation's machines, outfeed."""
    assert concept.presenter is not None
    assert concept.outfeed is not None
    rows: list[Handling] = []
    if not moulding:
        pick = draft.seconds("/handling/0/pick/hold_s", concept.presenter.figures["pick_s"])
        rows.append(Handling(who=arms.names, at=("presenter",), pick=Visit(hold_s=pick), miss=_miss(draft, concept, 0)))
    for operation in draft.timing.operations:
        rows.append(_visit(draft, concept, operation, len(rows), arms))
    place = concept.outfeed.figures.get("place_s") or concept.presenter.figures["place_s"]
    hold = draft.seconds(f"/handling/{len(rows)}/place/hold_s", _put(draft, concept, place))
    rows.append(Handling(who=arms.names, at=("outfeed",), place=Visit(hold_s=hold)))
    return tuple(rows)


def _put(draft: Draft, concept: Concept, place: Fact) -> Fact:
    """Putting a finished part down, and what the arm does with it at stations before that."""
    if not concept.works:
        return place
    names = {each.words["element"] for each in concept.works}
    works = [draft.of(each.time) for each in draft.timing.operations[-1].elements if each.name in names]
    fact_id = f"concepts.{concept.id}.cells.put_after_work"
    return apply(draft.sheet, "attendant_work_s", fact_id, elements_s=(*works, place))


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
        parts=draft.inquiry.parts[0].operations[0].parts_per_cycle,
    )
    draft.note(f"/handling/{row}/miss/p", fact)
    return Miss(p=fact.value, retries=0, duty="arm_fault")


def _visit(draft: Draft, concept: Concept, operation: OperationTiming, row: int, arms: Arms) -> Handling:
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

    if fills_itself(served(draft)[at[0]]):
        pick = visit("pick", 1.0, opens=True, closes=True)
        return Handling(who=arms.names, at=at, pick=pick, miss=_miss(draft, concept, row))
    two_hands = all(each.hands == 2 for each in arms.attendants.values())
    return Handling(
        who=arms.names,
        at=at,
        pick=visit("pick", 0.5, opens=True, closes=False),
        place=visit("place", 0.5, opens=False, closes=True),
        swap=visit("swap", 1.0, opens=True, closes=True) if two_hands else None,
    )


def _route(draft: Draft) -> CellPart:
    """Presenter, the operations in order, outfeed."""
    steps = [Step(at=("presenter",))]
    for number, operation in enumerate(draft.timing.operations, start=1):
        steps.append(operation_step(draft, operation, number))
    return CellPart(route=(*steps, Step(at=("outfeed",))))


def _duties(draft: Draft, concept: Concept, pockets: str, *, moulding: bool) -> dict[str, Duty]:
    """Faults of the arm, machine stops, tools, chips, refill; inside work at the bench never holds the cell up."""
    figures, fault, wear = draft.figures, Trigger(kind="fault"), Trigger(kind="wear")
    duties = {
        "arm_fault": _call(draft, "arm_fault", fault, figures["clear_s"], "arm"),
        **{
            name: _call(draft, name, fault, machine.stops.short_takes_s, "station")
            for name, machine in ((clear_name(draft, machine), machine) for machine in kinds(draft))
        },
        "tools": _call(draft, "tools", wear, draft.tool_change, "station"),
        "chips": _call(draft, "chips", wear, figures["chips_empty_s"], "station"),
    }
    duties["refill"] = _refill(draft, concept, pockets, moulding=moulding)
    return duties | _evening(draft, duties) if draft.inquiry.wishes.unattended_s.value > 0.0 else duties


def _zones(concept: Concept, duties: Mapping[str, Duty], arms: tuple[str, ...]) -> dict[str, Zone]:
    """A gate, or a scanner's stop field, holds each arm while somebody is at a machine, or fills trays from within.

    Where somebody may be touched, a scanner need only slow the arm: that is compared apart. A duty that holds the arm
    anyway needs no zone.
    """
    assert concept.safeguarding is not None
    if concept.safeguarding.words.get("inside") != "stop":
        return {}
    within = [name for name in duties if name.startswith(AT_MACHINES)]
    if _filled_within(concept) and duties["refill"].holds != "arm":
        within.append("refill")
    return {"inside": Zone(duties=tuple(within), slows=dict.fromkeys(arms, "stop"))}


def _evening(draft: Draft, duties: dict[str, Duty]) -> dict[str, Duty]:
    """Before a run alone, people change the tools in use, empty the chip boxes and fill up, the refill at last."""
    renewed = [name for name, wear in (("tools", "tool"), ("chips", "chips")) if _falls_due(draft, wear)]
    work = sum(duties[name].takes.mean_s for name in renewed) * len(served(draft))
    refill = duties["refill"].takes.mean_s
    times = dict.fromkeys(renewed, work + refill) | {"refill": refill}
    return {name: replace(duties[name], also=_before_end(draft, seconds)) for name, seconds in times.items()}


def _falls_due(draft: Draft, wear: str) -> bool:
    """Whether a machine uses up so much in a week without a stop; what outlasts that is not renewed each evening."""
    for timed in draft.timing.operations:
        name = stations_of(draft, timed)[0]
        limits = [
            each.limit for each in machine_station(draft, name, served(draft)[name], None).wear if each.id == wear
        ]
        if min(limits) * draft.of(timed.process).value < WEEK_S:
            return True
    return False


def _before_end(draft: Draft, work_s: float) -> Trigger:
    """When, in whole minutes of the week, to call for work that is to be done when the last people of a day leave."""
    last = last_shift(draft.inquiry)
    assert last is not None
    early = last.start_s.value - work_s - draft.figures["response_s"].value
    called = (early + length_s + day * DAY_S for day, length_s in enumerate(day_lengths_s(last)))
    return Trigger(kind="clock", at_s=tuple(sorted(at // 60.0 * 60.0 % WEEK_S for at in called)))


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


def _refill(draft: Draft, concept: Concept, pockets: str, *, moulding: bool) -> Duty:
    """Raw parts in and finished ones out at a level of the stock; at a mould, finished ones out alone.

    Whenever it comes, it takes as long as from that level on: never too short.
    """
    level, visit = draft.figures["refill_level_share"], _refill_visit(draft, concept, pockets, moulding=moulding)
    capacity = loads_between(draft.of(pockets).value, draft.of(draft.timing.operations[0].parts_per_load).value)
    left = max(1, int(capacity * level.value))
    trigger = Trigger(kind="level", at=("presenter",), below=left)
    if moulding:
        trigger = _while_it_fills(draft, max(1, capacity - left))
    return Duty(
        trigger=trigger,
        who=("tender",),
        priority=3,
        place="aisle",
        response_s=draft.seconds("/duties/refill/response_s", draft.figures["response_s"]),
        takes=draft.seconds("/duties/refill/takes", visit),
        restores={"outfeed": "empty"} if moulding else {"presenter": "full"},
        holds="arm" if _inside_the_fence(concept) or _docks(concept) else "nothing",
    )


def _inside_the_fence(concept: Concept) -> bool:
    """Whether people go through the gate to refill, so that a fenced arm stands still meanwhile."""
    return concept.is_fenced and _filled_within(concept)


def _docks(concept: Concept) -> bool:
    """Whether the presenter goes away to be filled, so that the arm has nothing to take from meanwhile."""
    return concept.presenter is not None and "exchange_s" in concept.presenter.figures


def _filled_within(concept: Concept) -> bool:
    """Whether people stand where the arm moves while they refill."""
    assert concept.presenter is not None
    return concept.presenter.words.get("refill") == "inside"


def _while_it_fills(draft: Draft, loads: int) -> Trigger:
    """Somebody comes before machines that never wait have filled the outfeed; nothing calls by its level."""
    process, machines = draft.of(draft.timing.operations[0].process), len(served(draft))
    return Trigger(kind="clock", every=draft.seconds("/duties/refill/trigger/every", process, loads / machines))


def _refill_visit(draft: Draft, concept: Concept, pockets: str, *, moulding: bool) -> Fact:
    """The walk and each part; the walk alone where a whole box is poured, or where the parts are packed anyway; where
    a trolley docks its exchange alone, and the parts are laid into the other one beside the cell.

    What people do with each part of a mould, packing and looking at it, is in the inside work that stays.
    """
    assert concept.presenter is not None
    base = f"concepts.{concept.id}.cells"
    parts = apply(
        draft.sheet, "refill_parts", f"{base}.refill_parts",
        pockets=_pieces(draft, pockets, base), share=draft.figures["refill_level_share"],
    )  # fmt: skip
    exchange = concept.presenter.figures.get("exchange_s")
    loose = moulding or exchange is not None or "volume_m3" in concept.presenter.figures
    one_by_one = () if loose else (draft.figures["refill_part_s"],)
    return apply(
        draft.sheet, "refill_visit_s", f"{base}.refill_visit",
        walk_s=exchange or draft.figures["refill_visit_s"], parts=parts,
        part_s=apply(draft.sheet, "attendant_work_s", f"{base}.refill_part", elements_s=one_by_one),
    )  # fmt: skip


def _pieces(draft: Draft, pockets: str, base: str) -> Fact:
    """Pieces that one filling is, laid in one by one: more than the finished parts they stand for where each comes
    again."""
    passes = draft.inquiry.parts[0].operations[0].passes
    if passes is None:
        return draft.sheet[pockets]
    return apply(draft.sheet, "of_all_passes", f"{base}.pieces", each=draft.sheet[pockets], passes=passes)
