"""What a drawing of a placed cell needs: the openings of the machines, the feet, what stands high, where people stand.

Figures that the inquiry or the catalogue holds are named as they are; the places are those that the search found.
"""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.layout import Drawn, Foot, Opening, Spot
from millhand.solvers.placing.around import Stood
from millhand.solvers.placing.site import HIGH_M, Rect
from millhand.stages.layout.ground import FACES, Door
from millhand.stages.layout.overhead import beam, foot_height, on_floor, overhead
from millhand.stages.layout.placing import PLACED, Stage
from millhand.trace import apply, found

WAYS = ((1, 0), (-1, 0), (0, 1), (0, -1))
FRONT = "judged: how high the front of a machine is taken to be"
ROOM = "judged: what the search keeps free before an opening"
LINKS = "the arm's links"
SIDES = {step: name for name, step in FACES.items()}


def drawn(stage: Stage, fronts: tuple[Door, ...], spots: tuple[Spot, ...]) -> Drawn:
    """All of it for one concept."""
    ground = stage.ground
    arm, mount, guard = ground.concept.arm, ground.concept.mount, ground.concept.safeguarding
    assert arm is not None
    assert mount is not None
    assert guard is not None
    foot, over = foot_height(stage), overhead(stage)
    doors = [each for each in stage.plan.served if each.name.startswith("machine_")]
    own = (*stands(stage), *obstacles(stage), *((fence(stage, guard, spots),) if guard.id == "fence" else ()))
    return Drawn(
        pieces=tuple(from_origin(stage, fronts[0], each) for each in (*named(stage, spots), *own)),
        openings=tuple(opening(stage, door, fronts[0]) for door in fronts),
        feet=tuple(feet(stage, fronts[0])),
        people=tuple(from_origin(stage, fronts[0], each) for each in people_spots(stage)),
        worst=min(doors, key=lambda each: each.score).name,
        machine_height=shared(stage, "machine_height", HIGH_M, FRONT).id,
        before_door=shared(stage, "before_door", stage.site.before_door_m, ROOM).id,
        foot_height=foot.id if over is None else over.foot,
        shoulder=shoulder(stage, foot).id,
        reach=arm.figures["reach_m"].id,
        hand=ground.figure("hand_length_m").id,
        margin=guard.figures["margin_m"].id,
        overhead=over,
    )


def named(stage: Stage, spots: tuple[Spot, ...]) -> tuple[Spot, ...]:
    """The spots of the layout; a track is called one, and the floor under a beam by what is over it."""
    if not stage.kit.on_track:
        return spots
    name = "track" if stage.kit.beam is None else "strip under the beam"
    return (*(replace(each, name=name) if each.name == "arm" else each for each in spots), *beam(stage))


def from_origin(stage: Stage, first: Door, piece: Spot) -> Spot:
    """A piece counted from the middle of the first machine's door plane."""
    name = piece.name.replace(" ", "_")
    x, y = shifted(stage, first, (piece.x_m, piece.y_m), name)
    return replace(piece, x_m=x, y_m=y)


def shifted(stage: Stage, first: Door, at: tuple[str, str], name: str) -> tuple[str, str]:
    """A place counted from the origin; one whose origin is at nought already keeps its facts."""
    sheet, places = stage.ground.sheet, []
    for axis, fact_id, origin in (("x", at[0], first.at.x), ("y", at[1], first.at.y)):
        if origin.value == 0.0:
            places.append(fact_id)
            continue
        own = f"concepts.{stage.ground.concept.id}.layout.marked.{name}.{axis}"
        places.append(apply(sheet, "difference_m", own, length_m=sheet[fact_id], less_m=origin).id)
    return places[0], places[1]


def shoulder(stage: Stage, foot: Fact) -> Fact:
    """Where the first long link begins: what the arm is bolted to, and the shift along the first joint's axis."""
    up = stage.fact("arm.shoulder_over_foot", stage.kit.arm.joints[0].d_m, "m", LINKS)
    fact_id = f"concepts.{stage.ground.concept.id}.layout.shoulder"
    if stage.kit.on_beam:  # the flange of a ram that is drawn up
        slide, wrist = stage.kit.arm.joints[0], stage.kit.arm.joints[-1]
        drawn_up = stage.fact("arm.drawn_up", stage.plan.foot_m + slide.high - wrist.d_m, "m", LINKS)
        return apply(stage.ground.sheet, "sum_of_lengths_m", fact_id, lengths_m=(drawn_up,))
    if stage.kit.arm.hangs:
        return apply(stage.ground.sheet, "difference_m", fact_id, length_m=foot, less_m=up)
    return apply(stage.ground.sheet, "sum_of_lengths_m", fact_id, lengths_m=(foot, up))


