"""Ways for people round a cell, emergency stops to begin with, and the longest way out of its fence."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.layout import Drawn, Opening
from millhand.model.safety import FreeWay, WaysOut
from millhand.solvers.placing.fencing import Fence
from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.walks import widest_way_m
from millhand.solvers.placing.way_out import longest_way_out_m
from millhand.stages.safeguarding.placed import Placed
from millhand.trace import found

MOST_M = 2.0  # no wider way is looked for
WALKED = f"placed on the floor by search; the widest way for people past all that stands there, up to {MOST_M:g} m"
FARTHEST = (
    "placed on the floor by search; on a grid of 0.1 m from the farthest place inside the fence to the nearest gate"
)
COUNTED = "placed on the floor by search; counted in the layout"
THROUGH = ("fence", "track", "strip under the beam", "beam", "presenter stand", "outfeed stand")
TURNED = {"north": (0.0, 1.0), "south": (0.0, -1.0), "east": (1.0, 0.0), "west": (-1.0, 0.0)}


def ways_out(at: Placed) -> WaysOut | None:
    """All of it; None where nothing was placed."""
    drawn = at.drawn
    if drawn is None:
        return None
    needed = at.inquiry.wishes.aisle_m
    needed = found(at.sheet, needed) if needed is not None else at.post.figure("clear_way_m")
    places, gates = at.seen("stops.places", len(drawn.people), "1", COUNTED), gates_of(at)
    panels = at.post.figure("stop_panels")
    longest = longest_way(at, drawn)
    return WaysOut(
        needed=needed.id, ways=tuple(free_ways(at, drawn, needed)),
        stops=at.post.apply("emergency_stops", "stops", panels=panels, gates=gates, places=places).id,
        places=places.id, gates=gates.id, panels=panels.id, longest=longest.id if longest else None,
        asks=tuple(at.rules.ways[name] for name in ("width", "stops", *(("inside",) if gates.value else ()))),
    )  # fmt: skip


def gates_of(at: Placed) -> Fact:
    """How many gates there are."""
    return at.seen("stops.gates", len(at.stretches("gate")), "1", COUNTED)


def free_ways(at: Placed, drawn: Drawn, needed: Fact) -> Iterator[FreeWay]:
    """From outside to each place where somebody fills or empties, and to the floor before each door."""
    blocks = [*standing(at, drawn), *Fence(pieces=tuple(at.stretches("fence")), gates=()).walls]
    goals = [(each.name.removeprefix("people at "), at.rect(each)) for each in drawn.people]
    goals += [(each.machine, before(at, drawn, each)) for each in drawn.openings]
    for place, goal in goals:
        width = at.seen(f"way.{place}", widest_way_m(blocks, goal, most_m=MOST_M), "m", WALKED)
        yield FreeWay(place=place.replace("_", " "), width=width.id, holds=width.value >= needed.value)


def standing(at: Placed, drawn: Drawn) -> list[Rect]:
    """What nobody walks through; a track that stands still is stepped over."""
    return [at.rect(each) for each in drawn.pieces if each.name not in THROUGH]


def before(at: Placed, drawn: Drawn, door: Opening) -> Rect:
    """The floor before an opening, as wide as it is."""
    value = at.sheet.value
    (dx, dy), deep, wide = TURNED[door.faces], value(drawn.before_door), value(door.width)
    room = Rect(name=door.machine, x_m=value(door.x_m), y_m=value(door.y_m), width_m=wide, depth_m=wide)
    moved = replace(room, x_m=room.x_m + dx * deep / 2.0, y_m=room.y_m + dy * deep / 2.0)
    return replace(moved, width_m=deep) if dx else replace(moved, depth_m=deep)


def longest_way(at: Placed, drawn: Drawn) -> Fact | None:
    """From the farthest place inside the fence; None without a fence, a gate or a way to it."""
    whole, gates = next(iter(at.spots("fence")), None), at.stretches("gate")
    if whole is None or not gates or not drawn.feet:
        return None
    foot = at.sheet.value(drawn.feet[0].x_m), at.sheet.value(drawn.feet[0].y_m)
    far = longest_way_out_m(
        at.rect(whole), standing(at, drawn), at.stretches("fence"), gates, foot=foot
    )  # fmt: skip
    return at.seen("way_out", round(far, 1), "m", FARTHEST) if far is not None else None
