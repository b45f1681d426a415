"""What people ask of a plan beside what stands there: fields, proposed places of emergency stops, the aisle kept free.

All of it is drawn from the layout: no device has a place of its own in a study, and none is settled before the risk
assessment.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from millhand.model.layout import Spot, Stretch
from millhand.report.drawing import Circle, Line, Point, Thing, Words, rectangle
from millhand.report.plan_view import Plan

STOPS, PANEL, AISLE = "emergency stops", "panel", "aisle"
FIELDS = ("slow field", "stop field")  # the outer one first
PEOPLE = "people at "
SOLID = ("machine", "obstacle", "column", "presenter", "outfeed", "arm")  # where nothing is hung or walked through
BESIDE = 0.3  # m, from a gate or a stand to the device beside it
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


def marked_things(plan: Plan, marked: Marked) -> Iterator[Thing]:
    """All of them."""
    yield from fields(plan, marked)
    if marked.aisle:
        yield from aisle(plan, plan.value(marked.aisle), marked.width)
    if marked.stops:
        yield from stops(plan, marked.panels)


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
    """One at each gate and where somebody fills or empties, those of the panels in a box of their own."""
    half = plan.letters * 0.42
    gates = [each for each in plan.drawn.fence if each.name == "gate"]
    places = [at_gate(plan, each, first=True) for each in gates] + [at_stand(plan, each) for each in plan.drawn.people]
    yield from (device(at, half) for at in places)
    if panels:
        at = at_panel(plan, gates)
        wide = 2.6 * half * panels
        yield rectangle(PANEL, at, (wide, 3.2 * half))
        yield from (device((at[0] - wide / 2.0 + 2.6 * half * (n + 0.5), at[1]), half) for n in range(panels))


def device(at: Point, half: float) -> Line:
    """One device: a full diamond."""
    (x, y) = at
    return Line(layer=STOPS, points=((x - half, y), (x, y - half), (x + half, y), (x, y + half)), closed=True)


def at_gate(plan: Plan, gate: Stretch, *, first: bool) -> Point:
    """Outside, beside one end of a gate; beside the other one where that end is taken."""
    one, other = plan.place(gate.x_m, gate.y_m), plan.place(gate.to_x_m, gate.to_y_m)
    ends = (one, other) if first else (other, one)
    out = outward(plan, ((one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0), along=abs(one[0] - other[0]) > 0.0)
    tried = [(x + out[0] * BESIDE, y + out[1] * BESIDE) for x, y in ends]
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


def at_panel(plan: Plan, gates: Sequence[Stretch]) -> Point:
    """Beside the other end of the first gate; without one beside the strip where somebody fills."""
    if gates:
        return at_gate(plan, gates[0], first=False)
    if not plan.drawn.people:
        low_x, low_y, _, _ = around(plan)
        return low_x - BESIDE, low_y
    low_x, low_y, high_x, high_y = box_of(plan, plan.drawn.people[0])
    y = (low_y + high_y) / 2.0
    tried = [(high_x + BESIDE, y), (low_x - BESIDE, y), ((low_x + high_x) / 2.0, low_y - BESIDE)]
    return next((at for at in tried if is_free(plan, at)), tried[0])


def is_free(plan: Plan, at: Point) -> bool:
    """Whether nothing solid stands there."""
    x, y = at
    return not any(low_x <= x <= high_x and low_y <= y <= high_y for low_x, low_y, high_x, high_y in solid(plan))


# --- the aisle ---


def aisle(plan: Plan, wide: float, words: str) -> Iterator[Thing]:
    """The edge of an aisle round all that is new and where somebody stands, as far as no machine is in its way, with
    its width between two strokes."""
    inner, stand = around(plan), solid(plan)
    machines = [box_of(plan, each) for each in plan.drawn.pieces if each.name.startswith("machine")]
    outer = widened(inner, wide, machines)
    kept = [side for side in sides(outer) if not on_edge(side, inner)]
    left = [ends for side in kept for ends in uncovered(side, stand)]
    yield from (Line(layer=AISLE, points=ends) for ends in left)
    if left:
        yield from measure(plan, max(left, key=length), inner, words)


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
    (x, y), (wide, deep) = plan.place(spot.x_m, spot.y_m), plan.sides(spot)
    return x - wide / 2.0, y - deep / 2.0, x + wide / 2.0, y + deep / 2.0


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
