"""A placed cell as solids: boxes and posts in metres, z up, from the origin of the marks.

As coarse as the plan: what stands somewhere is a box, a machine is what is left of its box round the opening.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.layout import Opening, Overhead, Spot
from millhand.report.plan_view import LAYER, OUT, STRIP, Plan, feet_of, parked, words_of
from millhand.report.side_view import BEHIND, SHOULDER

SHEET = 0.02  # m, thickness of what has no height: floor that is kept free, the line of a fence
POST = 0.05  # m, half the width of the strip along which a fence runs
LINE = 0.02  # m, radius of the straight line from the shoulder to a load position
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box by its middle and its sides."""

    name: str
    layer: str
    middle: Triple
    sides: Triple


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A round post from one point to another."""

    name: str
    layer: str
    ends: tuple[Triple, Triple]
    radius: float


Solid = Box | Post


def solids(plan: Plan) -> tuple[Solid, ...]:
    """All that stands in the cell; things without a height lie on the floor as sheets."""
    return tuple(
        each for each in _solids(plan)
        if (each.ends[0] != each.ends[1] if isinstance(each, Post) else min(each.sides) > 0.0)
    )  # fmt: skip


def _solids(plan: Plan) -> Iterator[Solid]:
    for spot in plan.drawn.pieces:
        if spot.name.startswith("machine"):
            opening = next((each for each in plan.drawn.openings if each.machine == spot.name), None)
            yield from machine(plan, spot, opening) if opening else block(plan, spot)
        elif spot.name not in ("arm", "track", "beam", "fence", STRIP) and not spot.name.startswith("column"):
            yield from block(plan, spot)
    yield from fence(plan)
    yield from arm(plan)
    for spot in plan.drawn.people:
        yield upright(plan, spot, "people", (0.0, SHEET))


def upright(plan: Plan, spot: Spot, layer: str, between: tuple[float, float]) -> Box:
    """A piece from one height to another."""
    (x, y), (width, depth), (low, high) = plan.place(spot.x_m, spot.y_m), plan.sides(spot), between
    return Box(
        name=words_of(spot.name), layer=layer, middle=(x, y, (low + high) / 2.0), sides=(width, depth, high - low)
    )


def block(plan: Plan, spot: Spot) -> Iterator[Box]:
    """A piece as high as it stands; what is pulled out of a stand lies on the floor as a sheet."""
    if plan.named(f"{spot.name} stand") is not None:
        yield upright(plan, spot, "pulled out", (0.0, SHEET))
        return
    layer = LAYER.get(words_of(spot.name).split(" ")[0], "stands")
    high = plan.value(spot.height_m) if spot.height_m else 0.0
    if not high:
        high = plan.value(plan.drawn.machine_height) if layer == "machines" else stand_height(plan, spot)
    yield upright(plan, spot, layer, (0.0, high))


def stand_height(plan: Plan, spot: Spot) -> float:
    """The height of what stands high, told at the whole piece; a sheet where nobody said."""
    whole = plan.named(spot.name.removesuffix(" stand"))
    return plan.value(whole.height_m) if whole is not None and whole.height_m else SHEET


def machine(plan: Plan, spot: Spot, opening: Opening) -> Iterator[Box]:
    """What is left of a machine's box when its opening is cut out.

    A door is cut as deep as the load position and some more; a hatch in the roof, through which a ram comes, as a shaft
    of the door's width.
    """
    (x, y), (width, depth) = plan.place(spot.x_m, spot.y_m), plan.sides(spot)
    (door_x, door_y), (dx, dy) = plan.place(opening.x_m, opening.y_m), OUT[opening.faces]
    sill, top = plan.value(opening.sill), plan.value(opening.top)
    high = max(plan.value(plan.drawn.machine_height), top)
    deep, wide = (width, depth) if dx else (depth, width)
    aside = (y - door_y) if dx else (x - door_x)  # of the machine's middle from that of its door
    half, cut = plan.value(opening.width) / 2.0, min(deep, plan.value(opening.depth) + BEHIND)

    def part(along: tuple[float, float], across: tuple[float, float], up: tuple[float, float]) -> Box:
        """A box by how far it lies behind the door plane, beside the door's middle, and above the floor."""
        far, beside = -(along[0] + along[1]) / 2.0, (across[0] + across[1]) / 2.0
        middle = (door_x + dx * far, door_y + beside) if dx else (door_x + beside, door_y + dy * far)
        span = (along[1] - along[0], across[1] - across[0])
        sides = span if dx else span[::-1]
        return Box(
            name=words_of(spot.name), layer="machines", middle=(*middle, (up[0] + up[1]) / 2.0),
            sides=(*sides, up[1] - up[0]),
        )  # fmt: skip

    whole, left, right = (0.0, deep), aside - wide / 2.0, aside + wide / 2.0
    if plan.drawn.overhead is not None and plan.drawn.overhead.hangs == "ram":
        load = plan.value(opening.depth)
        for along, across in (
            (whole, (left, -half)), (whole, (half, right)),
            ((0.0, load - half), (-half, half)), ((load + half, deep), (-half, half)),
        ):  # fmt: skip
            yield part(along, across, (0.0, high))
        return
    yield part(whole, (left, right), (0.0, sill))
    yield part(whole, (left, right), (top, high))
    yield part(whole, (left, min(-half, right)), (sill, top))
    yield part(whole, (max(half, left), right), (sill, top))
    yield part((cut, deep), (-half, half), (sill, top))


