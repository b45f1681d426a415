"""Load bounds: no cycle of a cell can be faster than the work that each resource has to do for one part set.

A bound leaves out everything about order and waiting but keeps what nobody can avoid. Two loads stand side by side:
what the cycle itself needs (means, every part good), and the long-run load, to which stops, wear, refills, duties,
missed picks and scrap add their means. Work that may be shared is taken as shared in the best way.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil

from millhand.model.cell import Cell
from millhand.model.mix import is_near_only, mix_of, part_set
from millhand.model.schedule import Bound, Schedule
from millhand.model.station import Station
from millhand.solvers.cycle.bound_words import name_of, words_of
from millhand.solvers.cycle.duty_loads import held_jobs
from millhand.solvers.cycle.loads.burdens import (
    calls_or_clock,
    clock_factors,
    duty_jobs,
    miss_s,
    open_shares,
    per_load_s,
    visit_burden,
)
from millhand.solvers.cycle.loads.exchange import Around, around, exchange_steps, phase_steps, visit_steps, visits
from millhand.solvers.cycle.loads.fates import ended_share, hourly, may_stop, worked_share
from millhand.solvers.cycle.loads.flows import Flows, Hop, flows, good_share
from millhand.solvers.cycle.loads.load_changes import load_change_steps
from millhand.solvers.cycle.loads.sharing import Job, Shared, shared_times
from millhand.solvers.cycle.loads.travel import Own, least_travel_steps, loaded_steps
from millhand.solvers.cycle.searching.raw import exchanging_nothing
from millhand.solvers.cycle.steady import one_part_fills, row_for, steady
from millhand.solvers.cycle.trays import refused_at, with_trays
from millhand.solvers.cycle.view import Steady, VisitKind

HOUR_S = 3600.0
SLACK = 6  # digits after which a bound in grid steps is whole
ENDS: tuple[VisitKind, VisitKind] = ("pick", "place")


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A cell on its way to its bounds; `plain` leaves chance, hours and what cycles do not hold of duties out."""

    cell: Cell
    view: Steady
    flow: Flows
    near: Around
    plain: bool


def load_of(cell: Cell, view: Steady, *, plain: bool, written: bool = False) -> Load:
    """The flows of one part set and what lies around each step; the plain ones are those of whole parts, or, `written`,
    of the shares as they are written.

    How many parts a stop by the clock spoils depends on how long a set takes. The load without such a loss may stand
    for it: wherever a set takes longer, that load allows it too.
    """

    def with_period(period_s: float) -> Load:
        mix = mix_of(cell.parts) if written or not plain else view.part_set
        flow = flows(cell, mix, plain=plain, period_s=period_s)
        return Load(cell=cell, view=view, flow=flow, near=around(flow.hops), plain=plain)

    found = with_period(0.0)
    if plain or not any(hourly(cell, name) for name in cell.stations):
        return found
    return with_period(max((each.time for each in loads(found)), default=0.0) * cell.grid_s)


def as_told(cell: Cell) -> Cell:
    """The cell with its trays as stores; a machine whose tray no store can say is taken as one that nobody attends.

    Nobody who need not stay is held up longer, so what follows from it holds for the cell as well.
    """
    while refused := refused_at(cell):  # one freed may stand beside others
        freed = {name: replace(cell.stations[name], attended=False) for name in refused}
        cell = replace(cell, stations={**cell.stations, **freed})
    return with_trays(cell)


def load_bounds(cell: Cell) -> tuple[Bound, ...]:
    """The least period each resource needs for one minimal part set, largest first; never refuses a cell."""
    cell = as_told(cell)
    view = steady(cell, left_out=())
    cycle = {name_of(each): each.time for each in loads(load_of(cell, view, plain=True))}
    bare = cycle
    if is_near_only(cell.parts):
        bare = {name_of(each): each.time for each in loads(load_of(cell, view, plain=True, written=True))}
    found = []
    for shared in loads(load_of(cell, view, plain=False)):
        name = name_of(shared)
        found.append(
            Bound(
                resource=name,
                steps=shared.time,
                cycle_steps=cycle.get(name, 0.0),
                words=words_of(cell, view.set_size, name, shared.time, bare.get(name, 0.0)),
            )
        )
    return tuple(sorted(found, key=lambda bound: -bound.steps))


def cycle_bound_steps(cell: Cell) -> float:
    """The largest load of the plain cycle: no steady cycle needs less for one part set."""
    return max((each.time for each in plain_loads(cell)), default=0.0)


