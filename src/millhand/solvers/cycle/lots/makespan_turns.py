"""What the order of the lots costs: a supply gives no part of a later lot before all of the earlier ones are lifted.

When the last part of the earlier lots is set down at its first machine, all the others have been set down there before
it, and all but those for which there is room have been finished and lifted out. Only then the first part of a later lot
is fetched. That holds where one attendant with one hand empties the supply, as it never waits with a part.
"""

from collections.abc import Iterator, Sequence
from math import ceil

from millhand.model.schedule import Bound
from millhand.solvers.cycle.lots.makespan_bounds import (
    fills_of,
    head_steps,
    load_steps,
    set_steps,
    station_groups,
    tail_steps,
    told,
)
from millhand.solvers.cycle.lots.makespan_gaps import gaps_before, go_steps, served_alone
from millhand.solvers.cycle.lots.makespan_lots import Lots, Way


def turn_bounds(lots: Lots) -> Iterator[Bound]:
    """The largest bound of each group of stations for the parts of later lots."""
    best: dict[frozenset[str], tuple[int, str]] = {}
    for supply in dict.fromkeys(route[0].stations[0] for route in lots.view.routes.values()):
        pieces = [j for j in range(len(lots.pieces)) if lots.supplies(j) == (supply,)]
        if not served_alone(lots, frozenset([supply])):
            continue
        for turn in sorted({lots.pieces[j].turn for j in pieces})[1:]:
            early = [j for j in pieces if lots.pieces[j].turn < turn]
            late = [j for j in pieces if lots.pieces[j].turn >= turn]
            since = last_set_steps(lots, early, supply)
            if since is None:
                continue
            for group in station_groups(lots):
                steps = later_steps(lots, group, late)
                if steps and since + steps > best.get(group, (0, ""))[0]:
                    best[group] = (since + steps, supply)
    for group, (steps, supply) in best.items():
        names = " and ".join(sorted(group))
        yield told(lots, names, steps, f"{names}: the lots that {supply} gives later, at least")


def last_set_steps(lots: Lots, early: Sequence[int], supply: str) -> int | None:
    """The least time until the last of these parts is set down at its first station and its attendant is back at the
    supply; None where the first stations do not fill up."""
    stations = frozenset(name for j in early for name in lots.route(j)[1].stations)
    if not all(lots.works(name) and lots.holds_one_load(name) for name in stations) or any(
        len(lots.route(j)) == 2 for j in early
    ):
        return None
    visits = [(j, 1) for j in early]
    out = max(0, len(early) - sum(lots.batch(name) for name in stations))
    gaps = gaps_before(lots, stations, visits)[: max(0, out - len(stations) + 1)]
    work = ceil((sum(sorted(fills_of(lots, visits))[:out]) + sum(gaps)) / len(stations))
    head = min(head_steps(lots, j, 1) for j in early)
    ways = [(j, way) for j in early for way in lots.ways_of((j, 0))]
    return head + work + min(set_steps(lots, way, j) + back_steps(lots, way, supply) for j, way in ways)


def back_steps(lots: Lots, way: Way, supply: str) -> int:
    """The empty way from where a part was set down to the supply."""
    return go_steps(lots, way.who, (lots.view.places[way.goal], lots.view.places[supply]))


def later_steps(lots: Lots, group: frozenset[str], late: Sequence[int]) -> int:
    """The least time from then on until the parts of later lots have been worked on by a group and have left."""
    visits = [
        (j, step)
        for j in late
        for step in range(1, len(lots.route(j)) - 1)
        if set(lots.route(j)[step].stations) <= group
    ]
    if not visits:
        return 0
    ends = min(head_steps(lots, *visit) for visit in visits) + min(tail_steps(lots, *visit) for visit in visits)
    return ends + load_steps(lots, group, visits)
