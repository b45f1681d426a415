"""The stations of lots as rules of the model: one load at a time, room in stores, gates, changeovers."""

from itertools import permutations
from typing import TYPE_CHECKING

from millhand.solvers.cycle.lots.makespan_loads import members
from millhand.solvers.cycle.lots.makespan_lots import Hop
from millhand.solvers.cycle.lots.makespan_model import Draft, Possible, Spot
from millhand.solvers.cycle.lots.makespan_moments import after, begins, over
from millhand.solvers.cycle.pieces import pieces_of_lots

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntervalVar, IntVar


def add_rooms(draft: Draft) -> None:
    """All rules of all stations."""
    for station in draft.lots.cell.stations:
        if draft.lots.holds_one_load(station):
            add_loads(draft, station)
        elif draft.lots.batch(station) > 1:
            add_endless_loads(draft, station)
        elif draft.lots.cell.stations[station].kind == "store":
            add_store(draft, station)
        elif draft.lots.cell.stations[station].kind in ("supply", "sink"):
            add_stock(draft, station)
    for supply, sink in draft.lots.gates.items():
        add_gate(draft, supply, sink)


def add_stock(draft: Draft, station: str) -> None:
    """A supply gives no more than it begins with, a sink takes no more than it has room for."""
    stock = draft.lots.stock(station)
    if stock is not None:
        used = pieces_of_lots(draft.lots.cell)[station]
        draft.model.add(sum(here for spot, here in draft.at.items() if spot[2] == station) <= stock - used)


def spots_at(draft: Draft, station: str) -> list[Spot]:
    """Every part at every step that may bring it to a station, between supply and sink."""
    return [spot for spot in draft.at if spot[2] == station and (spot[0], spot[1]) in draft.start]


def add_loads(draft: Draft, station: str) -> None:
    """One load after the other; the parts of one load come in one by one and go out one by one."""
    firsts, filled = [], []
    for spot in spots_at(draft, station):
        j, step, _ = spot
        if draft.lots.batch(station) == 1:
            firsts.append(spot)
            filled.append(interval(draft, spot, (draft.enters[j, step], draft.leaves[j, step])))
        elif spot in draft.loads.first:
            firsts.append(spot)
            filled.append(interval(draft, spot, load_ends(draft, spot)))
    draft.model.add_no_overlap(filled)
    if any(key[0] == station for key in draft.lots.set_ups):
        add_sequence(draft, station, firsts)


def interval(draft: Draft, spot: Spot, ends: "tuple[IntVar, IntVar]") -> "IntervalVar":
    """The time that a part, or the load that begins with it, fills a station, if it is worked on there."""
    name = f"in {spot}"
    return draft.model.new_optional_interval_var(
        ends[0], draft.instant(f"{name} for"), ends[1], begun(draft, spot), name
    )  # fmt: skip


def begun(draft: Draft, spot: Spot) -> "IntVar":
    """Whether a load begins with this part, here."""
    return draft.loads.first.get(spot, draft.at[spot])


def add_endless_loads(draft: Draft, station: str) -> None:
    """Loads of several parts in endless slots: one is complete before the next is begun."""
    filling = []
    for spot in spots_at(draft, station):
        j, step, _ = spot
        if spot in draft.loads.first:
            begins, _ = load_ends(draft, spot)
            filling.append(interval(draft, spot, (begins, draft.start[j, step])))
    draft.model.add_no_overlap(filling)


def load_ends(draft: Draft, spot: Spot) -> "tuple[IntVar, IntVar]":
    """From when to when a load of several parts fills a station; all are there together and start together."""
    first, step, _ = spot
    model, lit = draft.model, draft.loads.first[spot]
    begins, ends = draft.instant(f"load {spot}"), draft.instant(f"load over {spot}")
    visits = []
    for j, _, _ in members(draft.lots, spot):
        model.add(draft.start[j, step] == draft.start[first, step]).only_enforce_if(lit)
        model.add(begins <= draft.enters[j, step]).only_enforce_if(lit)
        model.add(ends >= draft.leaves[j, step]).only_enforce_if(lit)
        visits += member_visits(draft, (j, step, spot[2]), lit)
    model.add_no_overlap(visits)
    if spot[2] in draft.lots.view.attended:
        add_last(draft, spot)
    return begins, ends


def add_last(draft: Draft, spot: Spot) -> None:
    """One part of a load comes last: it completes the load."""
    load, step = members(draft.lots, spot), spot[1]
    for each in load:
        last = draft.loads.last.setdefault(each, draft.yes(f"last {each}"))
        for other in load:
            later = draft.time[(each[0], step - 1), "placed"] >= draft.time[(other[0], step - 1), "placed"]
            draft.model.add(later).only_enforce_if([last, draft.loads.first[spot]])
    draft.model.add(sum(draft.loads.last[each] for each in load) == 1).only_enforce_if(draft.loads.first[spot])