def plain_loads(cell: Cell) -> list[Shared]:
    """The loads of the plain cycle: means, every part good, of duties those that cycles hold."""
    cell = as_told(cell)
    return loads(load_of(cell, steady(cell, left_out=()), plain=True))


def least_for(bound: float, cell: Cell, found: Schedule) -> int:
    """The least period for as many parts as a cycle makes, by a bound for one part set."""
    return ceil(round(bound * found.parts_per_period / sum(part_set(cell.parts).values()), SLACK))


def least_period_steps(cell: Cell) -> int:
    """The least whole number of grid steps that one part set needs in the long run."""
    return ceil(round(max((each.time for each in long_run_loads(cell)), default=0.0), SLACK))


def rate_bound_per_h(cell: Cell) -> float:
    """Parts an hour while every calendar is open, good and bad together, that can be kept up in the long run.

    What each part asks of people is work to be done: where somebody cannot keep up with it, parts may come faster for a
    while, but undone work grows without end.
    """
    return per_hour(cell, long_run_loads(cell))


def good_bound_per_h(cell: Cell) -> float:
    """Good parts an hour while every calendar is open."""
    return rate_bound_per_h(cell) * good_share(cell, mix_of(cell.parts))


def calendar_rate_bound_per_h(cell: Cell) -> float:
    """Parts an hour over all hours of the calendars: each resource works only in its own open hours."""
    return per_hour(cell, calendar_loads(cell))


def calendar_loads(cell: Cell) -> list[Shared]:
    """The loads with everything in them, each resource in its own open hours."""
    shares = {name: 1.0 / share if share > 0 else float("inf") for name, share in open_shares(cell).items()}
    return loads(long_run_load(cell), stretches=shares)


def long_run_loads(cell: Cell) -> list[Shared]:
    """The loads with everything in them, calendars open."""
    return loads(long_run_load(cell))


def long_run_load(cell: Cell) -> Load:
    """A cell on its way to the loads with everything in them."""
    cell = as_told(cell)
    return load_of(cell, steady(cell, left_out=()), plain=False)


def per_hour(cell: Cell, found: list[Shared]) -> float:
    """Parts an hour at the largest load; infinite where nothing takes time."""
    size = sum(part_set(cell.parts).values())
    longest = max((each.time for each in found), default=0.0)
    return size * HOUR_S / (longest * cell.grid_s) if longest > 0 else float("inf")


def loads(load: Load, *, stretches: Mapping[str, float] | None = None) -> list[Shared]:
    """The least time of each group of resources, in grid steps per part set, each stretched by its own factor."""
    jobs = [*station_jobs(load), *attendant_jobs(load)]
    jobs += held_jobs(load.cell) if load.plain else []
    factors = dict.fromkeys([*load.cell.stations, *load.cell.attendants], 1.0)
    if not load.plain:
        cell, grid_s = load.cell, load.cell.grid_s
        bare = max((each.time for each in shared_times([job for job in jobs if job])), default=0.0)
        called, instead = calls_or_clock(cell, load.flow, bare * grid_s)
        beside = {name: beside_work_steps(load, name) * grid_s for name in cell.stations}
        beside |= dict.fromkeys(cell.attendants, stay_steps(load) * grid_s)
        asked = duty_jobs(cell, load.flow, called, beside)
        jobs += [{name: time / grid_s for name, time in job.items()} for job in asked]
        factors = clock_factors(cell, but=instead)
    for name, stretch in (stretches or {}).items():
        factors[name] *= stretch
    return shared_times([{name: time * factors[name] for name, time in job.items()} for job in jobs if job])


def station_jobs(load: Load) -> list[Job]:
    """The work of each step: process, handling that binds the station, its stops and wear; shared by alternatives."""
    found: list[Job] = []
    for (part, index), times in load.flow.visits.items():
        stop = load.view.routes[part][index]
        job = {}
        for name in stop.stations:
            time = station_steps(load, (part, index), name)
            slots = load.view.slots[name]
            if slots and time > 0:
                job[name] = times * time / slots
        if len(job) == len(stop.stations):
            found.append(job)
    return found