def fence(plan: Plan) -> Iterator[Box]:
    """The line of the fence on the floor, its gates left out: how high it must be the risk assessment says."""
    for each in plan.drawn.fence:
        if each.name == "fence":
            (x, y), (to_x, to_y) = plan.place(each.x_m, each.y_m), plan.place(each.to_x_m, each.to_y_m)
            yield Box(
                name="fence", layer="fence", middle=((x + to_x) / 2.0, (y + to_y) / 2.0, SHEET),
                sides=(abs(to_x - x) + POST, abs(to_y - y) + POST, 2.0 * SHEET),
            )  # fmt: skip


def arm(plan: Plan) -> Iterator[Solid]:
    """What the arm stands on or hangs from, its column at the worst machine, and the straight line from there."""
    foot, over = nearest_foot(plan), plan.drawn.overhead
    base, shoulder = plan.value(plan.drawn.foot_height), plan.value(plan.drawn.shoulder)
    if over is None:
        for spot in plan.drawn.pieces:
            if spot.name in ("arm", "track"):
                yield upright(plan, spot, spot.name, (0.0, base))
    else:
        yield from overhead(plan, over)
        yield Post(
            name="carriage", layer="track", ends=((*foot, base), (*foot, plan.value(over.beam_low))), radius=POST
        )
    yield Post(name="arm", layer="arm", ends=((*foot, base), (*foot, shoulder)), radius=SHOULDER)
    yield from second_arm(plan, foot)
    opening = next(each for each in plan.drawn.openings if each.machine == plan.drawn.worst)
    (x, y), (dx, dy) = plan.place(opening.x_m, opening.y_m), OUT[opening.faces]
    deep = plan.value(opening.depth)
    load = (x - dx * deep, y - dy * deep, plan.value(opening.height))
    yield Post(name="reach", layer="reach", ends=((*foot, shoulder), load), radius=LINE)


def second_arm(plan: Plan, foot: tuple[float, float]) -> Iterator[Post]:
    """Of two arms on a track the other one, where it waits: at the place further from the first."""
    places, over = parked(plan), plan.drawn.overhead
    if not places:
        return
    base, shoulder = plan.value(plan.drawn.foot_height), plan.value(plan.drawn.shoulder)
    at = max(places, key=lambda place: math.dist(place, foot))
    if over is not None:
        yield Post(name="carriage", layer="track", ends=((*at, base), (*at, plan.value(over.beam_low))), radius=POST)
    yield Post(name="second arm", layer="arm", ends=((*at, base), (*at, shoulder)), radius=SHOULDER)


def overhead(plan: Plan, over: Overhead) -> Iterator[Box]:
    """The beam, and the columns beside it with a bracket each."""
    low, top = plan.value(over.beam_low), plan.value(over.beam_top)
    beam = plan.named("beam")
    if beam is None:
        return
    yield upright(plan, beam, "beam", (low, top))
    (beam_x, beam_y), (length, width) = plan.place(beam.x_m, beam.y_m), plan.sides(beam)
    for spot in plan.drawn.pieces:
        if spot.name.startswith("column"):
            yield upright(plan, spot, "columns", (0.0, low))
            (x, y), (side, other) = plan.place(spot.x_m, spot.y_m), plan.sides(spot)
            end = (x, beam_y) if length >= width else (beam_x, y)
            yield Box(
                name="bracket", layer="columns", middle=((x + end[0]) / 2.0, (y + end[1]) / 2.0, (low + top) / 2.0),
                sides=(abs(end[0] - x) or side, abs(end[1] - y) or other, top - low),
            )  # fmt: skip


def nearest_foot(plan: Plan) -> tuple[float, float]:
    """Where the foot stands that is next to the door that is served worst."""
    opening = next(each for each in plan.drawn.openings if each.machine == plan.drawn.worst)
    door = plan.place(opening.x_m, opening.y_m)
    return min(feet_of(plan), key=lambda at: (math.dist(at, door), at))
