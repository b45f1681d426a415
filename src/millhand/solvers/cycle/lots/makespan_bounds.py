"""What no plan for the lots of a cell can be shorter than, by thinking alone.

A machine has to do all its work between the earliest set-down there and the latest lift from which a part can still
leave in time: least head, load, least tail; where one hand serves it, it stands empty between parts. An attendant has
to make all transfers that only it can make, each with the least way to it.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil

from millhand.model.schedule import Bound
from millhand.solvers.cycle.lots.makespan_gaps import gaps_before
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots, Way


def told(lots: Lots, resource: str, steps: int, words: str) -> Bound:
    """One bound."""
    seconds = f"{steps * lots.view.grid_s:.3f}".rstrip("0").rstrip(".")
    return Bound(resource=resource, steps=float(steps), cycle_steps=float(steps), words=f"{words} {seconds} s")


def lift_steps(lots: Lots, way: Way, j: int) -> int:
    """The least that a lift binds the attendant and the station."""
    return least_hold(lots, (way.who, way.start), j, "pick")


def set_steps(lots: Lots, way: Way, j: int) -> int:
    """The least that a set-down binds the attendant and the station."""
    return least_hold(lots, (way.who, way.goal), j, "place")


def least_hold(lots: Lots, at: tuple[str | None, str], j: int, kind: str) -> int:
    """The plain hold or the exchange's, whichever is there and shorter."""
    who, station = at
    if who is None:
        return 0
    kinds = [each for each in (kind, "swap") if lots.can(who, station, j, each)]
    return min((lots.phase(who, station, j, each).hold_steps for each in kinds), default=0)


def transfer_steps(lots: Lots, hop: Hop) -> int:
    """The least from the begin of a lift to the end of the set-down."""
    j = hop[0]
    return min(lift_steps(lots, way, j) + lots.carry_steps(way) + set_steps(lots, way, j) for way in lots.ways_of(hop))


def work_least(lots: Lots, j: int, steps: range) -> int:
    """The least work of steps that follow each other; where the machines of a step have several places, that of one
    machine at all of them."""
    found, column = 0, [0]
    for step in steps:
        times = lots.route(j)[step].times_steps
        if step > steps.start and is_inside(lots, (j, step - 1)):
            column = [one + other for one, other in zip(column, times, strict=True)]
        else:
            found, column = found + min(column), list(times)
    return found + min(column)


def is_inside(lots: Lots, hop: Hop) -> bool:
    """Whether a part goes on by itself from each station to one of the next step, and from each to another one."""
    (j, h), ways = hop, lots.ways_of(hop)
    pairs = zip(lots.route(j)[h].stations, lots.route(j)[h + 1].stations, strict=False)
    return all(way.who is None for way in ways) and [(way.start, way.goal) for way in ways] == list(pairs)


def head_steps(lots: Lots, j: int, step: int) -> int:
    """The least until a part can be set down at a step, the set-down itself not counted."""
    past = sum(transfer_steps(lots, (j, h)) for h in range(step - 1))
    past += work_least(lots, j, range(1, step))
    ways = lots.ways_of((j, step - 1))
    return past + min(lift_steps(lots, way, j) + lots.carry_steps(way) for way in ways)


def tail_steps(lots: Lots, j: int, step: int) -> int:
    """The least from the end of the lift out of a step until the part has left."""
    last = len(lots.route(j)) - 1
    rest = sum(transfer_steps(lots, (j, h)) for h in range(step + 1, last))
    rest += work_least(lots, j, range(step + 1, last))
    return rest + min(lots.carry_steps(way) + set_steps(lots, way, j) for way in lots.ways_of((j, step)))


def path_bounds(lots: Lots) -> Iterator[Bound]:
    """No part leaves before it has gone its own way, even if it were alone."""
    longest: dict[str, int] = {}
    for j, piece in enumerate(lots.pieces):
        last = len(lots.route(j)) - 1
        alone = sum(transfer_steps(lots, (j, h)) for h in range(last))
        alone += work_least(lots, j, range(1, last))
        longest[piece.part] = max(longest.get(piece.part, 0), alone)
    for part, steps in longest.items():
        yield told(lots, part, steps, f"one {part} alone takes at least")


def station_bounds(lots: Lots) -> Iterator[Bound]:
    """Each group of stations that share steps: their work, between the least head and the least tail."""
    for group in station_groups(lots):
        visits = [
            (j, step)
            for j in range(len(lots.pieces))
            for step in range(1, len(lots.route(j)) - 1)
            if set(lots.route(j)[step].stations) <= group
        ]
        if not visits:
            continue
        ends = min(head_steps(lots, *visit) for visit in visits) + min(tail_steps(lots, *visit) for visit in visits)
        steps = ends + load_steps(lots, group, visits)
        names = " and ".join(sorted(group))
        yield told(lots, names, steps, f"{names}: first part there, all work, last part out, at least")


