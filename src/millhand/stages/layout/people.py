"""Where people stand and walk round a placed cell: at presenter and outfeed, through the gate to the doors."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.layout import Spot, Stretch, Walk
from millhand.solvers.placing.around import Stood
from millhand.solvers.placing.fence_floor import beside_stands, cut_out_m2, joined, pockets_beside, trimmed
from millhand.solvers.placing.fencing import Fence, Piece, fenced, free_of, notch, with_gates
from millhand.solvers.placing.near_fence import fence_gap_m
from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.walks import widest_way_m
from millhand.solvers.placing.ways import Free
from millhand.stages.layout.overhead import on_floor
from millhand.stages.layout.placing import PLACED, Stage
from millhand.trace import found

WAYS = ((1, 0), (-1, 0), (0, 1), (0, -1))
WALKED = "placed on the floor by search; the widest way for people from outside, past all that stands there"
LEFT_OUT = "placed on the floor by search; strips where somebody stands, and machines, inside the rectangle"
MORE_GATES = "gates.more"
SWUNG = "the arm's links all along its ways, seen from above, to the nearest stretch of its fence"
MOST_M = 1.0  # a wider way is not looked for: judged, it limits nobody


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where somebody stands beside a stand, and which way leads from the stand to there; None: no side is free."""

    stood: Stood
    rect: Rect | None
    way: tuple[int, int]


def stood(stage: Stage) -> tuple[Stood, ...]:
    """Presenter and outfeed as far as something stands there."""
    return tuple(each for each in (stage.plan.presenter, stage.plan.outfeed) if each is not None)


def strips(stage: Stage) -> Iterator[Strip]:
    """The aisle behind presenter and outfeed: on the side furthest from the arm where it is free."""
    pieces = [each.rect for each in stood(stage)]
    for each in stood(stage):
        others = (
            *stage.site.machines, *stage.site.obstacles, *stage.plan.columns, stage.plan.arm,
            *(rect for rect in pieces if rect is not each.rect),
        )  # fmt: skip
        sides = [(aisle(each.rect, way, stage.site.aisle_m), way) for way in away(stage, each)]
        free = [(side, way) for side, way in sides if free_of(side, others)]
        rect, way = free[0] if free else (None, (0, 0))
        if rect is not None and guard_of(stage).id == "fence":
            rect = trimmed(rect, kept_off(stage), way, needed_m(stage))  # the fence runs along it
        yield Strip(stood=each, rect=rect, way=way)


def away(stage: Stage, each: Stood) -> list[tuple[int, int]]:
    """The ways of the plan that lead from a stand away from the arm: first to the side that stands high, then the
    furthest."""
    foot, rect = stage.plan.feet[each.rect.name], each.rect
    far = {way: (rect.x_m - foot[0]) * way[0] + (rect.y_m - foot[1]) * way[1] for way in WAYS}
    high = {way: (each.high.x_m - rect.x_m) * way[0] + (each.high.y_m - rect.y_m) * way[1] for way in WAYS}
    ways = [way for way in WAYS if far[way] > 0.0]
    return sorted(ways, key=lambda way: (-round(high[way], 6), -far[way]))


def aisle(rect: Rect, way: tuple[int, int], deep_m: float) -> Rect:
    """The strip of floor beside a rectangle on one side."""
    dx, dy = way
    half = ((rect.width_m if dx else rect.depth_m) + deep_m) / 2.0
    beside = replace(rect, x_m=rect.x_m + dx * half, y_m=rect.y_m + dy * half)
    return replace(beside, width_m=deep_m) if dx else replace(beside, depth_m=deep_m)


def people_spots(stage: Stage) -> Iterator[Spot]:
    """The aisles as spots of their own."""
    for each in strips(stage):
        if each.rect is not None:
            name = each.rect.name
            yield spot(stage, f"{name}.people", replace(each.rect, name=f"people at {name}"))


def standing(stage: Stage) -> tuple[Rect, ...]:
    """What nobody walks through: machines, obstacles, columns, stands, a foot that stays.

    A track that stands still is stepped over.
    """
    foot = () if stage.kit.on_track else (stage.plan.arm,)
    stands = (each.rect for each in stood(stage))
    return (*stage.site.machines, *stage.site.obstacles, *stage.plan.columns, *stands, *foot)


def fence_rect(stage: Stage, guard: Component, spots: tuple[Spot, ...]) -> Rect:
    """The rectangle of the floor's formula: round all that is new and the door planes, with the margin."""
    value = stage.ground.sheet.value
    new = [each for each in on_floor(stage, spots) if not each.name.startswith("machine_")]
    xs = [value(each.x_m) + side * value(each.width_m) / 2.0 for each in new for side in (-1, 1)]
    ys = [value(each.y_m) + side * value(each.depth_m) / 2.0 for each in new for side in (-1, 1)]
    xs += [door.x_m for door in stage.site.doorways]
    ys += [door.y_m for door in stage.site.doorways]
    margin = guard.figures["margin_m"].value
    return Rect(
        name="fence", x_m=(min(xs) + max(xs)) / 2.0, y_m=(min(ys) + max(ys)) / 2.0,
        width_m=max(xs) - min(xs) + 2.0 * margin, depth_m=max(ys) - min(ys) + 2.0 * margin,
    )  # fmt: skip


def fence_of(stage: Stage, guard: Component, spots: tuple[Spot, ...]) -> Fence | None:
    """The fence as it is built, with its gates, none of it along a stand, which closes it there; None where the cell is
    guarded otherwise."""
    if guard.id != "fence":
        return None
    whole = fence_rect(stage, guard, spots)
    round_all = fenced(whole, notches(stage, whole), stage.site.machines)
    stands = [each.rect for each in stood(stage)]
    lines = tuple(rest for piece in round_all for rest in beside_stands(piece, stands))
    return with_gates(lines, standing(stage), door_rooms(stage), gate_m=stage.site.aisle_m, width_m=needed_m(stage))


