"""The plan of work by hand: the machines where they stand, and the round of whoever tends them.

Where parts wait is not known: their places are drawn before the machines, so that the round can be seen.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from millhand.model.layout import Spot
from millhand.report.drawing import Line, Point, Thing, extent, fitted, rectangle
from millhand.report.marks import Marks
from millhand.report.plan_marks import Box, box_at, middle_of
from millhand.report.plan_view import OUT, north_and_scale, words_of

STEP = 0.45  # m, from a machine to where somebody stands before it
SIDE = 0.55  # m, of what is brought, and how far beside the middle it stands
CLEAR = 0.15  # m, between what is brought and the way past it
BEFORE = 2.5  # m, from the machines to where parts wait
STORE = (1.5, 0.6)  # m, at least
RAW, FINISHED = "raw parts", "finished parts"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandPlan:
    """What is drawn: machines with the side that each looks to, and what the change makes of the round."""

    machines: tuple[Spot, ...]
    faces: Mapping[str, str]
    marks: Marks
    letters: float  # m
    raw: bool  # parts are put in, too
    brought: bool  # something stands at each machine then
    fills: str  # boxes, stock: that fills or empties by itself; "": each part is loaded by hand

    def box(self, spot: Spot) -> tuple[Point, Point]:
        """Middle and sides of a machine."""
        at = tuple(self.marks.fact(each).value for each in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m))
        return (at[0], at[1]), (at[2], at[3])

    def front(self, spot: Spot, out: float, aside: float = 0.0) -> Point:
        """A point before a machine, so far out and so far beside its middle."""
        (x, y), (wide, deep) = self.box(spot)
        dx, dy = OUT[self.faces.get(spot.name, "south")]
        far = (wide if dx else deep) / 2.0 + out
        return x + dx * far - dy * aside, y + dy * far + dx * aside


def hand_things(plan: HandPlan) -> tuple[Thing, ...]:
    """All that is drawn, with north and scale."""
    floor = tuple(on_floor(plan))
    return (*floor, *north_and_scale(plan.letters, extent(floor), plan.marks.term("north")))


def on_floor(plan: HandPlan) -> Iterator[Thing]:
    """Machines, what is brought, where somebody stands, where parts wait, and the rounds between them."""
    for spot in plan.machines:
        middle, sides = plan.box(spot)
        yield rectangle("machines", middle, sides)
        yield from fitted(words_of(spot.name), middle, sides, plan.letters)
        if plan.brought:
            yield rectangle("brought", plan.front(spot, SIDE / 2.0, aside(plan, spot)), (SIDE, SIDE))
    sides = max(STORE[0], plan.letters * 9.0), max(STORE[1], plan.letters * 1.6)
    stores = {words: box_at(at, sides) for words, at in waiting(plan).items()}
    for words, box in stores.items():
        yield rectangle("stores", middle_of(box), sides)
        yield from fitted(words, middle_of(box), sides, plan.letters)
    if not plan.fills:
        by_hand = [plan.front(each, STEP) for each in plan.machines]
        yield from walked("round", around(by_hand, stores, (0.35, 0.3 * plan.letters)), plan.letters)
        return
    by_hand = [plan.front(each, SIDE + CLEAR) for each in plan.machines]
    yield from walked("round today", around(by_hand, stores, (0.35, 0.3 * plan.letters)), plan.letters, at=0.36)
    filled = [plan.front(each, SIDE + STEP + CLEAR, aside(plan, each)) for each in plan.machines]
    kept = {words: box for words, box in stores.items() if words != RAW or plan.fills == "stock"}
    yield from walked("round", around(filled, kept, (0.15, plan.letters)), plan.letters, at=0.6)


def aside(plan: HandPlan, spot: Spot) -> float:
    """How far beside a machine's middle stands what is brought: towards the other machines, so that the new round lies
    within the one of today, and no further than its front goes."""
    dx, _ = OUT[plan.faces.get(spot.name, "south")]
    _, (wide, deep) = plan.box(spot)
    far = max(min(SIDE * 1.6, ((deep if dx else wide) - SIDE) / 2.0), 0.0)
    fronts = [plan.front(each, 0.0) for each in plan.machines]
    middle = tuple(sum(each) / len(fronts) for each in zip(*fronts, strict=True))
    return min((far, -far), key=lambda each: math.dist(plan.front(spot, 0.0, each), middle))


def waiting(plan: HandPlan) -> dict[str, Point]:
    """Where raw and finished parts wait, as drawn: before the first and before the last machine."""
    first, last = plan.front(plan.machines[0], BEFORE), plan.front(plan.machines[-1], BEFORE)
    middle = (first[0] + last[0]) / 2.0, (first[1] + last[1]) / 2.0
    if not plan.raw:
        return {FINISHED: middle}
    apart = max(STORE[0], plan.letters * 9.0) * 1.2
    if math.dist(first, last) < apart:
        first, last = (middle[0] - apart / 2.0, middle[1]), (middle[0] + apart / 2.0, middle[1])
    return {RAW: first, FINISHED: last}


def around(stops: Sequence[Point], stores: Mapping[str, Box], near: tuple[float, float]) -> tuple[Point, ...]:
    """From the raw parts along the machines to the finished ones and back: before the boxes, so far out of their middle
    (a share of their width) and so far off their edge."""
    share, off = near
    above = sum(y for _, y in stops) / len(stops) >= max((middle_of(each)[1] for each in stores.values()), default=0.0)

    def before(box: Box, way: float) -> Point:
        x, wide = middle_of(box)[0], box[2] - box[0]
        return x + way * share * wide, box[3] + off if above else box[1] - off

    begin = [before(stores[RAW], -1.0)] if RAW in stores else []
    end = [before(stores[FINISHED], 1.0)] if FINISHED in stores else []
    if end and not begin:
        end.append(before(stores[FINISHED], -1.0))
    whole = (*begin, *stops, *end)
    return (*whole, whole[0]) if len(whole) > 2 else whole


def walked(layer: str, way: Sequence[Point], letters: float, *, at: float = 0.5) -> Iterator[Line]:
    """A way with an arrow on each of its pieces that is long enough, at the same share of it."""
    yield Line(layer=layer, points=tuple(way))
    for (ax, ay), (bx, by) in pairwise(way):
        long = math.dist((ax, ay), (bx, by))
        if long < 3.0 * letters:
            continue
        dx, dy = (bx - ax) / long * letters * 0.5, (by - ay) / long * letters * 0.5
        x, y = ax + (bx - ax) * at, ay + (by - ay) * at
        tail = (x - dx - dy * 0.7, y - dy + dx * 0.7), (x - dx + dy * 0.7, y - dy - dx * 0.7)
        yield Line(layer="arrows", points=(tail[0], (x + dx * 0.6, y + dy * 0.6), tail[1]))
