"""Good simple cycles, chosen by the shape of the cell, each checked by the independent validator before it is given.

One hand: every order of the carries is looked at (orders.py). Two hands: a part is exchanged at each machine on the way
from supply to outfeed. Machines side by side are each served once a period. Several attendants with their own machines
each run their own tour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from millhand.errors import NotYet, ToolError
from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import cycle_bound_steps, least_for, load_bounds
from millhand.solvers.cycle.checking.validate import passed
from millhand.solvers.cycle.kept import Kept
from millhand.solvers.cycle.parts_duties import duties_left_out
from millhand.solvers.cycle.tours.orders import FAR, Carry, best_order, carries_of
from millhand.solvers.cycle.tours.rounds import carry_rounds, exchange_rounds, in_order
from millhand.solvers.cycle.tours.shape import check_shape, zones
from millhand.solvers.cycle.tours.tour import Cycle, Stay, cycle_of, tour_steps
from millhand.solvers.cycle.view import Steady

GIVEN = "in the order given by the cell"
LIMIT = 20_000  # unfinished orders looked at before the search gives up


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One cycle found for one attendant: its tour, the parts it makes a period, and what is proven about it."""

    tour: tuple[Stay, ...]
    cycle: Cycle
    parts: int
    complete: bool
    how: str
    given: bool = False  # in the order that the cell itself gives

    @property
    def steps_per_part(self) -> float:
        """Grid steps per part."""
        return self.cycle.period_steps / self.parts


def schedule(cell: Cell) -> Schedule:
    """The best simple cycle of a cell, validated; NotYet names what this version cannot schedule."""
    return kept(cell).told


def kept(cell: Cell) -> Kept:
    """The same with how it was found apart from what is known of others."""
    view = check_shape(cell)
    bound = cycle_bound_steps(cell)
    found = [best_for(cell, zone, floor=bound) for zone in zones(view)]
    if any(each.cycle.period_steps < 1 for each in found):
        raise NotYet("a cycle in which nothing takes any time")
    whole = found[0] if len(found) == 1 else together(view, found)
    result = finished(cell, view, whole, bound)
    passed(cell, result.told)
    return result


def is_settled(cell: Cell, quick: Schedule) -> bool:
    """Whether a simple cycle needs no search: its order is given by the cell, or it meets the load bound."""
    return meets_bound(cell, quick) or follows_order(cell)


def meets_bound(cell: Cell, found: Schedule) -> bool:
    """Whether a cycle is as short as the loads allow."""
    return found.period_steps <= least_for(cycle_bound_steps(cell), cell, found)


def simple(cell: Cell) -> Schedule | None:
    """The best simple cycle; None where there is none."""
    found = simply(cell)
    return None if found is None else found.told


def simply(cell: Cell) -> Kept | None:
    """The same with how it was found apart from what is known of others; None too where the validator refuses it: that
    is a mistake of the program, and a search may still find a cycle that holds."""
    try:
        return kept(cell)
    except NotYet:
        return None
    except ToolError as refused:
        if refused.code != "invalid_cycle":
            raise
        return None


def finished(cell: Cell, view: Steady, found: Found, bound: float) -> Kept:
    """The record of a cycle, with what is proven about it."""
    least = ceil(round(bound * found.parts / view.set_size, 6))
    at_bound = found.cycle.period_steps <= least
    bounds = load_bounds(cell)
    setter = max(bounds, key=lambda each: each.cycle_steps).resource
    cycle = Schedule(
        cell=content_hash(cell),
        grid_s=cell.grid_s,
        period_steps=found.cycle.period_steps,
        parts_per_period=found.parts,
        bounds=bounds,
        events=found.cycle.events,
        arcs=found.cycle.arcs,
        critical=found.cycle.critical,
        proven=at_bound or found.complete,
        how=found.how,
        left_out=(*view.left_out, *orders_left_out(cell, view, found)),
        duties_left_out=duties_left_out(cell, view),
        least_steps=found.cycle.period_steps if found.complete else least,
    )
    return Kept(cycle=cycle, found=found.how, others=(f"equals the load bound of {setter}",) if at_bound else ())


def orders_left_out(cell: Cell, view: Steady, found: Found) -> list[str]:
    """Orders that the cell gives and the cycle does not follow."""
    free = [] if found.given else [who for who in view.movers if order_of(cell, who)]
    return [f"the order that {who} goes by otherwise: the cycle has its own" for who in free]


def together(view: Steady, found: Sequence[Found]) -> Found:
    """The tours of several attendants side by side, all at the period of the slowest."""
    tour = tuple(visit for each in found for visit in each.tour)
    cycle = cycle_of(view, tour)
    if cycle is None:
        raise NotYet("zones whose windows allow no common period")
    return Found(
        tour=tour,
        cycle=cycle,
        parts=sum(each.parts for each in found),
        complete=False,
        how=f"{len(found)} attendants with machines of their own, all at the period of the slowest",
    )