def member_visits(draft: Draft, spot: Spot, lit: "IntVar") -> "list[IntervalVar]":
    """When a part of a load is put in, and when it is taken out: the station is bound for both."""
    j, step, _ = spot
    model = draft.model
    closed, opened = draft.instant(f"closed {spot}"), draft.instant(f"opened {spot}")
    brings, takes = (j, step - 1), (j, step)
    for way in draft.lots.ways_of(brings):
        tail = draft.lots.phase(way.who, way.goal, j, "place").tail_steps
        model.add(closed == draft.time[brings, "placed"] + tail).only_enforce_if(draft.way[brings, way])
    for way in draft.lots.ways_of(takes):
        lead = draft.lots.phase(way.who, way.start, j, "pick").lead_steps
        model.add(opened == draft.time[takes, "lift"] - lead).only_enforce_if(draft.way[takes, way])
    ends = ((draft.enters[j, step], closed), (opened, draft.leaves[j, step]))
    return [
        model.new_optional_interval_var(begin, draft.instant(f"for {spot}"), end, lit, f"visit {spot}")
        for begin, end in ends
    ]


def add_store(draft: Draft, station: str) -> None:
    """A store for several parts holds no more than it has room for, from the set-down to the end of the lift."""
    room = draft.lots.room(station)
    if room is None:
        return
    filled = [
        interval(draft, (j, step, station), (draft.time[(j, step - 1), "set"], draft.time[(j, step), "lifted"]))
        for j, step, _ in spots_at(draft, station)
    ]
    draft.model.add_cumulative(filled, [1] * len(filled), room)


def add_gate(draft: Draft, supply: str, sink: str) -> None:
    """A part is lifted before another is set down, or when the gate has turned around since."""
    lots, model = draft.lots, draft.model
    turn = lots.turnaround_steps.get(supply, 0)
    gives: list[Hop] = [hop for hop in lots.hops() if hop[1] == 0 and (hop[0], 0, supply) in draft.at]
    takes = [hop for hop in lots.hops() if (hop[0], hop[1] + 1, sink) in draft.at]
    for out in gives:
        for back in (hop for hop in takes if hop[0] != out[0]):
            before = draft.yes(f"gate {out} before {back}")
            here = [draft.at[out[0], 0, supply], draft.at[back[0], back[1] + 1, sink]]
            model.add(draft.time[out, "lifted"] <= draft.time[back, "set"]).only_enforce_if([before, *here])
            if draft.ranks:
                after(draft, over(draft, out, "out"), begins(draft, back, "in"), [before, *here])
                after(draft, over(draft, back, "in"), begins(draft, out, "out"), [~before, *here])
            later = model.add(draft.time[out, "lift"] >= draft.time[back, "placed"] + turn)
            later.only_enforce_if([~before, *here])


def add_sequence(draft: Draft, station: str, firsts: list[Spot]) -> None:
    """Which load follows which at a station that is changed over, and which changeovers that asks for."""
    arcs: list[tuple[int, int, IntVar]] = []
    for number, spot in enumerate(firsts, start=1):
        arcs += [(0, number, draft.yes(f"first {spot}")), (number, 0, draft.yes(f"last {spot}"))]
        arcs.append((number, number, ~begun(draft, spot)))  # type: ignore[arg-type]
    arcs.append((0, 0, draft.yes(f"nothing at {station}")))
    for (a, one), (b, other) in permutations(enumerate(firsts, start=1), 2):
        lit = draft.next[one, other] = draft.yes(f"{other} after {one}")
        arcs.append((a, b, lit))
        model_after(draft, (one, other), lit)
    draft.model.add_circuit(arcs)
    for spot in firsts:
        for key, set_up in draft.lots.set_ups.items():
            if key[0] == station and key[2] == draft.lots.family(spot[0], spot[1]):
                add_change(draft, spot, Possible(
                    number=len(draft.changes), spot=spot, set_up=set_up, needed=draft.yes(f"change {spot} {key}"),
                    who={who: draft.yes(f"{who} changes {spot} {key}") for who in set_up.who},
                    start=draft.instant(f"change {spot} {key}"),
                ), [one for one in firsts if draft.lots.family(one[0], one[1]) == key[1]])  # fmt: skip


def model_after(draft: Draft, pair: tuple[Spot, Spot], lit: "IntVar") -> None:
    """One load is out before the next is in."""
    for one in members(draft.lots, pair[0]):
        for other in members(draft.lots, pair[1]):
            later = draft.model.add(draft.leaves[one[:2]] <= draft.enters[other[:2]])
            later.only_enforce_if(lit)


def add_change(draft: Draft, spot: Spot, change: Possible, old: list[Spot]) -> None:
    """A changeover comes when the old load is out, and the part that needs it is fetched after it."""
    model, before = draft.model, [draft.next[one, spot] for one in old if one != spot]
    model.add(sum(before) == change.needed)
    model.add(sum(change.who.values()) == change.needed)
    ends = change.start + change.set_up.takes_steps
    for j, step, _ in members(draft.lots, spot):
        model.add(draft.time[(j, step - 1), "lift"] >= ends).only_enforce_if(change.needed)
    for one in (each for each in old if each != spot):
        for j, step, _ in members(draft.lots, one):
            called = draft.leaves[j, step] + change.set_up.response_steps
            model.add(change.start >= called).only_enforce_if(draft.next[one, spot])
    draft.changes.append(change)
