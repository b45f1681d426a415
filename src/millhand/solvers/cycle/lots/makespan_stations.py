"""The arcs of a plan for lots that stations ask for: work, stays, one load after another, room, order and set-ups."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from millhand.model.schedule import Arc
from millhand.solvers.cycle.lots.makespan_loads import load_in
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots
from millhand.solvers.cycle.lots.makespan_plan import Changed, Plan, lift_phase, set_phase


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A plan with the names of its events."""

    lots: Lots
    plan: Plan

    def home(self, who: str) -> str:
        """An attendant leaves home."""
        return f"0 depart {who}"

    def event(self, hop: Hop, what: str) -> str:
        """An event of a part: lift and lifted at the step that it leaves, all others at the one that it enters. Both
        sides of one exchange bear one number."""
        way = self.plan.carried[hop].way
        station = way.start if what in ("lift", "lifted") else way.goal
        comes = self.plan.swaps.get(hop) if what in ("lift", "lifted") else None
        j, h = hop if comes is None else comes
        visit = 2 * (j * 1000 + h) + (1 if what in ("lift", "lifted") and comes is None else 2)
        return f"{visit} {what} {self.lots.pieces[hop[0]].name} {station}"

    def change(self, number: int, what: str) -> str:
        """An event of a changeover."""
        change = self.plan.changes[number]
        return f"c{number} {what} {change.set_up.duty} {change.station}"

    def moved(self, at: Mapping[str, int]) -> Plan:
        """The plan with the times of its events."""
        carried = {
            hop: replace(
                each,
                lift=at[self.event(hop, "lift")],
                lifted=at[self.event(hop, "lifted")],
                set=at[self.event(hop, "set")],
                placed=at[self.event(hop, "placed")],
            )
            for hop, each in self.plan.carried.items()
        }
        changes = tuple(
            replace(each, start=at[self.change(number, "start")], end=at[self.change(number, "finish")])
            for number, each in enumerate(self.plan.changes)
        )
        return replace(self.plan, carried=carried, changes=changes)


def both(one: str, other: str, lag: int, why: str) -> Iterator[Arc]:
    """Exactly so long after."""
    yield Arc(before=one, after=other, lag_steps=lag, laps=0, why=why)
    yield Arc(before=other, after=one, lag_steps=-lag, laps=0, why=why)


def waits(one: str, other: str, lag: int, why: str) -> Arc:
    """At least so long after."""
    return Arc(before=one, after=other, lag_steps=lag, laps=0, why=why)


def station_arcs(names: Named) -> Iterator[Arc]:
    """All arcs of the stations."""
    for hop in names.plan.carried:
        yield from work_arcs(names, hop)
        yield from stay_arcs(names, hop)
    for station in names.lots.cell.stations:
        yield from load_arcs(names, station)
        yield from room_arcs(names, station)
        yield from supply_arcs(names, station)
    for supply, sink in names.lots.gates.items():
        yield from gate_arcs(names, supply, sink)
    for number, change in enumerate(names.plan.changes):
        yield from change_arcs(names, number, change)


def work_arcs(names: Named, hop: Hop) -> Iterator[Arc]:
    """The tail after the set-down, then the work; a load of several parts starts when the last one is in."""
    lots, way = names.lots, names.plan.carried[hop].way
    if not lots.works(way.goal):
        return
    placed, start, finish = (names.event(hop, what) for what in ("placed", "start", "finish"))
    j, step = hop[0], hop[1] + 1
    tail = set_phase(lots, names.plan, hop).tail_steps
    load = load_in(lots, names.plan.carried, hop)
    if len(load) == 1:
        yield from both(placed, start, tail, way.goal)
    for other in load:
        if len(load) > 1:
            yield waits(placed, names.event((other, hop[1]), "start"), tail, way.goal)
    if j != load[0]:
        yield from both(names.event((load[0], hop[1]), "start"), start, 0, way.goal)
    yield from both(start, finish, lots.work_steps(j, step, way.goal), way.goal)


def stay_arcs(names: Named, hop: Hop) -> Iterator[Arc]:
    """From a set-down to the lift that takes the part on: the least stay, and the longest."""
    lots, (j, h) = names.lots, hop
    following = (j, h + 1)
    if following not in names.plan.carried:
        return
    station = names.plan.carried[hop].way.goal
    lead = lift_phase(lots, names.plan, following).lead_steps
    lift, placed = names.event(following, "lift"), names.event(hop, "placed")
    if lots.works(station):
        yield waits(names.event(hop, "finish"), lift, lead, station)
    else:
        yield waits(placed, lift, set_phase(lots, names.plan, hop).tail_steps + lead, station)
    longest = lots.route(j)[h + 1].stay_max_steps
    if longest is not None:
        since = names.event(lots.stays_from(following), "placed")
        yield waits(lift, since, -longest, f"window {station}")


def load_arcs(names: Named, station: str) -> Iterator[Arc]:
    """Where one load fills the station: the old one is out before the new one comes in, unless they are exchanged."""
    lots, plan = names.lots, names.plan
    if not lots.holds_one_load(station):
        yield from endless_arcs(names, station)
        for load in loads_at(names, station) if lots.batch(station) > 1 else ():
            yield from inside_arcs(names, load)
        return
    loads = loads_at(names, station)
    for load in loads:
        yield from inside_arcs(names, load)
    for old, new in pairwise(loads):
        for comes in new:
            for goes in ((j, h + 1) for j, h in old):
                if plan.swaps.get(goes) == comes:
                    for one, other in (("lift", "set"), ("lifted", "placed")):
                        yield from both(names.event(goes, one), names.event(comes, other), 0, station)
                    continue
                clears = lift_phase(lots, plan, goes).tail_steps + set_phase(lots, plan, comes).lead_steps
                lag = clears if lots.works(station) else 0  # a lead at a shelf is the attendant's own
                yield waits(names.event(goes, "lifted"), names.event(comes, "set"), lag, station)


