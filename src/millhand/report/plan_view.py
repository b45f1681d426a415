"""The plan of a placed cell: what stands where, seen from above, north up, from the origin of the marks."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from millhand.model.layout import Drawn, Opening, Spot
from millhand.report.drawing import Circle, Line, Point, Thing, Words, cross, extent, fitted, rectangle
from millhand.report.marks import Marks
from millhand.report.view import tick

OUT = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}
LAYER = {"machine": "machines", "obstacle": "obstacles", "column": "columns"}
STRIP = "strip under the beam"
SCALE_BAR = (0.0, 1.0, 2.0)  # m
FOOT = 0.6  # m, how large the foot of each of two arms is drawn
STOP = 0.12  # m, radius at which a stop on a track is drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One concept's plan while it is drawn; `letters` is the height of its words [m]."""

    drawn: Drawn
    marks: Marks
    letters: float

    def value(self, fact_id: str) -> float:
        """A length of the study [m]."""
        return self.marks.fact(fact_id).value

    def place(self, x: str, y: str) -> Point:
        """A point of the study."""
        return self.value(x), self.value(y)

    def sides(self, spot: Spot) -> Point:
        """The sides of a piece."""
        return self.value(spot.width_m), self.value(spot.depth_m)

    def named(self, name: str) -> Spot | None:
        """A piece by its name."""
        return next((each for each in self.drawn.pieces if each.name == name), None)


def plan_things(plan: Plan, beside: Iterable[Thing] = ()) -> tuple[Thing, ...]:
    """All that is drawn, and what else a reader asks for, with north, scale and origin round it."""
    floor = (*on_floor(plan), *beside)
    return (*floor, *frame(plan, extent(floor)))


def on_floor(plan: Plan) -> Iterator[Thing]:
    """Everything that has a place on the floor."""
    yield from kept(plan)
    for spot in plan.drawn.people:
        yield from piece(plan, spot, "people", "people")
    for each in plan.drawn.openings:
        yield before(plan, each)
    for spot in plan.drawn.pieces:
        if spot.name.startswith(tuple(LAYER)):
            yield from piece(plan, spot, LAYER[words_of(spot.name).split(" ")[0]], words_of(spot.name))
    for name in ("presenter", "outfeed"):
        yield from stand(plan, name)
    yield from reach(plan)
    yield from arm(plan)
    for each in plan.drawn.openings:
        yield from door(plan, each)


def words_of(name: str) -> str:
    """A piece in words."""
    return name.replace("_", " ")


def piece(plan: Plan, spot: Spot, layer: str, words: str) -> Iterator[Thing]:
    """A rectangle with its words in it."""
    middle, sides = plan.place(spot.x_m, spot.y_m), plan.sides(spot)
    yield rectangle(layer, middle, sides)
    yield from fitted(plan.marks.term(words), middle, sides, plan.letters)


def kept(plan: Plan) -> Iterator[Thing]:
    """The fence, or the floor that another safeguarding keeps free round each new piece."""
    fence = plan.named("fence")
    if plan.drawn.fence:
        for each in plan.drawn.fence:
            ends = plan.place(each.x_m, each.y_m), plan.place(each.to_x_m, each.to_y_m)
            yield Line(layer=each.name, points=ends)
        return
    if fence is not None:
        yield rectangle("fence", plan.place(fence.x_m, fence.y_m), plan.sides(fence))
        return
    margin = plan.value(plan.drawn.margin)
    for spot in plan.drawn.pieces:
        if spot.name in ("arm", "track", "presenter", "outfeed") and margin > 0.0:
            width, depth = plan.sides(spot)
            yield rectangle("kept floor", plan.place(spot.x_m, spot.y_m), (width + margin, depth + margin))


def stand(plan: Plan, name: str) -> Iterator[Thing]:
    """Presenter or outfeed; of drawers what stands, and the part that comes out."""
    whole, solid = plan.named(name), plan.named(f"{name} stand")
    if whole is None:
        return
    if solid is None:
        yield from piece(plan, whole, "stands", name)
        return
    yield rectangle("pulled out", plan.place(whole.x_m, whole.y_m), plan.sides(whole))
    yield from piece(plan, solid, "stands", name)


def before(plan: Plan, opening: Opening) -> Thing:
    """Floor that is kept free before an opening."""
    (x, y), (dx, dy) = plan.place(opening.x_m, opening.y_m), OUT[opening.faces]
    deep, wide = plan.value(plan.drawn.before_door), plan.value(opening.width)
    sides = (deep, wide) if dx else (wide, deep)
    return rectangle("before doors", (x + dx * deep / 2.0, y + dy * deep / 2.0), sides)


def door(plan: Plan, opening: Opening) -> Iterator[Thing]:
    """The opening in the door plane, and a cross at the load position behind it."""
    (x, y), (dx, dy) = plan.place(opening.x_m, opening.y_m), OUT[opening.faces]
    half, deep = plan.value(opening.width) / 2.0, plan.value(opening.depth)
    yield Line(layer="doors", points=((x - dy * half, y - dx * half), (x + dy * half, y + dx * half)))
    yield from cross("load positions", (x - dx * deep, y - dy * deep), 0.08)


