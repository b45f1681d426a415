"""What people ask of a plan beside what stands there: fields, proposed places of emergency stops, the aisle kept free.

All of it is drawn from the layout: no device has a place of its own in a study, and none is settled before the risk
assessment.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from millhand.model.layout import Spot, Stretch
from millhand.report.drawing import Circle, Line, Point, Thing, Words, extent, rectangle
from millhand.report.plan_view import Plan, before

STOPS, RESETS, PANEL, CABINET, AISLE = "emergency stops", "resets", "panel", "cabinet", "aisle"
FIELDS = ("slow field", "stop field")  # the outer one first
PEOPLE = "people at "
SOLID = ("machine", "obstacle", "column", "presenter", "outfeed", "arm")  # where nothing is hung or walked through
STEP = 0.05  # m, between two places that are tried for a panel
APART = 1.0  # m, between a panel and another stop, where there is room
NARROWS = 0.001  # m, less is none
CUPBOARD = (0.8, 0.5)  # m, how large the control cabinet is drawn: a usual one
SWING = 0.9  # m, kept free of panels on both sides of a gate
Box = tuple[float, float, float, float]  # low x, low y, high x, high y [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """What is drawn besides: fact ids of the fields' depths by layer and of the aisle's width, with its words, and how
    many devices stand at panels."""

    fields: tuple[tuple[str, str], ...] = ()
    aisle: str = ""
    width: str = ""  # the same as a reader's figure
    panels: int = 0
    stops: bool = False
    devices: bool = False  # cabinet, scanner, device of a side that people fill: where there is room for their words


def marked_things(plan: Plan, marked: Marked) -> Iterator[Thing]:
    """All of them."""
    yield from fields(plan, marked)
    if marked.aisle:
        yield from aisle(plan, marked)
    if marked.stops:
        yield from stops(plan, marked.panels)
    cabinet = cabinet_box(plan, marked)
    if cabinet is not None:
        yield rectangle(CABINET, middle_of(cabinet), (cabinet[2] - cabinet[0], cabinet[3] - cabinet[1]))


def fields(plan: Plan, marked: Marked) -> Iterator[Thing]:
    """Each field round every place of the foot: so deep beyond the reach of links and gripper."""
    moves = plan.value(plan.drawn.reach) + plan.value(plan.drawn.hand)
    feet = dict.fromkeys(plan.place(foot.x_m, foot.y_m) for foot in plan.drawn.feet)
    for layer, fact_id in marked.fields:
        fact = plan.marks.fact(fact_id)
        deep = fact.value if fact.high is None else fact.high
        yield from (Circle(layer=layer, at=at, radius=moves + deep) for at in feet)


# --- emergency stops ---


def stops(plan: Plan, panels: int) -> Iterator[Thing]:
    """One at each gate and where somebody fills or empties, those of the panels in a box of their own; a reset at the
    other end of each gate."""
    half = plan.letters * 0.42
    yield from (device(at, half) for at in single(plan))
    yield from (Circle(layer=RESETS, at=at_gate(plan, each, first=False), radius=half * 0.8) for each in gates_of(plan))
    if panels:
        box = panel_box(plan, panels)
        (x, y), wide, deep = middle_of(box), box[2] - box[0], box[3] - box[1]
        yield rectangle(PANEL, (x, y), (wide, deep))
        offsets = (max(wide, deep) * ((n + 0.5) / panels - 0.5) for n in range(panels))
        yield from (device((x + each, y) if wide > deep else (x, y + each), half) for each in offsets)


def gates_of(plan: Plan) -> list[Stretch]:
    """The gates in the fence."""
    return [each for each in plan.drawn.fence if each.name == "gate"]


def single(plan: Plan) -> list[Point]:
    """The stops that are in no panel."""
    at_gates = [at_gate(plan, each, first=True) for each in gates_of(plan)]
    return at_gates + [at_stand(plan, each) for each in plan.drawn.people]


def device(at: Point, half: float) -> Line:
    """One device: a full diamond."""
    (x, y) = at
    return Line(layer=STOPS, points=((x - half, y), (x, y - half), (x + half, y), (x, y + half)), closed=True)


def at_gate(plan: Plan, gate: Stretch, *, first: bool) -> Point:
    """Outside on the fence, past one end of a gate and not before it; past the other one where that end is taken."""
    one, other = plan.place(gate.x_m, gate.y_m), plan.place(gate.to_x_m, gate.to_y_m)
    ends = ((one, other), (other, one)) if first else ((other, one), (one, other))
    out = outward(plan, middle_of((*one, *other)), along=abs(one[0] - other[0]) > 0.0)
    off, far = plan.letters * 0.62, math.dist(one, other)
    tried = [
        (x + ((x - to_x) / far + out[0]) * off, y + ((y - to_y) / far + out[1]) * off)
        for (x, y), (to_x, to_y) in ends
    ]  # fmt: skip
    return next((at for at in tried if is_free(plan, at)), tried[0])


def outward(plan: Plan, at: Point, *, along: bool) -> Point:
    """The way out of the fence, across a piece of it that runs along x or along y."""
    x, y = middle_of(boxes(plan, ("fence",))[0])
    return (0.0, 1.0 if at[1] > y else -1.0) if along else (1.0 if at[0] > x else -1.0, 0.0)


def at_stand(plan: Plan, people: Spot) -> Point:
    """Where somebody fills or empties: beside the stand, at that end of the strip that is free."""
    strip = box_of(plan, people)
    stand = plan.named(people.name.removeprefix(PEOPLE))
    (x, y), wide = middle_of(strip), plan.letters * 0.6
    if stand is None:
        return x, strip[1] + wide
    sx, sy = plan.place(stand.x_m, stand.y_m)
    if overlap(strip, box_of(plan, stand), axis=0) >= overlap(strip, box_of(plan, stand), axis=1):
        near = strip[3] - wide if sy > y else strip[1] + wide
        tried = [(strip[2] - wide, near), (strip[0] + wide, near)]
    else:
        near = strip[2] - wide if sx > x else strip[0] + wide
        tried = [(near, strip[1] + wide), (near, strip[3] - wide)]
    return next((at for at in tried if is_free(plan, at)), tried[0])


def panel_box(plan: Plan, panels: int) -> Box:
    """On the fence, apart from the other stops and then as near to the first gate as there is room: off every gate,
    door and stand and outside the aisle; else beside the strip where somebody fills, and the aisle goes round it."""
    long, deep = plan.letters * 1.1 * panels, plan.letters * 1.35
    taken, whole = (*solid(plan), *kept_free(plan)), around(plan)
    gates = gates_of(plan)
    near = ends_middle(plan, gates[0]) if gates else (0.0, 0.0)
    found = [
        each for each in along_fence(plan, long, deep)
        if within(each, whole) and not any(meets(each, other) for other in taken)
    ]  # fmt: skip
    others = single(plan)

    def worth(each: Box) -> tuple[float, float]:
        at = middle_of(each)
        return -min([APART, *(math.dist(at, other) for other in others)]), math.dist(at, near)

    return min(found, key=worth) if found else beside_strip(plan, long, deep)


def cabinet_box(plan: Plan, marked: Marked) -> Box | None:
    """Outside on the fence, else beside the panel, as near to that as there is room; None where there is none."""
    if not (marked.devices and marked.stops and marked.panels):
        return None
    panel, half = panel_box(plan, marked.panels), plan.letters * 0.6
    stand = [box_at(at, (2.0 * half, 2.0 * half)) for at in single(plan)]
    taken, at = (*solid(plan), *kept_free(plan), *stand, panel), middle_of(panel)
    long, deep = CUPBOARD
    off = [(part + size) / 2.0 + half / 4.0 for part, size in zip(
        (panel[2] - panel[0], panel[3] - panel[1]), CUPBOARD, strict=True)]  # fmt: skip
    beside = [box_at((at[0] + x * off[0], at[1] + y * off[1]), CUPBOARD)
              for x, y in ((1, 0), (-1, 0), (0, -1), (0, 1))]  # fmt: skip
    found = [
        each for each in (*along_fence(plan, long, deep), *beside)
        if not any(meets(each, other) for other in taken)
    ]  # fmt: skip
    whole = around(plan)
    return min(found, key=lambda each: (not within(each, whole), math.dist(middle_of(each), at)), default=None)


def along_fence(plan: Plan, long: float, deep: float) -> Iterator[Box]:
    """Places on the outside of each stretch of the fence."""
    for each in plan.drawn.fence:
        one, other = plan.place(each.x_m, each.y_m), plan.place(each.to_x_m, each.to_y_m)
        way, flat = math.dist(one, other), abs(one[0] - other[0]) > abs(one[1] - other[1])
        dx, dy = outward(plan, ends_middle(plan, each), along=flat)
        off = deep / 2.0 + plan.letters * 0.15
        for n in range(int((way - long) / STEP) + 1 if way > long else 0):
            share = (long / 2.0 + n * STEP) / way
            x, y = (a + (b - a) * share for a, b in zip(one, other, strict=True))
            yield box_at((x + dx * off, y + dy * off), (long, deep) if flat else (deep, long))


def beside_strip(plan: Plan, long: float, deep: float) -> Box:
    """Beside the strip where somebody fills or empties, and beside all that is new where there is none."""
    strip = box_of(plan, plan.drawn.people[0]) if plan.drawn.people else around(plan)
    y, off = (strip[1] + strip[3]) / 2.0, long / 2.0 + plan.letters * 0.3
    tried = [(strip[2] + off, y), (strip[0] - off, y), (middle_of(strip)[0], strip[1] - off)]
    boxes = [box_at(each, (long, deep)) for each in tried]
    return next((each for each in boxes if not any(meets(each, other) for other in solid(plan))), boxes[0])


def kept_free(plan: Plan) -> Iterator[Box]:
    """Floor on which no panel may stand: before and behind each gate, with stop and reset at its ends, before each
    door, where somebody fills or empties, and where drawers come out."""
    for each in gates_of(plan):
        one, other = plan.place(each.x_m, each.y_m), plan.place(each.to_x_m, each.to_y_m)
        flat, ends = abs(one[0] - other[0]) > abs(one[1] - other[1]), plan.letters * 1.3
        half, room = math.dist(one, other) / 2.0 + ends, SWING
        yield box_at(ends_middle(plan, each), (2.0 * half, 2.0 * room) if flat else (2.0 * room, 2.0 * half))
    yield from (extent([before(plan, each)]) for each in plan.drawn.openings)
    yield from (box_of(plan, each) for each in plan.drawn.people)


def ends_middle(plan: Plan, each: Stretch) -> Point:
    """The middle of a stretch."""
    return middle_of((*plan.place(each.x_m, each.y_m), *plan.place(each.to_x_m, each.to_y_m)))


def is_free(plan: Plan, at: Point) -> bool:
    """Whether nothing solid stands there."""
    x, y = at
    return not any(low_x <= x <= high_x and low_y <= y <= high_y for low_x, low_y, high_x, high_y in solid(plan))


# --- the aisle ---


def aisle(plan: Plan, marked: Marked) -> Iterator[Thing]:
    """The edge of an aisle round all that is new and where somebody stands, with its width between two strokes; only
    where all of that width is free."""
    inner = ringed(plan, marked)
    left = [ends for _, parts in edges(plan, marked) for ends in parts]
    yield from (Line(layer=AISLE, points=ends) for ends in left)
    if left:
        yield from measure(plan, max(left, key=length), inner, marked.width)


def is_cut(plan: Plan, marked: Marked) -> bool:
    """Whether something stands nearer to the cell than the aisle is wide, on a side that is open for the rest."""
    return bool(marked.aisle) and any(tuple(parts) != (side,) for side, parts in edges(plan, marked))


def edges(plan: Plan, marked: Marked) -> Iterator[tuple[tuple[Point, Point], tuple[tuple[Point, Point], ...]]]:
    """Each side on which there is an aisle, and the parts of it along which nothing narrows it."""
    inner, stand = ringed(plan, marked), solid(plan)
    machines = [box_of(plan, each) for each in plan.drawn.pieces if each.name.startswith("machine")]
    outer = widened(inner, plan.value(marked.aisle), machines)
    for side in sides(outer):
        if not on_edge(side, inner):
            yield side, tuple(uncovered(side, [reaching(each, inner, outer, side) for each in stand]))


def reaching(each: Box, inner: Box, outer: Box, side: tuple[Point, Point]) -> Box:
    """A piece that stands in the aisle along a side, as if it went on to the aisle's outer edge and past it."""
    (_, ay), (_, by) = side
    axis = 1 if ay == by else 0
    low = side[0][axis] == outer[axis]
    band = (outer[axis], inner[axis]) if low else (inner[axis + 2], outer[axis + 2])
    if min(each[axis + 2], band[1]) - max(each[axis], band[0]) <= NARROWS:
        return each
    far = list(each)
    far[axis], far[axis + 2] = min(each[axis], band[0] - NARROWS), max(each[axis + 2], band[1] + NARROWS)
    return far[0], far[1], far[2], far[3]