def load_steps(lots: Lots, group: frozenset[str], visits: Sequence[tuple[int, int]]) -> int:
    """The least time in which a group of stations makes these visits, from the first set-down to the last lift."""
    gaps = gaps_before(lots, group, visits)[: max(0, len(visits) - len(group))]
    return ceil((sum(fills_of(lots, visits)) + sum(gaps)) / len(group))


def fills_of(lots: Lots, visits: Sequence[tuple[int, int]]) -> list[Fraction]:
    """How long each of these visits fills a station at least; parts of one load share it."""
    known: dict[tuple[str, int], Fraction] = {}
    for j, step in visits:
        key = (lots.pieces[j].part, step)
        if key not in known:
            fills = fills_at_each(lots, (j, step))
            known[key] = min(Fraction(fill, lots.batch(station)) for station, fill in fills.items())
    return [known[lots.pieces[j].part, step] for j, step in visits]


def station_groups(lots: Lots) -> list[frozenset[str]]:
    """Stations that work: the choice at each step, and all choices that have a station in common joined."""
    groups: list[set[str]] = []
    choices: dict[frozenset[str], None] = {}
    for j in range(len(lots.pieces)):
        for stop in lots.route(j)[1:-1]:
            own = {name for name in stop.stations if lots.works(name) and lots.holds_one_load(name)}
            touched = [group for group in groups if group & own]
            groups = [group for group in groups if not group & own]
            if own:
                choices[frozenset(own)] = None
                groups.append(own.union(*touched))
    return list(dict.fromkeys([*choices, *(frozenset(group) for group in groups)]))


def fills_steps(lots: Lots, visit: tuple[int, int]) -> int:
    """How long a part fills a station at least: set-down, tail, work and lift, or the exchange in place of both."""
    return min(fills_at_each(lots, visit).values())


def fills_at_each(lots: Lots, visit: tuple[int, int]) -> dict[str, int]:
    """The same at each station of the step."""
    j, step = visit
    return {name: fills_at(lots, (j, step - 1), (j, step), name) for name in lots.route(j)[step].stations}


def fills_at(lots: Lots, comes: Hop, goes: Hop, station: str) -> int:
    """The same at one station."""
    j, step = goes
    work = lots.work_steps(j, step, station)
    into = [way for way in lots.ways_of(comes) if way.goal == station]
    out = [way for way in lots.ways_of(goes) if way.start == station]
    if lots.batch(station) > 1:
        return work
    plain = min((set_steps(lots, way, j) for way in into), default=0)
    plain += min((lift_steps(lots, way, j) for way in out), default=0)
    swaps = [lots.phase(way.who, station, j, "swap").hold_steps for way in into if swaps_at(lots, way, j)]
    return work + min([plain, *swaps])


def swaps_at(lots: Lots, way: Way, j: int) -> bool:
    """Whether the attendant of a way exchanges at its goal."""
    return way.who is not None and lots.can(way.who, way.goal, j, "swap")


def attendant_bounds(lots: Lots) -> Iterator[Bound]:
    """Each attendant with the transfers that only it can make."""
    for who, mover in lots.view.movers.items():
        own = [hop for hop in lots.hops() if {way.who for way in lots.ways_of(hop)} == {who}]
        exchanges = any((name, kind) == (who, "swap") for name, *_, kind in lots.view.phases)
        steps = 0
        for hop in own:
            holds = min(lift_steps(lots, way, hop[0]) + set_steps(lots, way, hop[0]) for way in lots.ways_of(hop))
            if mover.hands == 1:
                steps += transfer_steps(lots, hop) + way_to(lots, who, hop)
            else:
                steps += holds // 2 if exchanges else holds
        if own:
            yield told(lots, who, steps, f"{who} alone can make {len(own)} transfers, which take at least")


def way_to(lots: Lots, who: str, hop: Hop) -> int:
    """The least empty way to where a transfer begins, from home or from where any other ends."""
    mover = lots.view.movers[who]
    ends = {lots.view.places[way.goal] for each in lots.hops() for way in lots.ways_of(each) if way.who == who}
    ends.add(lots.home[who])
    starts = {lots.view.places[way.start] for way in lots.ways_of(hop)}
    ways = [mover.travel_steps(end, start, loaded=False) for end in ends for start in starts]
    return min((way for way in ways if way is not None), default=0)