def stands(stage: Stage) -> Iterator[Spot]:
    """What of presenter and outfeed stands high, where that is not all of it."""
    for each in stood(stage):
        if each.stand.solid_m < each.stand.width_m:
            yield spot(stage, f"{each.rect.name}.stand", replace(each.high, name=f"{each.rect.name} stand"))


def obstacles(stage: Stage) -> Iterator[Spot]:
    """What else stands there."""
    for number, rect in enumerate(stage.site.obstacles, start=1):
        yield spot(stage, f"obstacle_{number}", replace(rect, name=f"obstacle {number}"))


def fence(stage: Stage, guard: Component, spots: tuple[Spot, ...]) -> Spot:
    """The rectangle of the floor's formula: round all that is new and the door planes, with the margin."""
    value = stage.ground.sheet.value
    new = [each for each in on_floor(stage, spots) if not each.name.startswith("machine_")]
    xs = [value(each.x_m) + side * value(each.width_m) / 2.0 for each in new for side in (-1, 1)]
    ys = [value(each.y_m) + side * value(each.depth_m) / 2.0 for each in new for side in (-1, 1)]
    xs += [door.x_m for door in stage.site.doorways]
    ys += [door.y_m for door in stage.site.doorways]
    margin = guard.figures["margin_m"].value
    rect = Rect(
        name="fence", x_m=(min(xs) + max(xs)) / 2.0, y_m=(min(ys) + max(ys)) / 2.0,
        width_m=max(xs) - min(xs) + 2.0 * margin, depth_m=max(ys) - min(ys) + 2.0 * margin,
    )  # fmt: skip
    return spot(stage, "fence", rect)


def shared(stage: Stage, name: str, value: float, source: str) -> Fact:
    """A judged length that all concepts share."""
    fact = Fact(id=f"layout.{name}", value=value, unit="m", basis="assumed", source=source)
    return found(stage.ground.sheet, fact)


def opening(stage: Stage, door: Door, first: Door) -> Opening:
    """One machine's door; the sill lies a share of the opening below the load position, not below the floor."""
    sheet, machine = stage.ground.sheet, door.machine
    sill = apply(
        sheet, "sill_height_m", f"layout.{door.name}.sill", load_height_m=machine.load_height_m,
        opening_m=machine.inside.door_height_m, sill_share=stage.ground.figure("sill_share"),
    )  # fmt: skip
    top = apply(sheet, "sum_of_lengths_m", f"layout.{door.name}.top", lengths_m=(sill, machine.inside.door_height_m))
    x, y = shifted(stage, first, (door.at.x.id, door.at.y.id), f"{door.name}.door")
    return Opening(
        machine=door.name, faces=SIDES[door.faces], x_m=x, y_m=y, width=machine.inside.door_width_m.id, sill=sill.id,
        top=top.id, depth=machine.load_depth_m.id, height=machine.load_height_m.id,
    )  # fmt: skip


def feet(stage: Stage, first: Door) -> Iterator[Foot]:
    """Where the foot stands: once, or for each place along a track."""
    places = stage.plan.feet if stage.kit.on_track else {"arm": stage.plan.feet[stage.site.doorways[0].name]}
    for name, at in places.items():
        ids = [stage.fact(f"foot.{name}.{axis}", value, "m", PLACED).id for axis, value in zip("xy", at, strict=False)]
        x, y = shifted(stage, first, (ids[0], ids[1]), f"foot.{name}")
        yield Foot(place=name, x_m=x, y_m=y)


def stood(stage: Stage) -> tuple[Stood, ...]:
    """Presenter and outfeed as far as something stands there."""
    return tuple(each for each in (stage.plan.presenter, stage.plan.outfeed) if each is not None)


def spot(stage: Stage, name: str, rect: Rect) -> Spot:
    """A rectangle as facts under a name of its own."""
    measures = {"x": rect.x_m, "y": rect.y_m, "width": rect.width_m, "depth": rect.depth_m}
    ids = {key: stage.fact(f"{name}.{key}", value, "m", PLACED).id for key, value in measures.items()}
    return Spot(name=rect.name, x_m=ids["x"], y_m=ids["y"], width_m=ids["width"], depth_m=ids["depth"])


def people_spots(stage: Stage) -> Iterator[Spot]:
    """The aisles as spots of their own."""
    for rect in people(stage):
        yield spot(stage, f"{rect.name}.people", replace(rect, name=f"people at {rect.name}"))


def people(stage: Stage) -> Iterator[Rect]:
    """The aisle behind presenter and outfeed: on the side furthest from the arm where it is free."""
    pieces = [each.rect for each in stood(stage)]
    for each in stood(stage):
        others = (
            *stage.site.machines, *stage.site.obstacles, *stage.plan.columns, stage.plan.arm,
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
    return max(x, y) >= -1e-9