def station_steps(load: Load, step: tuple[str, int], name: str) -> float:
    """How long one part binds one slot of a station, at least."""
    station, view = load.cell.stations[name], load.view
    if station.kind in ("supply", "sink") or (station.kind == "gate" and step[1] == 0):
        return 0.0
    if station.kind == "gate":
        return gate_steps(load, step[0], name)
    kept = load.flow.going_on(*step)
    whole = max(0.0, 1.0 - station.batch * (1.0 - kept))  # of the loads none of whose parts stays behind here
    work = work_steps(load, step, name) / station.batch
    time = work
    if (name in view.singles or in_slots(station)) and station.kind != "store":
        own = own_steps(load, step, name)
        time += whole * own + (1.0 - whole) * min(own, filling_steps(load, step, name))
    time += whole * load_change_steps(load.cell, view, load.near, step, name) / station.batch
    if load.plain:
        return time
    ended = ended_share(load.cell, load.cell.parts[step[0]].route[step[1]], name)
    return time + visit_burden(load.cell, station, work * load.cell.grid_s, ended=ended).lost_s / load.cell.grid_s


def beside_work_steps(load: Load, name: str) -> float:
    """How long one load of a station binds it beside its work, at most by the least times of its steps."""
    batch = load.cell.stations[name].batch
    steps = [step for step in load.flow.visits if name in load.view.routes[step[0]][step[1]].stations]
    return max((batch * station_steps(load, step, name) - work_steps(load, step, name) for step in steps), default=0.0)


def stay_steps(load: Load) -> float:
    """How long somebody stays at a machine that is attended, at most by the mean times of its steps."""
    visited = ((step, name) for step in load.flow.visits for name in load.view.routes[step[0]][step[1]].stations)
    return max((work_steps(load, step, name) for step, name in visited if name in load.view.attended), default=0.0)


def in_slots(station: Station) -> bool:
    """Whether a station is a number of slots for one part each, and nothing beside them."""
    return station.kind == "process" and one_part_fills(replace(station, capacity=1)) and (station.capacity or 0) > 1


def work_steps(load: Load, step: tuple[str, int], name: str) -> float:
    """How long a station works on one load of a step, on average; what a stop spoils is not finished."""
    share = 1.0 if load.plain else worked_share(load.cell, load.cell.parts[step[0]].route[step[1]], name)
    return share * load.view.routes[step[0]][step[1]].time_steps(name)


def filling_steps(load: Load, step: tuple[str, int], name: str) -> float:
    """What setting down one part binds a station, where nobody lifts one out: it was scrapped or spoilt in there."""
    if name in load.view.self_in or alone(load.view, load.near.before.get(step, ()), step[0], load.view.self_out):
        return 0.0
    return float(min((phase_steps(phase) for _, phase in visits(load.view, name, step[0], "place")), default=0))


def gate_steps(load: Load, part: str, name: str) -> float:
    """How long one part binds a gate, at least: its two visits, and its share of a turnaround.

    A gate gives and takes endlessly, so all parts that are out at a time may come back before one turnaround and go
    out again after it. A cycle lets one in at a time; a run lets several in together, so in the long run the visits add
    up only where nobody else comes. A turnaround does in any case: each lift that ends one begins with nothing set down
    for so long before it, and no more parts go out before the next one than can be out.
    """
    view, out = load.view, parts_out(load)
    holds = [min((phase.hold_steps for _, phase in visits(view, name, part, kind)), default=0) for kind in ENDS]
    come = {who for who, station, _, _ in view.phases if station == name}
    in_turn = name in view.singles and (load.plain or len(come) < 2)
    return (sum(holds) if in_turn else 0.0) + (view.turnaround_steps[name] / out if out else 0.0)


def parts_out(load: Load) -> int:
    """How many parts stations and hands can hold together; 0 where there is no limit."""
    count = sum(attendant.hands for attendant in load.cell.attendants.values())
    for station in load.cell.stations.values():
        if station.kind in ("process", "store"):
            sizes = (station.capacity, station.in_queue, station.out_queue)
            if any(size is None for size in sizes):
                return 0
            count += (station.capacity or 0) * (station.batch + (station.in_queue or 0) + (station.out_queue or 0))
    return count


def own_steps(load: Load, step: tuple[str, int], name: str) -> float:
    """What lifting and setting down bind the station: both, or only the one that an attendant has to do there."""
    view = load.view
    comes = name in view.self_in or alone(view, load.near.before.get(step, ()), step[0], view.self_out)
    goes = name in view.self_out or alone(view, load.near.behind.get(step, ()), step[0], view.self_in)
    if not (comes or goes):
        return exchange_steps(view, load.near, step, name)
    if comes and goes:
        return 0.0
    kind = "pick" if comes else "place"
    return float(min((phase_steps(phase) for _, phase in visits(view, name, step[0], kind)), default=0))


