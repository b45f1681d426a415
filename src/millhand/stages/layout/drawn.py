"""What a drawing of a placed cell needs: the openings of the machines, the feet, what stands high, where people stand.

Figures that the inquiry or the catalogue holds are named as they are; the places are those that the search found.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.layout import Drawn, Foot, Opening, Spot
from millhand.solvers.placing.around import Stood
from millhand.solvers.placing.site import HIGH_M, Doorway, Rect
from millhand.stages.layout.ground import FACES, Door
from millhand.stages.layout.placing import PLACED, Stage
from millhand.trace import apply, found

WAYS = ((1, 0), (-1, 0), (0, 1), (0, -1))
FRONT = "judged: how high the front of a machine is taken to be"
ROOM = "judged: what the search keeps free before an opening"
SIDES = {step: name for name, step in FACES.items()}


def drawn(stage: Stage, fronts: tuple[Door, ...]) -> Drawn:
    """All of it for one concept."""
    ground, sheet = stage.ground, stage.ground.sheet
    arm, mount, guard = ground.concept.arm, ground.concept.mount, ground.concept.safeguarding
    assert arm is not None
    assert mount is not None
    foot_height = mount.figures["base_height_m"]
    up = stage.fact("arm.shoulder_over_foot", shoulder_over_foot(stage), "m", "the arm's links")
    shoulder = apply(
        sheet, "sum_of_lengths_m", f"concepts.{ground.concept.id}.layout.shoulder", lengths_m=(foot_height, up)
    )
    doors = [each for each in stage.plan.served if each.name.startswith("machine_")]
    return Drawn(
        openings=tuple(
            opening(stage, door, way) for door, way in zip(fronts, stage.site.doorways, strict=True)
        ),
        machine_height=shared(stage, "machine_height", HIGH_M, FRONT).id,
        before_door=shared(stage, "before_door", stage.site.before_door_m, ROOM).id,
        feet=tuple(feet(stage)),
        foot_height=foot_height.id,
        shoulder=shoulder.id,
        reach=arm.figures["reach_m"].id,
        hand=ground.figure("hand_length_m").id,
        worst=min(doors, key=lambda each: each.score).name,
        stands=tuple(spot(stage, f"{each.rect.name}.solid", each.high) for each in stood(stage)),
        people=tuple(spot(stage, f"{rect.name}.people", rect) for rect in people(stage)),
        obstacles=tuple(spot(stage, f"obstacle_{n}", rect) for n, rect in enumerate(stage.site.obstacles, start=1)),
        fence_margin=guard.figures["margin_m"].id if guard is not None and guard.id == "fence" else "",
    )  # fmt: skip


def shared(stage: Stage, name: str, value: float, source: str) -> Fact:
    """A judged length that all concepts share."""
    fact = Fact(id=f"layout.{name}", value=value, unit="m", basis="assumed", source=source)
    return found(stage.ground.sheet, fact)


def opening(stage: Stage, door: Door, way: Doorway) -> Opening:
    """One machine's door; the sill lies a share of the opening below the load position, not below the floor."""
    sheet, machine = stage.ground.sheet, door.machine
    sill = apply(
        sheet, "sill_height_m", f"layout.{door.name}.sill", load_height_m=machine.load_height_m,
        opening_m=machine.inside.door_height_m, sill_share=stage.ground.figure("sill_share"),
    )  # fmt: skip
    top = apply(sheet, "sum_of_lengths_m", f"layout.{door.name}.top", lengths_m=(sill, machine.inside.door_height_m))
    return Opening(
        machine=door.name, faces=SIDES[way.faces], x_m=door.at.x.id, y_m=door.at.y.id,
        width=machine.inside.door_width_m.id, sill=sill.id, top=top.id, depth=machine.load_depth_m.id,
        height=machine.load_height_m.id,
    )  # fmt: skip


def feet(stage: Stage) -> Iterator[Foot]:
    """Where the foot stands: once, or for each place along a track."""
    places = stage.plan.feet if stage.kit.on_track else {"arm": stage.plan.feet[stage.site.doorways[0].name]}
    for name, at in places.items():
        x, y = (
            stage.fact(f"foot.{name}.{axis}", value, "m", PLACED).id for axis, value in (("x", at[0]), ("y", at[1]))
        )
        yield Foot(place=name, x_m=x, y_m=y)


def shoulder_over_foot(stage: Stage) -> float:
    """How far above the foot the first long link begins: the shift along the first joint's axis."""
    return stage.kit.arm.joints[0].d_m


def stood(stage: Stage) -> tuple[Stood, ...]:
    """Presenter and outfeed as far as something stands there."""
    return tuple(each for each in (stage.plan.presenter, stage.plan.outfeed) if each is not None)


def spot(stage: Stage, name: str, rect: Rect) -> Spot:
    """A rectangle as facts under a name of its own."""
    measures = {"x": rect.x_m, "y": rect.y_m, "width": rect.width_m, "depth": rect.depth_m}
    ids = {key: stage.fact(f"{name}.{key}", value, "m", PLACED).id for key, value in measures.items()}
    return Spot(name=rect.name, x_m=ids["x"], y_m=ids["y"], width_m=ids["width"], depth_m=ids["depth"])


def people(stage: Stage) -> Iterator[Rect]:
    """The aisle behind presenter and outfeed: on the side furthest from the arm where it is free."""
    pieces = [each.rect for each in stood(stage)]
    for each in stood(stage):
        others = (
            *stage.site.machines, *stage.site.obstacles, stage.plan.arm,
            *(rect for rect in pieces if rect is not each.rect),
        )  # fmt: skip
        sides = [aisle(each.rect, way, stage.site.aisle_m) for way in away(stage, each)]
        free = [side for side in sides if all(apart(side, other) for other in others)]
        yield from free[:1]


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


def apart(one: Rect, other: Rect) -> bool:
    """Whether two rectangles do not overlap; they may touch."""
    x = abs(one.x_m - other.x_m) - (one.width_m + other.width_m) / 2.0
    y = abs(one.y_m - other.y_m) - (one.depth_m + other.depth_m) / 2.0
    return max(x, y) >= -1e-9 or math.isclose(max(x, y), 0.0, abs_tol=1e-9)
