"""What a drawing of a placed cell needs: the openings of the machines, the feet, what stands high, where people stand.

Figures that the inquiry or the catalogue holds are named as they are; the places are those that the search found.
"""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.layout import Drawn, Foot, Opening, Spot
from millhand.solvers.placing.fencing import Fence
from millhand.solvers.placing.people import enclosed
from millhand.solvers.placing.site import HIGH_M
from millhand.stages.layout.ground import FACES, Door
from millhand.stages.layout.overhead import beam, foot_height, overhead, spot
from millhand.stages.layout.people import people_spots, stretches
from millhand.stages.layout.placing import PLACED, Stage
from millhand.stages.layout.site import hand_figure
from millhand.trace import apply, found

FRONT = "judged: how high the front of a machine is taken to be"
ROOM = "judged: what the search keeps free before an opening"
LINKS = "the arm's links"
ALIKE = 6  # digits to which two doors are served alike: of these the first is drawn
SIDES = {step: name for name, step in FACES.items()}


def drawn(stage: Stage, fronts: tuple[Door, ...], spots: tuple[Spot, ...], fence: Fence | None) -> Drawn:
    """All of it for one concept."""
    ground = stage.ground
    arm, mount, guard = ground.concept.arm, ground.concept.mount, ground.concept.safeguarding
    assert arm is not None
    assert mount is not None
    assert guard is not None
    foot, over = foot_height(stage), overhead(stage)
    doors = [each for each in stage.plan.served if each.name.startswith("machine_")]
    own = [*stands(stage), *obstacles(stage)]
    if ground.concept.is_fenced:
        whole = enclosed(stage.kit, stage.site, stage.plan, guard.figures["margin_m"].value)
        own.append(spot(stage, "fence", whole))
    return Drawn(
        pieces=tuple(from_origin(stage, fronts[0], each) for each in (*named(stage, spots), *own)),
        openings=tuple(opening(stage, door, fronts[0]) for door in fronts),
        feet=tuple(feet(stage, fronts[0])),
        people=tuple(from_origin(stage, fronts[0], each) for each in people_spots(stage)),
        worst=min(doors, key=lambda each: round(each.score, ALIKE)).name,
        machine_height=shared(stage, "machine_height", HIGH_M, FRONT).id,
        before_door=shared(stage, "before_door", stage.site.before_door_m, ROOM).id,
        foot_height=foot.id if over is None else over.foot,
        shoulder=shoulder(stage, foot).id,
        reach=arm.figures["reach_m"].id,
        hand=hand_figure(ground, "length_m").id,
        margin=guard.figures["margin_m"].id,
        fence=tuple(stretches(stage, fence)),
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
    for each in stage.plan.stood:
        if each.stand.solid_m < each.stand.width_m:
            yield spot(stage, f"{each.rect.name}.stand", replace(each.high, name=f"{each.rect.name} stand"))


def obstacles(stage: Stage) -> Iterator[Spot]:
    """What else stands there."""
    for number, rect in enumerate(stage.site.obstacles, start=1):
        yield spot(stage, f"obstacle_{number}", replace(rect, name=f"obstacle {number}"))


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
