"""What is drawn of a placed cell, as plain lines, circles and words in metres: pictures and files all come from it.

Every thing lies on a layer that says in plain words what it is. x goes to the right, y up.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
WIDTH_OF_SIGN = 0.52  # of the height of the letters, on average

# Layers, what each is called in a legend; the order is that in which they are drawn.
LAYERS = {
    "slow field": "field in which the arm slows down",
    "stop field": "field in which the arm stops",
    "aisle": "edge of the aisle that stays free",
    "kept floor": "floor that the safeguarding keeps free",
    "fence": "fence",
    "gate": "gate in the fence",
    "people": "somebody fills or empties here",
    "before doors": "free before a door",
    "machines": "machine",
    "obstacles": "in the way",
    "columns": "column of the beam",
    "stands": "presenter or outfeed",
    "pulled out": "part that is pulled out",
    "track": "track",
    "beam": "beam overhead",
    "reach": "reach of the arm",
    "arm": "foot of the arm",
    "doors": "opening of a door",
    "load positions": "load position",
    "brought": "what the change brings",
    "stores": "parts wait here",
    "round today": "round as today",
    "round": "round",
    "arrows": "way of a round",
    "curtain": "edge for a device on a side that people fill, proposed place",
    "scanner": "scanner, proposed place",
    "cabinet": "control cabinet, proposed place",
    "panel": "panel",
    "resets": "reset, proposed place",
    "emergency stops": "emergency stop, proposed place",
    "heights": "height above the floor",
    "floor line": "floor",
    "ceiling": "clear height",
    "origin": "origin of the marks",
    "frame": "north and scale",
    "words": "words",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A run of straight pieces; a closed one has an inside."""

    layer: str
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle; a whole one has no inside that is drawn."""

    layer: str
    at: Point
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Words whose lower line begins, ends or has its middle at a point; turned ones run upwards."""

    layer: str
    at: Point
    text: str
    height: float
    anchor: Anchor = "middle"
    turned: bool = False

    @property
    def length(self) -> float:
        """About how long they are."""
        return len(self.text) * self.height * WIDTH_OF_SIGN


Thing = Line | Circle | Words


def rectangle(layer: str, middle: Point, sides: Point) -> Line:
    """A rectangle by its middle and sides."""
    (x, y), (w, d) = middle, (sides[0] / 2.0, sides[1] / 2.0)
    return Line(layer=layer, points=((x - w, y - d), (x + w, y - d), (x + w, y + d), (x - w, y + d)), closed=True)


def cross(layer: str, at: Point, half: float) -> Iterator[Line]:
    """Two strokes that meet at a point."""
    x, y = at
    yield Line(layer=layer, points=((x - half, y), (x + half, y)))
    yield Line(layer=layer, points=((x, y - half), (x, y + half)))


def fitted(text: str, middle: Point, sides: Point, height: float, *, layer: str = "words") -> Iterator[Words]:
    """Words in the middle of a rectangle, turned where it is narrow; none where they do not fit at all."""
    made = Words(layer=layer, at=middle, text=text, height=height)
    room = height * 0.5
    x, y = middle
    if made.length + room <= sides[0] and height * 1.3 <= sides[1]:
        yield replace(made, at=(x, y - height * 0.35))
    elif made.length + room <= sides[1] and height * 1.3 <= sides[0]:
        yield replace(made, at=(x + height * 0.35, y), turned=True)


def extent(things: Iterable[Thing]) -> tuple[float, float, float, float]:
    """Lowest x, lowest y, highest x, highest y of all things."""
    points = [point for thing in things for point in corners(thing)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def corners(thing: Thing) -> tuple[Point, ...]:
    """Points between which a thing lies."""
    if isinstance(thing, Line):
        return thing.points
    if isinstance(thing, Circle):
        (x, y), r = thing.at, thing.radius
        return (x - r, y - r), (x + r, y + r)
    (x, y), size = thing.at, thing.length
    begin = {"start": 0.0, "middle": -size / 2.0, "end": -size}[thing.anchor]
    if thing.turned:
        return (x - thing.height, y + begin), (x, y + begin + size)
    return (x + begin, y), (x + begin + size, y + thing.height)


def moved(thing: Thing, dx: float, dy: float) -> Thing:
    """The thing at another place."""
    if isinstance(thing, Line):
        return replace(thing, points=tuple((x + dx, y + dy) for x, y in thing.points))
    return replace(thing, at=(thing.at[0] + dx, thing.at[1] + dy))


def scaled(thing: Thing, times: float) -> Thing:
    """The thing so many times as large, from nought outwards."""
    if isinstance(thing, Line):
        return replace(thing, points=tuple((x * times, y * times) for x, y in thing.points))
    at = (thing.at[0] * times, thing.at[1] * times)
    if isinstance(thing, Circle):
        return replace(thing, at=at, radius=thing.radius * times)
    return replace(thing, at=at, height=thing.height * times)


def layers_of(things: Iterable[Thing]) -> tuple[str, ...]:
    """The layers that hold something, in the order in which they are drawn."""
    used = {thing.layer for thing in things}
    return tuple(name for name in LAYERS if name in used)