def alone(view: Steady, steps: tuple[tuple[str, int], ...], part: str, itself: frozenset[str]) -> bool:
    """Whether at some station of these steps, before or behind, the part goes or comes by itself."""
    return any(name in itself for _, step in steps for name in view.routes[part][step].stations)


def attendant_jobs(load: Load) -> list[Job]:
    """The transfers as work of whoever can do them, and each attendant's least travel for those only it can do."""
    found: list[Job] = []
    own: dict[str, dict[Hop, float]] = {name: {} for name in load.view.movers}
    shared: set[str] = set()
    for hop, times in load.flow.hops.items():
        work = hop_work(load, hop) if times else None
        if work is None:
            continue
        found.append({who: times * steps for who, steps in work.items()})
        if len(work) == 1:
            own[next(iter(work))][hop] = times
        else:
            shared |= set(work)
    on_duty = {who for duty in load.cell.duties.values() for who in duty.who}
    several = any(each.batch > 1 for each in load.cell.stations.values())
    for name, hops in own.items():
        if hops:
            mine = Own(
                mover=load.view.movers[name],
                hops=hops,
                busy_else=name in shared or name in on_duty,
                closed=closed_to(load, hops),
            )
            ways = (load.view, exchanging_nothing(load.view, name)) if several else (load.view,)
            found.append({name: min(least_travel_steps(each, mine) for each in ways)})
    return found


def closed_to(load: Load, hops: Mapping[Hop, float]) -> frozenset[str]:
    """The stations that one part fills and that no other transfer than these touches; none that a part may leave
    scrapped or spoilt."""
    others = {
        name
        for part, *steps in load.flow.hops
        if (part, *steps) not in hops
        for step in steps
        for name in load.view.routes[part][step].stations
    }
    lossy = {
        name
        for part, start, _ in load.flow.hops
        if load.flow.going_on(part, start) < 1.0
        for name in load.view.routes[part][start].stations
    }
    return load.view.singles - others - lossy


def hop_work(load: Load, hop: Hop) -> dict[str, float] | None:
    """What one transfer costs each attendant that can do it; None where the part moves by itself or nobody can."""
    part, start, end = hop
    view, route = load.view, load.view.routes[hop[0]]
    starts, goals = route[start].stations, route[end].stations
    stations = load.cell.stations
    if any(stations[name].self_out for name in starts) or any(stations[name].self_in for name in goals):
        return None
    work: dict[str, float] = {}
    for who in view.movers:
        lifts = [lift for name in starts if (lift := lift_steps(load, who, name, part)) is not None]
        drops = [drop for name in goals if (drop := drop_steps(load, who, name, hop)) is not None]
        if lifts and drops:
            work[who] = min(lifts) + min(drops)
            work[who] += 0.0 if load.plain else per_load_s(load.cell, who) / load.cell.grid_s
    if len(work) > 1:
        work = {
            who: time + loaded_steps(view, view.movers[who], hop) / view.movers[who].hands for who, time in work.items()
        }
    return work or None


def lift_steps(load: Load, who: str, station: str, part: str) -> float | None:
    """An attendant's part in one lift; of an exchange its share, so that lift and set-down together are the least."""
    lift, drop, swap = visit_steps(load.view, who, station, part)
    if swap is None and lift is None:
        return None
    if swap is None or (lift is not None and lift + (drop or 0) <= swap):
        time = float(lift or 0)
    else:
        time = swap / 2 if lift is None or drop is None else swap * lift / (lift + drop)
    miss = 0.0 if load.plain else miss_s(row_for(load.cell.handling, who, station, part)) / load.cell.grid_s
    return time + miss


def drop_steps(load: Load, who: str, station: str, hop: Hop) -> float | None:
    """An attendant's part in one set-down, and the process where it has to stay through it: for one part of a load."""
    lift, drop, swap = visit_steps(load.view, who, station, hop[0])
    if swap is None and drop is None:
        return None
    stays = 0.0
    leaves = not load.plain and may_stop(load.cell, station)  # and what is left of the work goes on with nobody there
    if station in load.view.attended and hop[2] < len(load.view.routes[hop[0]]) - 1 and not leaves:
        stays = work_steps(load, (hop[0], hop[2]), station) / load.cell.stations[station].batch
    if swap is None or (lift is not None and drop is not None and lift + drop <= swap):
        return float(drop or 0) + stays
    return stays + (swap / 2 if lift is None or drop is None else swap * drop / (lift + drop))