def ringed(plan: Plan, marked: Marked) -> Box:
    """What the aisle goes round: all that is new, panel and cabinet where they stand beside it."""
    inner = around(plan)
    if marked.stops and marked.panels:
        inner = joined(inner, panel_box(plan, marked.panels))
    cabinet = cabinet_box(plan, marked)
    return joined(inner, cabinet) if cabinet is not None else inner


def on_edge(side: tuple[Point, Point], inner: Box) -> bool:
    """Whether a side was not moved out."""
    (ax, ay), (bx, by) = side
    return (ay == by and ay in (inner[1], inner[3])) or (ax == bx and ax in (inner[0], inner[2]))


def widened(inner: Box, wide: float, machines: Sequence[Box]) -> Box:
    """A rectangle made wider on each side that no machine closes."""
    low_x, low_y, high_x, high_y = inner
    outer = (low_x - wide, low_y - wide, high_x + wide, high_y + wide)
    below, above, west, east = (tuple(uncovered(side, machines)) == (side,) for side in sides(outer))
    return (outer[0] if west else low_x, outer[1] if below else low_y,
            outer[2] if east else high_x, outer[3] if above else high_y)  # fmt: skip


def measure(plan: Plan, side: tuple[Point, Point], inner: Box, words: str) -> Iterator[Thing]:
    """How wide it is, across it near the end of its longest side."""
    (ax, ay), (bx, by) = side
    size = plan.letters
    if ay == by:  # along x: below or above all
        x, edge = max(ax, bx) - 1.6 * size, inner[1] if ay < inner[1] else inner[3]
        yield Line(layer="frame", points=((x, ay), (x, edge)))
        yield from (Line(layer="frame", points=((x - size * 0.3, at), (x + size * 0.3, at))) for at in (ay, edge))
        at = (x - size * 0.4, (ay + edge) / 2.0 - size * 0.35)
        yield Words(layer="words", at=at, text=words, height=size, anchor="end")
        return
    y, edge = min(ay, by) + 1.6 * size, inner[0] if ax < inner[0] else inner[2]
    yield Line(layer="frame", points=((ax, y), (edge, y)))
    yield from (Line(layer="frame", points=((at, y - size * 0.3), (at, y + size * 0.3))) for at in (ax, edge))
    yield Words(layer="words", at=((ax + edge) / 2.0, y + size * 0.5), text=words, height=size)


