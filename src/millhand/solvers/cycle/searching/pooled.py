"""Alike stations side by side taken as one with as many slots: a small search whose answer is dealt out again.

The pool stands where its first station does, and another station of it is as far away as the nearest two are from each
other. What is found for few parts a period is then played with the real stations, the one that was emptied first filled
first and the one that was filled first emptied first, until all stand as at the start; ways are the real ones again.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from millhand.solvers.cycle.deadline import TimeUp
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.searching.jobs import jobs_of, skills
from millhand.solvers.cycle.searching.pooled_loads import Pools as Pools
from millhand.solvers.cycle.searching.pooled_loads import dealt_loads
from millhand.solvers.cycle.searching.search import FINE_UNITS, Answer, Span, built, run, unit_of
from millhand.solvers.cycle.tours.tour import Group, Inside, Stay, cycle_of
from millhand.solvers.cycle.view import Mover, Steady

MOST_ROUNDS = 24
MOST_VISITS = 240  # a longer tour tells nobody anything


def pools_of(view: Steady) -> Pools:
    """The alternatives of each step that are alike in everything but their places and serve no other step."""
    found: dict[str, tuple[str, ...]] = {}
    used: dict[str, int] = {}
    for part, route in view.routes.items():
        for step, stop in enumerate(route):
            for name in stop.stations:
                used[name] = used.get(name, 0) + 1
            alike = len({skills(view, part, step, name) for name in stop.stations}) == 1
            if (
                len(stop.stations) > 1
                and alike
                and all(view.slots[name] == parts_in_load(view, name) for name in stop.stations)
            ):
                found[stop.stations[0]] = stop.stations
    return with_their_buffers(view, {a: each for a, each in found.items() if all(used[name] == 1 for name in each)})


def with_their_buffers(view: Steady, pools: Pools) -> Pools:
    """The pools without those machines whose own buffers cannot be pooled with them, and without these buffers: dealt
    out alone, a part would come out of the buffer of another machine. Loads are dealt out without buffers."""
    beside = {a: {b} for a, b in view.only_to.items()}
    for a, b in view.only_to.items():
        beside.setdefault(b, set()).add(a)
    left = dict(pools)
    while True:
        known = set() if view.loads else {name for names in left.values() for name in names}
        alone = [first for first, names in left.items() if any(beside.get(name, set()) - known for name in names)]
        if not alone:
            return left
        left = {first: names for first, names in left.items() if first not in alone}


def parts_in_load(view: Steady, station: str) -> int:
    """How many parts one load of a station has."""
    return view.loads.get(station, 1)


def pooled(view: Steady, pools: Pools) -> Steady:
    """The view with each pool as one station."""
    slots = dict(view.slots)
    for first, names in pools.items():
        slots[first] = len(names) * parts_in_load(view, first)
    return replace(
        view,
        slots=slots,
        routes={
            part: tuple(
                replace(stop, stations=stop.stations[:1], times_steps=stop.times_steps[:1])
                if stop.stations[0] in pools
                else stop
                for stop in route
            )
            for part, route in view.routes.items()
        },
        movers={who: apart(view, mover, pools) for who, mover in view.movers.items()},
    )


def apart(view: Steady, mover: Mover, pools: Pools) -> Mover:
    """An attendant who goes from one station of a pool to another although they are one."""
    tables = []
    for table in (mover.empty_steps, mover.loaded_steps):
        rows = [list(row) for row in table]
        for first, names in pools.items():
            here = [mover.rows[place] for name in names if (place := view.places[name] or "") in mover.rows]
            ways = [table[a][b] for a in here for b in here if a != b]
            known = [way for way in ways if way is not None]
            if known and (row := mover.rows.get(view.places[first] or "")) is not None:
                rows[row][row] = min(known)
        tables.append(tuple(map(tuple, rows)))
    return replace(mover, empty_steps=tables[0], loaded_steps=tables[1])


@dataclass(slots=True, kw_only=True)
class Pool:
    """The stations of a pool while a tour is dealt out: empty ones, and full ones with what lies in them."""

    empty: list[str]
    full: list[tuple[str, Group]] = field(default_factory=list)

    def state(self) -> tuple[tuple[str, ...], tuple[tuple[str, Group], ...]]:
        """What stands where."""
        return (tuple(self.empty), tuple(self.full))


def dealt(
    tour: Sequence[Stay],
    inside: Inside,
    pools: Pools,
    *,
    only_to: Mapping[str, str],
    limited: Collection[str] = (),
) -> tuple[tuple[Stay, ...], int] | None:
    """The tour with real stations, and how many times as long it is; None where it does not come round soon.

    A pool is kept as full as can be, which gives each stay the most time, unless its stays are `limited`: then as many
    parts lie in it as the search has found. `only_to`: from an own buffer a part goes into its machine only, and from
    the machine into its own buffer.
    """
    state = {}
    for first, names in pools.items():
        lying = inside.get(first, {})
        state[first] = start_of(names, lying if first in limited else filled(tour, first, lying, len(names)))
    seen: dict[tuple[object, ...], int] = {}
    rounds: list[list[Stay]] = []
    while len(rounds) <= MOST_ROUNDS:
        key = tuple(pool.state() for pool in state.values())
        if key in seen:
            whole = tuple(visit for turn in rounds[seen[key] :] for visit in turn)
            return (whole, len(rounds) - seen[key]) if len(whole) <= MOST_VISITS else None
        seen[key] = len(rounds)
        turn = turn_at(tour, state, only_to)
        if turn is None:
            return None
        rounds.append(turn)
    return None


def limited_stays(view: Steady) -> set[str]:
    """The stations where a part may not stay as long as it likes, and the own buffers that count with them."""
    found: set[str] = set()
    for route in view.routes.values():
        for at, stop in enumerate(route):
            if stop.stay_max_steps is not None:
                found.update(name for each in route[at - stop.stay_since : at + 1] for name in each.stations)
    return found


def filled(tour: Sequence[Stay], station: str, lying: Mapping[Group, int], room: int) -> Mapping[Group, int]:
    """As many parts in a pool of one kind of part as it can hold at its fullest, so that every station has its turn."""
    if len(lying) != 1:
        return lying
    ((group, count),) = lying.items()
    most = now = count
    for visit in tour:
        if visit.station == station:
            now += {"place": 1, "pick": -1, "swap": 0}[visit.kind]
            most = max(most, now)
    return {group: count + room - most}


def start_of(names: tuple[str, ...], lying: Mapping[Group, int]) -> Pool:
    """A pool when the period begins: the first stations hold what lies there."""
    groups = [group for group, count in lying.items() for _ in range(count)]
    full = list(zip(names, groups, strict=False))
    return Pool(empty=list(names[len(full) :]), full=full)


def turn_at(tour: Sequence[Stay], state: Mapping[str, Pool], only_to: Mapping[str, str]) -> list[Stay] | None:
    """One round at the real stations; None where a pool has none for some visit."""
    empty = {name for pool in state.values() for name in pool.empty}
    found: list[Stay] = []
    for visit in tour:
        pool = state.get(visit.station)
        if pool is not None:
            given = found[-1].station if found and visit.kind == "place" and not visit.who else ""
            name = name_at(visit, pool, empty, only_to) if visit.kind != "place" else None
            if visit.kind != "pick":
                name = name or only_to.get(given) or next(iter(pool.empty), None)
            if name is None or not moved(pool, name, visit):
                return None
            visit = replace(visit, station=name)
            empty = {each for other in state.values() for each in other.empty}
        found.append(visit)
    return found


def name_at(visit: Stay, pool: Pool, empty: set[str], only_to: Mapping[str, str]) -> str | None:
    """The station that is lifted from: the first one filled whose part has somewhere to go."""
    known = [name for name, group in pool.full if group == visit.lifted]
    stuck = [name for name in known if not visit.who and name in only_to and only_to[name] not in empty]
    return next((name for name in known if name not in stuck), next(iter(known), None))


def moved(pool: Pool, name: str, visit: Stay) -> bool:
    """Note that a visit was made at a station of the pool; False where there is no room for its part."""
    if visit.kind != "place":
        pool.full = [each for each in pool.full if each[0] != name]
        pool.empty.append(name)
    if visit.kind != "pick":
        if name not in pool.empty:
            return False
        pool.empty.remove(name)
        pool.full.append((name, visit.set_down))
    return True


def pool_sets(view: Steady, most: int) -> list[int]:
    """The numbers of part sets to look at: with loads of several parts those that bring each pool one load."""
    if not view.loads:
        return list(range(1, most + 1))
    sizes = set(view.loads.values())
    (batch,) = sizes if len(sizes) == 1 else (0,)
    return [batch // view.set_size] if batch and batch % view.set_size == 0 and len(view.routes) == 1 else []


def pool_searched(view: Steady, pools: Pools, sets: int, span: Span, effort: Effort) -> Answer:
    """The best cycle with pooled stations for few part sets, dealt out to the real ones, of which it proves nothing."""
    small = pooled(view, pools)
    unit = unit_of(small)
    least, longest = -(-span.least // unit), span.longest // unit
    nothing = Answer(cycle=None, least_steps=span.least, complete=False)
    if longest < least:
        return nothing
    span = Span(least=least, longest=longest)
    try:
        program = built(small, jobs_of(small, sets), span, unit, deadline=effort.deadline)
    except TimeUp:
        return nothing
    found = run(program, effort, relaxed=bool(small.loads) or longest > FINE_UNITS)
    answer = replace(nothing, spent=found.spent, spent_s=found.spent_s)
    if found.tour is not None and small.loads:
        turns = dealt_loads(found.tour, found.inside, pools)
        return replace(answer, cycle=cycle_of(view, turns.tour, turns.inside), parts_times=turns.times)
    whole = None
    if found.tour is not None:
        limited = limited_stays(small)
        whole = dealt(found.tour, found.inside, pools, only_to=view.only_to, limited=limited)
    if whole is None:
        return answer
    return replace(answer, cycle=cycle_of(view, whole[0]), parts_times=whole[1])