def endless_arcs(names: Named, station: str) -> Iterator[Arc]:
    """Endless slots keep no part waiting; what is exchanged there goes out and in together."""
    for goes, comes in names.plan.swaps.items():
        if names.plan.carried[comes].way.goal == station:
            for one, other in (("lift", "set"), ("lifted", "placed")):
                yield from both(names.event(goes, one), names.event(comes, other), 0, station)


def loads_at(names: Named, station: str) -> list[list[Hop]]:
    """The loads of a station in the order of time, each as the transfers that bring its parts."""
    lots, plan = names.lots, names.plan
    loads: dict[tuple[int, int], list[Hop]] = {}
    for hop, each in plan.carried.items():
        if each.way.goal == station and (hop[0], hop[1] + 1) in plan.carried:
            loads.setdefault((load_in(lots, plan.carried, hop)[0], hop[1]), []).append(hop)

    def when(load: list[Hop]) -> tuple[int, int, int]:
        out = max(plan.carried[j, h + 1].lifted for j, h in load)
        return min(plan.carried[hop].set for hop in load), out, min(plan.rank(hop, "in") for hop in load)

    return sorted(loads.values(), key=when)


def inside_arcs(names: Named, load: list[Hop]) -> Iterator[Arc]:
    """The parts of one load come in one after the other, and go out so."""
    lots, plan = names.lots, names.plan
    coming = sorted(load, key=lambda hop: (plan.carried[hop].set, plan.carried[hop].placed, plan.rank(hop, "in")))
    for one, other in pairwise(coming):
        lag = set_phase(lots, plan, one).tail_steps + set_phase(lots, plan, other).lead_steps
        yield waits(names.event(one, "placed"), names.event(other, "set"), lag, plan.carried[one].way.goal)
    going = sorted(
        ((j, h + 1) for j, h in load),
        key=lambda hop: (plan.carried[hop].lift, plan.carried[hop].lifted, plan.rank(hop, "out")),
    )
    for one, other in pairwise(going):
        lag = lift_phase(lots, plan, one).tail_steps + lift_phase(lots, plan, other).lead_steps
        yield waits(names.event(one, "lifted"), names.event(other, "lift"), lag, plan.carried[one].way.start)


def room_arcs(names: Named, station: str) -> Iterator[Arc]:
    """A store for several parts: of n places the k-th part set down waits for the lift of the (k - n)-th."""
    lots, plan, room = names.lots, names.plan, names.lots.room(station)
    if lots.cell.stations[station].kind != "store" or room is None or room == 1:
        return
    comes = sorted(
        (hop for hop, each in plan.carried.items() if each.way.goal == station),
        key=lambda hop: (plan.carried[hop].set, plan.carried[hop].placed, plan.rank(hop, "in")),
    )
    goes = sorted(
        ((j, h + 1) for j, h in comes),
        key=lambda hop: (plan.carried[hop].lifted, plan.carried[hop].lift, plan.rank(hop, "out")),
    )
    for late, early in zip(comes[room:], goes, strict=False):
        yield waits(names.event(early, "lifted"), names.event(late, "set"), 0, station)


def supply_arcs(names: Named, station: str) -> Iterator[Arc]:
    """The parts of one supply are lifted in the order of their lots."""
    lots, plan = names.lots, names.plan
    here = [hop for hop, each in plan.carried.items() if hop[1] == 0 and each.way.start == station]
    here.sort(key=lambda hop: (lots.pieces[hop[0]].turn, plan.carried[hop].lift, plan.rank(hop, "out"), hop[0]))
    for one, other in pairwise(here):
        yield waits(names.event(one, "lift"), names.event(other, "lift"), 0, station)


def gate_arcs(names: Named, supply: str, sink: str) -> Iterator[Arc]:
    """A gate turns around after each part set down before it gives the next one."""
    lots, plan = names.lots, names.plan
    turn = lots.turnaround_steps.get(supply, 0)
    gives = [hop for hop, each in plan.carried.items() if each.way.start == supply]
    takes = [hop for hop, each in plan.carried.items() if each.way.goal == sink]
    for out in gives:
        for back in takes:
            ends = plan.carried[back].placed, plan.rank(back, "in")
            if ends <= (plan.carried[out].lift, plan.rank(out, "out")) and out[0] != back[0]:
                yield waits(names.event(back, "placed"), names.event(out, "lift"), turn, supply)
            elif out[0] != back[0]:
                yield waits(names.event(out, "lifted"), names.event(back, "set"), 0, supply)


def change_arcs(names: Named, number: int, change: Changed) -> Iterator[Arc]:
    """A changeover: when the station is empty, somebody comes; then the parts of the load that needs it are fetched."""
    lots, plan = names.lots, names.plan
    start, end = names.change(number, "start"), names.change(number, "finish")
    yield from both(start, end, change.set_up.takes_steps, change.set_up.duty)
    for j in load_in(lots, plan.carried, (change.part, change.step - 1)):
        yield waits(end, names.event((j, change.step - 1), "lift"), 0, change.set_up.duty)
    loads = loads_at(names, change.station)
    own = next(i for i, load in enumerate(loads) if (change.part, change.step - 1) in load)
    for j, h in loads[own - 1]:
        lag = lift_phase(lots, plan, (j, h + 1)).tail_steps + change.set_up.response_steps
        yield waits(names.event((j, h + 1), "lifted"), start, lag, change.set_up.duty)