def around(plan: Plan) -> Box:
    """The rectangle round all that is new on the floor, its fence and the strips where somebody stands."""
    people = [box_of(plan, each) for each in plan.drawn.people]
    found = [*boxes(plan, ("fence", "presenter", "outfeed", "arm", "track")), *people]
    low_x, low_y, high_x, high_y = zip(*found, strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)


def solid(plan: Plan) -> list[Box]:
    """What stands there and nobody walks through."""
    return [box_of(plan, each) for each in plan.drawn.pieces if each.name.startswith(SOLID)]


def boxes(plan: Plan, names: Sequence[str]) -> list[Box]:
    """The pieces of these names; of none of them the arm's foot."""
    found = [box_of(plan, each) for each in plan.drawn.pieces if each.name in names]
    x, y = plan.place(plan.drawn.feet[0].x_m, plan.drawn.feet[0].y_m)
    return found or [(x, y, x, y)]


def box_of(plan: Plan, spot: Spot) -> Box:
    """A piece by its lowest and highest corner."""
    return box_at(plan.place(spot.x_m, spot.y_m), plan.sides(spot))


def box_at(at: Point, sides: Point) -> Box:
    """A rectangle by its middle and sides."""
    return at[0] - sides[0] / 2.0, at[1] - sides[1] / 2.0, at[0] + sides[0] / 2.0, at[1] + sides[1] / 2.0