def door_rooms(stage: Stage) -> tuple[Rect, ...]:
    """The floor that is kept free before each opening."""
    return tuple(door.room(stage.site.before_door_m) for door in stage.site.doorways)


def notches(stage: Stage, whole: Rect) -> list[Rect]:
    """The strips where somebody stands that the fence is led round, as far as its side."""
    cut = []
    for each in strips(stage):
        if each.rect is not None:
            led = notch(whole, each.rect, each.way)
            others = (*standing(stage), stage.plan.arm, *door_rooms(stage))
            if free_of(led, [other for other in others if other is not each.stood.rect]):
                cut.append(led)
                cut += [
                    joined(led, pocket)
                    for pocket in pockets_beside(whole, led)
                    if free_of(pocket, kept_round(stage, each))
                ]
    return cut


def guard_of(stage: Stage) -> Component:
    """What guards the cell."""
    guard = stage.ground.concept.safeguarding
    assert guard is not None
    return guard


def kept_off(stage: Stage) -> Rect:
    """Floor under the arm's foot or its track with the fence's margin round it."""
    arm, wide = stage.plan.arm, 2.0 * guard_of(stage).figures["margin_m"].value
    return replace(arm, width_m=arm.width_m + wide, depth_m=arm.depth_m + wide)


def kept_round(stage: Stage, beside: Strip) -> tuple[Rect, ...]:
    """What a fence may not be drawn up to, with its margin round it: a machine closes it and is not in this."""
    wide = 2.0 * guard_of(stage).figures["margin_m"].value
    stands = [each.rect for each in stood(stage) if each.rect is not beside.stood.rect]
    others = (
        replace(each, width_m=each.width_m + wide, depth_m=each.depth_m + wide)
        for each in (*stage.plan.columns, *stands)
    )
    return (*others, kept_off(stage), *door_rooms(stage), beside.stood.rect)


def outside(stage: Stage, guard: Component, spots: tuple[Spot, ...]) -> Fact:
    """Of the rectangle round all that is new what the fence leaves out: strips where somebody stands, and machines."""
    whole = fence_rect(stage, guard, spots)
    left_out = cut_out_m2(whole, (*notches(stage, whole), *stage.site.machines))
    name = f"concepts.{stage.ground.concept.id}.layout.fence.outside"
    return found(stage.ground.sheet, Fact(id=name, value=left_out, unit="m2", basis="computed", source=LEFT_OUT))


def more_gates(stage: Stage, fence: Fence | None) -> None:
    """Gates beyond the one that a fence comes with, for its price; nothing where there are none."""
    if fence is not None and len(fence.gates) > 1:
        stage.fact(MORE_GATES, len(fence.gates) - 1.0, "1", PLACED)


def fence_gap(stage: Stage, free: Free, fence: Fence | None) -> str:
    """How near the arm comes to its fence; "" where there is none, or where no way was found to look at."""
    if fence is None or not fence.pieces or not stage.plan.works:
        return ""
    return stage.fact("fence.gap", fence_gap_m(stage.kit, free, fence), "m", SWUNG).id


def needed_m(stage: Stage) -> float:
    """How wide a way for people has to be."""
    return stage.ground.figure("walk_width_m").value


def walks(stage: Stage, fence: Fence | None) -> Iterator[Walk]:
    """How wide the way from outside to each door, to presenter and outfeed is."""
    pieces = (*standing(stage), *(fence.walls if fence is not None else ()))
    targets = {door.name: door.room(stage.site.before_door_m) for door in stage.site.doorways}
    sides = {each.stood.rect.name: each.rect for each in strips(stage)}
    for name, rect in {**targets, **sides}.items():
        wide = widest_way_m(pieces, rect, most_m=MOST_M) if rect is not None else 0.0
        yield Walk(place=name, width=stage.fact(f"walk.{name}.width", wide, "m", WALKED).id)


def stretches(stage: Stage, fence: Fence | None) -> Iterator[Stretch]:
    """Fence and gates as straight pieces, from the middle of the first machine's door plane."""
    if fence is None:
        return
    for number, piece in enumerate(fence.pieces, start=1):
        yield stretch(stage, "fence", f"fence.{number}", piece)
    for number, piece in enumerate(fence.gates, start=1):
        yield stretch(stage, "gate", f"gate.{number}", piece)


def stretch(stage: Stage, name: str, key: str, piece: Piece) -> Stretch:
    """One straight piece as facts."""
    first = stage.site.doorways[0]
    origin = (first.x_m, first.y_m, first.x_m, first.y_m)
    x, y, to_x, to_y = (
        stage.fact(f"{key}.{end}", at - less, "m", PLACED).id
        for end, at, less in zip(("x", "y", "to_x", "to_y"), piece, origin, strict=True)
    )
    return Stretch(name=name, x_m=x, y_m=y, to_x_m=to_x, to_y_m=to_y)


def spot(stage: Stage, name: str, rect: Rect) -> Spot:
    """A rectangle as facts under a name of its own."""
    measures = {"x": rect.x_m, "y": rect.y_m, "width": rect.width_m, "depth": rect.depth_m}
    ids = {key: stage.fact(f"{name}.{key}", value, "m", PLACED).id for key, value in measures.items()}
    return Spot(name=rect.name, x_m=ids["x"], y_m=ids["y"], width_m=ids["width"], depth_m=ids["depth"])