def feet_of(plan: Plan) -> tuple[Point, ...]:
    """Where the foot stands, each place once."""
    return tuple(dict.fromkeys(plan.place(foot.x_m, foot.y_m) for foot in plan.drawn.feet))


def reach(plan: Plan) -> Iterator[Thing]:
    """A circle round the foot; along a track the outline of all of them; of a ram nothing."""
    if plan.drawn.overhead is not None and plan.drawn.overhead.hangs == "ram":
        return  # straight down from its beam
    radius, feet = plan.value(plan.drawn.reach), sorted(feet_of(plan))
    first, last = feet[0], feet[-1]
    for at in dict.fromkeys((first, last)):
        yield Circle(layer="reach", at=at, radius=radius)
    way = math.dist(first, last)
    if way > 0.0:
        dx, dy = (last[0] - first[0]) / way * radius, (last[1] - first[1]) / way * radius
        for side in (1.0, -1.0):
            ends = tuple((x - side * dy, y + side * dx) for x, y in (first, last))
            yield Line(layer="reach", points=ends)


def arm(plan: Plan) -> Iterator[Thing]:
    """What the arm stands on, or the track with the places where the foot stops."""
    spot = plan.named("arm")
    if spot is not None:
        yield from piece(plan, spot, "arm", "arm")
    track = plan.named("track") or plan.named(STRIP)
    if track is not None:
        yield rectangle("track", plan.place(track.x_m, track.y_m), plan.sides(track))
        yield from (
            rectangle("beam", plan.place(each.x_m, each.y_m), plan.sides(each))
            for each in plan.drawn.pieces if each.name == "beam"
        )  # fmt: skip
        stops = sorted(feet_of(plan))
        yield from (Circle(layer="arm", at=at, radius=STOP) for at in stops)
        yield from waiting(plan)
        yield from between(stops, plan.letters, carrier(plan, track))


def waiting(plan: Plan) -> Iterator[Thing]:
    """The feet of two arms on one track, each where it waits for the other."""
    track = plan.named("track") or plan.named(STRIP)
    for number, at in enumerate(parked(plan), start=1):
        yield rectangle("arm", at, (FOOT, FOOT))
        half = max(FOOT, min(plan.sides(track)) if track is not None else 0.0) / 2.0
        beside = (at[0], at[1] + half + plan.letters * 0.4)
        yield Words(layer="words", at=beside, text=plan.marks.term(f"arm {number}"), height=plan.letters)


def parked(plan: Plan) -> tuple[Point, ...]:
    """Where two arms wait for each other; nothing where there is one."""
    return tuple(plan.place(foot.x_m, foot.y_m) for foot in plan.drawn.feet if foot.place.startswith("parking_"))


def carrier(plan: Plan, track: Spot) -> str:
    """What carries the arm, in a word."""
    if plan.drawn.overhead is not None and plan.drawn.overhead.hangs == "ram":
        return "loader"
    return "track" if track.name == "track" else "beam"


def between(stops: list[Point], letters: float, name: str) -> Iterator[Thing]:
    """The name of a track or beam in the widest gap between two stops."""
    if len(stops) > 1:
        one, other = max(pairwise(stops), key=lambda pair: math.dist(*pair))
        middle = (one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0
        free = tuple(max(abs(a - b) - 2.0 * STOP, letters * 1.5) for a, b in zip(one, other, strict=True))
        yield from fitted(name, middle, (free[0], free[1]), letters)


def frame(plan: Plan, bounds: tuple[float, float, float, float]) -> Iterator[Thing]:
    """Origin, north and scale."""
    yield Circle(layer="origin", at=(0.0, 0.0), radius=plan.letters * 0.45)
    yield from cross("origin", (0.0, 0.0), plan.letters * 0.9)
    yield from north_and_scale(plan.letters, bounds, plan.marks.term("north"))


def north_and_scale(size: float, bounds: tuple[float, float, float, float], north: str) -> Iterator[Thing]:
    """A north arrow above the right end, and a scale bar below the left one, with words so high."""
    low_x, low_y, high_x, high_y = bounds
    top, base = high_y + size, low_y - 2.4 * size
    x = high_x - size
    yield Line(layer="frame", points=((x, top), (x, top + 2.4 * size)))
    head = ((x - size * 0.45, top + 1.5 * size), (x, top + 2.4 * size), (x + size * 0.45, top + 1.5 * size))
    yield Line(layer="frame", points=head)
    yield Words(layer="words", at=(x - size * 0.9, top + size * 0.8), text=north, height=size, anchor="end")
    yield Line(layer="frame", points=tuple((low_x + at, base) for at in SCALE_BAR))
    for at in SCALE_BAR:
        yield Line(layer="frame", points=((low_x + at, base), (low_x + at, base + size * 0.5)))
        text = f"{tick(at)} m" if at == SCALE_BAR[-1] else tick(at)
        anchor = "start" if at == SCALE_BAR[0] else "middle"
        yield Words(layer="words", at=(low_x + at, base - size * 1.3), text=text, height=size, anchor=anchor)  # type: ignore[arg-type]