def best_for(cell: Cell, view: Steady, *, floor: float) -> Found:
    """The best simple cycle of one attendant."""
    found: list[Found] = []
    for candidate in candidates(cell, view, floor=floor):
        found.append(candidate)
        if candidate.cycle.period_steps <= ceil(floor * candidate.parts / view.set_size):
            break
    if not found:
        raise NotYet("a cycle for this cell: no simple one keeps its windows and ways")
    return min(found, key=lambda each: each.steps_per_part)


def candidates(cell: Cell, view: Steady, *, floor: float) -> Iterator[Found]:
    """The simple cycles that fit, most promising first; only the own order of the cell where it gives one in full."""
    (mover,) = view.movers.values()
    carries = carry_rounds(view)
    ordered = given_carries(cell, view)
    if ordered:
        yield from given_order(view, ordered)
        return
    best = exchanged(view, floor=floor) if mover.hands > 1 else None
    if best is not None:
        yield best
    if carries is not None:
        yield from best_of_carries(view, carries, floor=floor, best=best)


def follows_order(cell: Cell) -> bool:
    """Whether a simple cycle of a cell that has one goes by the order that the cell itself gives in full."""
    if not any(rule.rule == "order" for rule in cell.dispatch.values()):
        return False
    apart = zones(check_shape(cell))
    return len(apart) == 1 and bool(given_carries(cell, apart[0]))


def given_carries(cell: Cell, view: Steady) -> list[Carry] | None:
    """The carries of one attendant in the order that the cell gives; None where it gives none in full."""
    (mover,) = view.movers.values()
    return in_order(carry_rounds(view) or [], order_of(cell, mover.id))


def order_of(cell: Cell, who: str) -> tuple[str, ...]:
    """The order of stations that the dispatch of an attendant gives."""
    rule = cell.dispatch.get(who)
    return rule.order if rule is not None and rule.rule == "order" else ()


def exchanged(view: Steady, *, floor: float) -> Found | None:
    """A finished part exchanged for the next one at each machine, by the second hand; the best order of machines."""
    best: Found | None = None
    for tour, parts in exchange_rounds(view):
        if best is not None and best.cycle.period_steps <= ceil(floor * parts / view.set_size):
            continue
        if best is not None and tour_steps(view, tour, most=best.cycle.period_steps) >= best.cycle.period_steps:
            continue
        cycle = cycle_of(view, tour)
        if cycle is not None and (best is None or cycle.period_steps < best.cycle.period_steps):
            how = "exchange with two hands at each machine"
            best = Found(tour=tour, cycle=cycle, parts=parts, complete=False, how=how)
    return best


def given_order(view: Steady, ordered: Sequence[Carry]) -> Iterator[Found]:
    """The cycle in the order that the cell itself gives."""
    tour = tuple(visit for carry in ordered for visit in carry.visits)
    cycle = cycle_of(view, tour)
    if cycle is not None:
        yield Found(tour=tour, cycle=cycle, parts=parts_of(view, tour), complete=False, how=GIVEN, given=True)


def best_of_carries(view: Steady, carries: Sequence[Carry], *, floor: float, best: Found | None) -> Iterator[Found]:
    """One hand: the best order of all carries of one period."""
    tour = tuple(visit for carry in carries for visit in carry.visits)
    parts = parts_of(view, tour)
    if repeats_a_slot(carries):
        cycle = cycle_of(view, tour)
        if cycle is not None:
            yield Found(
                tour=tour, cycle=cycle, parts=parts, complete=False, how="one hand, last step first, round by round"
            )
        return
    below = FAR if best is None else ceil(best.steps_per_part * parts)
    least = ceil(floor * parts / view.set_size)
    one_hand = best_order(carries_of(view, carries), floor_steps=least, limit=LIMIT, below=below)
    if one_hand.order is None:
        return
    tour = tuple(visit for number in one_hand.order for visit in carries[number].visits)
    cycle = cycle_of(view, tour)
    if cycle is not None:
        how = how_words(one_hand.complete, parts) if best is None else "one hand after another, quicker than exchanging"
        (mover,) = view.movers.values()
        complete = one_hand.complete and mover.hands == 1  # two hands can do more than one after the other
        yield Found(tour=tour, cycle=cycle, parts=parts, complete=complete, how=how)


def how_words(complete: bool, parts: int) -> str:
    """What a finished or an unfinished search says of itself."""
    family = f"one-hand cycles with {parts} part{'s' if parts > 1 else ''} a period, each machine loaded once"
    return f"exhaustive over all {family}" if complete else f"best found among the {family}; the search was cut off"


def repeats_a_slot(carries: Sequence[Carry]) -> bool:
    """Whether some slot is filled more than once a period, at one step or at several, so that the stays depend on more
    than one order."""
    ends = max(carry.place.step for carry in carries)
    working = [(carry.place.station, carry.place.slot) for carry in carries if carry.place.step < ends]
    return len(set(working)) < len(working)


def parts_of(view: Steady, tour: Sequence[Stay]) -> int:
    """Parts that enter the cell in one period."""
    return sum(1 for visit in tour if visit.kind == "pick" and visit.step == 0)
