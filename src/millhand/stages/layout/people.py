"""People round a placed cell as facts: where they stand, the fence with its gates, how wide their ways are."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.layout import Spot, Stretch, Walk
from millhand.solvers.placing.fencing import Fence, Piece
from millhand.solvers.placing.further import lines
from millhand.solvers.placing.near_fence import MOST_M, MOST_WALKED_M, swept, to_pieces_m
from millhand.solvers.placing.people import outside_m2, strips, widths
from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.ways import Free
from millhand.stages.layout.further import fence_asked
from millhand.stages.layout.overhead import spot
from millhand.stages.layout.placing import PLACED, Stage
from millhand.trace import apply, found

WALKED = "placed on the floor by search; the widest way for people from outside, past all that stands there"
LEFT_OUT = "placed on the floor by search; strips where somebody stands, and machines, inside the rectangle"
MORE_GATES = "gates.more"
SWUNG_TO = (
    "the arm's links all along its ways, seen from above, to the strip of floor where somebody fills or empties",
    "the arm's links all along its ways, seen from above, to the nearest gate",
)
HELD = "follows from the sides of the largest part: from where it is held to its furthest corner, turned anyhow"
SWUNG = (
    "the arm's links all along its ways, seen from above, to the nearest stretch of its fence that does not end at a "
    "stand which somebody fills or empties"
)
SWUNG_ENDS = "the arm's links all along its ways, seen from above, to what of its fence ends at such a stand"


def people_spots(stage: Stage) -> Iterator[Spot]:
    """The aisles as spots of their own."""
    for each in strips(stage.kit, stage.site, stage.plan):
        if each.rect is not None:
            name = each.rect.name
            yield spot(stage, f"{name}.people", replace(each.rect, name=f"people at {name}"))


def walks(stage: Stage) -> Iterator[Walk]:
    """How wide the way from outside to each door, to presenter and outfeed is."""
    for name, wide in widths(stage.kit, stage.site, stage.plan).items():
        yield Walk(place=name, width=stage.fact(f"walk.{name}.width", wide, "m", WALKED).id)


def outside(stage: Stage) -> Fact:
    """Of the rectangle round all that is new what the fence leaves out: strips where somebody stands, and machines."""
    left_out = outside_m2(stage.kit, stage.site, stage.plan)
    name = f"concepts.{stage.ground.concept.id}.layout.fence.outside"
    return found(stage.ground.sheet, Fact(id=name, value=left_out, unit="m2", basis="computed", source=LEFT_OUT))


def more_gates(stage: Stage, fence: Fence | None) -> None:
    """Gates beyond the one that a fence comes with, for its price; nothing where there are none."""
    if fence is not None and len(fence.gates) > 1:
        stage.fact(MORE_GATES, len(fence.gates) - 1.0, "1", PLACED)


def fence_gap(stage: Stage, free: Free, fence: Fence | None) -> str:
    """What is left to the fence with a part in the hand; "" where there is none, or where no way was found to look at.
    Below nothing the part may come past the fence. What ends at a stand that is filled is told apart: it cannot keep
    what is asked for, wherever the rest of the fence stands."""
    if fence is None or not fence.pieces or not stage.plan.works:
        return ""
    found, sweep = lines(stage.kit, stage.site, stage.plan, fence_asked(stage.ground).value), swept(free)
    if found.ends:
        gap_m = to_pieces_m(stage.kit, sweep, found.ends, MOST_M)
        left(stage, stage.fact("fence.ends", gap_m, "m", SWUNG_ENDS))
    return left(stage, stage.fact("fence.gap", to_pieces_m(stage.kit, sweep, found.free, MOST_M), "m", SWUNG)).id


def part_out(stage: Stage) -> Fact:
    """How far a held part goes beyond where it is held."""
    return stage.fact("people_gap.part", stage.kit.hand.part_m, "m", HELD)


def left(stage: Stage, gap: Fact) -> Fact:
    """A gap to arm and hand with the held part taken off: turned anyhow, as nobody says how it is turned there."""
    return apply(stage.ground.sheet, "difference_m", f"{gap.id}.held", length_m=gap, less_m=part_out(stage))


def gaps_to_people(stage: Stage, free: Free, fence: Fence | None) -> None:
    """How near the arm comes to the gates of its fence, and to each strip in which somebody fills or empties; nothing
    where there is no fence, or where no way was found to look at. Each stands there twice, without and with the part
    in the hand."""
    if fence is None or not fence.pieces or not stage.plan.works:
        return
    beside = {
        each.stood.rect.name: edges(each.rect)
        for each in strips(stage.kit, stage.site, stage.plan) if each.rect is not None
    }  # fmt: skip
    for name, pieces in {"gates": fence.gates, **beside}.items():
        if pieces:
            gap = to_pieces_m(stage.kit, swept(free), pieces, MOST_WALKED_M)
            left(stage, stage.fact(f"people_gap.{name}", gap, "m", SWUNG_TO[name == "gates"]))


def edges(rect: Rect) -> tuple[Piece, ...]:
    """The four sides of a rectangle."""
    west, east = rect.x_m - rect.width_m / 2.0, rect.x_m + rect.width_m / 2.0
    south, north = rect.y_m - rect.depth_m / 2.0, rect.y_m + rect.depth_m / 2.0
    return (
        (west, south, east, south), (west, north, east, north), (west, south, west, north), (east, south, east, north),
    )  # fmt: skip


def stretches(stage: Stage, fence: Fence | None) -> Iterator[Stretch]:
    """Fence and gates as straight pieces, from the middle of the first machine's door plane."""
    if fence is None:
        return
    across(stage, (*fence.pieces, *fence.gates))
    for number, piece in enumerate(fence.pieces, start=1):
        yield stretch(stage, "fence", f"fence.{number}", piece)
    for number, piece in enumerate(fence.gates, start=1):
        yield stretch(stage, "gate", f"gate.{number}", piece)


def across(stage: Stage, pieces: tuple[Piece, ...]) -> None:
    """How wide and deep the fence is as it is built, which may be less than the rectangle by which floor is counted:
    led in where somebody stands to fill or to empty, all along that side."""
    for name, ends in (("width", (0, 2)), ("depth", (1, 3))) if pieces else ():
        at = [piece[end] for piece in pieces for end in ends]
        stage.fact(f"fence.built.{name}", max(at) - min(at), "m", PLACED)


def stretch(stage: Stage, name: str, key: str, piece: Piece) -> Stretch:
    """One straight piece as facts."""
    first = stage.site.doorways[0]
    origin = (first.x_m, first.y_m, first.x_m, first.y_m)
    x, y, to_x, to_y = (
        stage.fact(f"{key}.{end}", at - less, "m", PLACED).id
        for end, at, less in zip(("x", "y", "to_x", "to_y"), piece, origin, strict=True)
    )
    return Stretch(name=name, x_m=x, y_m=y, to_x_m=to_x, to_y_m=to_y)