def meets(one: Box, other: Box) -> bool:
    """Whether two rectangles cover some floor together."""
    return overlap(one, other, axis=0) > NARROWS and overlap(one, other, axis=1) > NARROWS


def joined(one: Box, other: Box) -> Box:
    """The rectangle round two."""
    return min(one[0], other[0]), min(one[1], other[1]), max(one[2], other[2]), max(one[3], other[3])


def within(one: Box, other: Box) -> bool:
    """Whether a rectangle lies in another."""
    return joined(one, other) == other


def middle_of(box: Box) -> Point:
    """The middle of a rectangle."""
    return (box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0


def overlap(one: Box, other: Box, *, axis: int) -> float:
    """How far two rectangles lie beside each other along an axis."""
    return min(one[axis + 2], other[axis + 2]) - max(one[axis], other[axis])


def sides(box: Box) -> Iterator[tuple[Point, Point]]:
    """The four sides of a rectangle."""
    low_x, low_y, high_x, high_y = box
    yield (low_x, low_y), (high_x, low_y)
    yield (low_x, high_y), (high_x, high_y)
    yield (low_x, low_y), (low_x, high_y)
    yield (high_x, low_y), (high_x, high_y)


def uncovered(side: tuple[Point, Point], solid: Sequence[Box]) -> Iterator[tuple[Point, Point]]:
    """What pieces leave of a side."""
    (ax, ay), (bx, by) = side
    along = 0 if ay == by else 1
    across, start, end = (ay, ax, bx) if along == 0 else (ax, ay, by)
    cuts = sorted(
        (max(each[along], start), min(each[along + 2], end)) for each in solid
        if each[1 - along] < across < each[3 - along] and each[along] < end and each[along + 2] > start
    )  # fmt: skip
    left, at = [], start
    for low, high in cuts:
        if low > at:
            left.append((at, low))
        at = max(at, high)
    if at < end:
        left.append((at, end))
    for low, high in left:
        yield ((low, across), (high, across)) if along == 0 else ((across, low), (across, high))


def length(side: tuple[Point, Point]) -> float:
    """How long a side is."""
    (ax, ay), (bx, by) = side
    return abs(bx - ax) + abs(by - ay)
