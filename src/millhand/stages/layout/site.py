"""What the placing of a cell starts from: the shop's machines with their openings, and what the concept brings."""

import math
from collections.abc import Iterator
from dataclasses import replace

from millhand.errors import ToolError
from millhand.model.arm import Linkage
from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.floor import standing
from millhand.model.part import Size
from millhand.solvers.placing.serving import FRONT_M, Hand
from millhand.solvers.placing.site import Doorway, Kit, Pair, People, Pin, Rect, Site, Stand
from millhand.solvers.pose.clearance import Bars
from millhand.solvers.pose.swept import ALONG_M, WITHIN_M
from millhand.stages.layout.ground import Door, Ground
from millhand.stages.layout.overhead import beam_of, heights_of
from millhand.trace import apply

QUARTERS = {"east": 0, "north": 1, "west": 2, "south": 3}
WRIST = 2  # of the joints, the last ones are as thin as a wrist
HANGS = ("mill", "press", "other")  # machines into which the hand may also hang down
ABOUT_STOP_M = 1.0  # how far from a stop a loader's carriage still goes for the parts of one stand: judged
BESIDE_M = 0.05  # between machines in a row, where the usual width is too much for the spacing


def site_of(ground: Ground, doors: tuple[Door, ...]) -> Site:
    """The shop's floor as numbers."""
    widths, share = widths_of(ground, doors), ground.figure("sill_share").value
    return Site(
        doorways=tuple(
            replace(doorway(each, share), roof=_through_roof(ground, each), before_m=front_m(ground)) for each in doors
        ),
        machines=tuple(_machine(ground, each, width) for each, width in zip(doors, widths, strict=True)),
        obstacles=tuple(
            Rect(
                name=each.name, x_m=each.x_m.value, y_m=each.y_m.value, width_m=each.width_m.value,
                depth_m=each.depth_m.value, height_m=each.height_m.value,
            )
            for each in ground.inquiry.obstacles
        ),
        aisle_m=ground.figure("aisle_m").value,
    )  # fmt: skip


def _through_roof(ground: Ground, door: Door) -> bool:
    """Whether the concept's arm is a ram that comes down through the roof."""
    arm = ground.concept.arm
    return arm is not None and arm.words.get("form") == "ram" and door.machine.inside.from_above.value == "yes"


def doorway(door: Door, sill_share: float) -> Doorway:
    """One machine's opening; the load position lies a share of its height above the sill."""
    machine = door.machine
    height, opening = machine.load_height_m.value, machine.inside.door_height_m.value
    sill = max(0.0, height - sill_share * opening)
    return Doorway(
        name=door.name, x_m=door.at.x.value, y_m=door.at.y.value, faces=door.faces,
        width_m=machine.inside.door_width_m.value, sill_m=sill, lintel_m=sill + opening,
        depth_m=machine.load_depth_m.value, height_m=height, from_above=machine.kind.value in HANGS,
    )  # fmt: skip


def widths_of(ground: Ground, doors: tuple[Door, ...]) -> list[float]:
    """How wide each machine is taken to be: the usual width, or what its neighbour leaves it."""
    usual = ground.figure("machine_width_m").value
    widths = []
    for door in doors:
        beside = [
            abs(door.at.x.value - other.at.x.value) + abs(door.at.y.value - other.at.y.value)
            for other in doors if other is not door and other.faces == door.faces
        ]  # fmt: skip
        widths.append(max(door.machine.inside.door_width_m.value, min([usual, *(gap - BESIDE_M for gap in beside)])))
    return widths


def _machine(ground: Ground, door: Door, width_m: float) -> Rect:
    """A machine's block behind its door plane."""
    deep = ground.figure("machine_depth_m").value
    x, y = door.at.x.value - door.faces[0] * deep / 2.0, door.at.y.value - door.faces[1] * deep / 2.0
    sides = (deep, width_m) if door.faces[0] else (width_m, deep)
    return Rect(name=door.name, x_m=x, y_m=y, width_m=sides[0], depth_m=sides[1])


def kit_of(ground: Ground) -> Kit:
    """What the concept puts on the floor."""
    concept, arm, mount, gripper = ground.concept, ground.concept.arm, ground.concept.mount, ground.concept.gripper
    assert arm is not None
    assert mount is not None
    assert gripper is not None
    linkage = ground.catalogue.arms.get(arm.id)
    if linkage is None:
        raise ToolError(f"the arm {arm.id} has no row in the table of links and joints", code="no_linkage")
    hand, wide = (hand_figure(ground, name).value for name in ("length_m", "width_m"))
    bars = Bars(
        radii_m=(arm.figures["bar_radius_m"].value,) * (len(linkage.joints) - WRIST)
        + (arm.figures["wrist_radius_m"].value,) * WRIST,
        tool_m=max(0.0, hand - wide / 2.0), tool_radius_m=wide / 2.0,
    )  # fmt: skip
    tracked = "travel_m" in mount.figures
    if tracked and linkage.family == "gantry":
        linkage = _stopping(linkage)
    width = mount.figures["footprint_width_m"].value
    length = mount.figures["footprint_length_m"].value
    return Kit(
        arm=replace(linkage, hangs=mount.words.get("arm") == "hangs"),
        hand=Hand(tool_m=hand, bars=bars, part_m=part_m(ground), front_m=front_m(ground)),
        foot_height_m=mount.figures["base_height_m"].value, foot_m=(width if tracked else length, width),
        on_track=tracked, pinned=tuple(pins(ground)), presenter=stand(ground, "presenter", concept.presenter),
        outfeed=stand(ground, "outfeed", concept.outfeed), heights_m=heights_of(mount), beam=beam_of(ground, mount),
        people=_people(ground, mount), pair=pair_of(ground),
    )  # fmt: skip


def pair_of(ground: Ground) -> Pair | None:
    """How two arms share a track; None where there is one arm."""
    sharing = ground.concept.sharing
    return Pair(way=sharing.words["way"], keep_m=keep(ground, sharing).value) if sharing is not None else None


def keep(ground: Ground, sharing: Component) -> Fact:
    """How far apart two carriages keep from middle to middle: so far that both still come to stand when they run
    towards each other at full speed, and as far again as they need who stand."""
    speed, braking = ground.figure("track_speed_m_s"), sharing.figures["braking_m_s2"]
    return apply(
        ground.sheet, "buffer_zone_m", f"layout.{sharing.id}.keep", speed_m_s=speed, other_speed_m_s=speed,
        braking_m_s2=braking, other_braking_m_s2=braking, reaction_s=sharing.figures["reaction_s"],
        keep_m=sharing.figures["apart_m"],
    )  # fmt: skip


def hand_figure(ground: Ground, name: str) -> Fact:
    """A measure of the gripper, or the usual one of a hand."""
    gripper = ground.concept.gripper
    own = gripper.figures.get(name) if gripper is not None else None
    return own if own is not None else ground.figure(f"hand_{name}")


def part_m(ground: Ground) -> float:
    """From the middle of the largest part, where it is held, to its furthest corner: raw or finished, turned anyhow."""
    return max(
        half_across_m(size, part.shape.value == "round")
        for part in ground.inquiry.parts
        for size in ((part.finished,) if any(each.bar for each in part.operations) else (part.raw, part.finished))
    )


def half_across_m(size: Size, is_round: bool) -> float:
    """Half of what lies furthest apart in a block or a cylinder."""
    sides = (size.length_m, size.width_m) if is_round else (size.length_m, size.width_m, size.height_m)
    return math.hypot(*(side.value for side in sides)) / 2.0


def front_m(ground: Ground) -> float:
    """How far before a door or above a tray a straight way begins: so that the part keeps there what is asked for."""
    return max(FRONT_M, part_m(ground) + ground.figure("arm_clearance_m").value + WITHIN_M + ALONG_M)


def _people(ground: Ground, mount: Component) -> People:
    """What people round the cell need."""
    guard, figures = ground.concept.safeguarding, mount.figures
    clear = ground.inquiry.wishes.aisle_m
    beyond = figures["footprint_length_m"].value - figures["travel_m"].value if "travel_m" in figures else 0.0
    return People(
        width_m=ground.figure("walk_width_m").value, beyond_m=beyond,
        fence_m=guard.figures["margin_m"].value if guard is not None and ground.concept.is_fenced else None,
        gate_m=clear.value if clear is not None else ground.figure("clear_way_m").value,
    )  # fmt: skip


def _stopping(loader: Linkage) -> Linkage:
    """A loader whose carriage stops at each machine: what is left of its way along the beam about such a stop."""
    joints = list(loader.joints)
    joints[2] = replace(joints[2], low=-ABOUT_STOP_M, high=ABOUT_STOP_M)
    return replace(loader, joints=tuple(joints))


def pins(ground: Ground) -> Iterator[tuple[str, Pin]]:
    """What the shop wants at one place. A stand's length leads to the arm's end of it: a quarter turn from east."""
    for each in standing(ground.inquiry.pinned, ground.concept.pinned):
        quarter = QUARTERS[each.turned.value] if each.turned is not None else None
        yield each.what.value, Pin(x_m=each.x_m.value, y_m=each.y_m.value, quarter=quarter)


def stand(ground: Ground, name: str, component: Component | None) -> Stand | None:
    """A presenter or outfeed as a block with the points that the hand goes down to; None: nothing stands there.

    A drawer in use is pulled out towards the arm: it takes floor before its stand, and the hand goes down there.
    """
    if component is None or component.figures["footprint_length_m"].value <= 0.0:
        return None
    figures = {key: fact.value for key, fact in component.figures.items()}
    length, width = figures["footprint_length_m"], figures["footprint_width_m"]
    edge, up = ground.figure("tray_edge_m").value, ground.figure("gripped_m").value
    height = figures["stand_height_m"]
    if "drawers_height_m" in figures:
        out = figures["tray_width_m"]
        beyond = ground.figure("drawer_beyond_m").value
        across = tuple(width / 2.0 + beyond + out / 2.0 + side * (out / 2.0 - edge) for side in (-1.0, 1.0))
        along = (edge - figures["tray_length_m"] / 2.0, figures["tray_length_m"] / 2.0 - edge)
        heights = _heights(component.figures["stand_height_m"])
        return Stand(
            name=name, length_m=length, width_m=width + beyond + out, high_m=heights[-1], solid_m=width,
            picks=tuple((u, v, h + up) for h in heights for u in along for v in across),
        )  # fmt: skip
    return Stand(
        name=name, length_m=length, width_m=width, high_m=height, solid_m=width, picks=picks(figures, edge, up)
    )  # fmt: skip


def _heights(fact: Fact) -> tuple[float, ...]:
    """Lowest and highest of a range."""
    return (fact.value,) if fact.low is None or fact.high is None else (fact.low, fact.high)


def picks(figures: dict[str, float], edge_m: float, up_m: float) -> tuple[tuple[float, float, float], ...]:
    """The outermost parts: the corners of the trays side by side, the end of a belt, the middle of a box."""
    height = figures["stand_height_m"] + up_m
    if "tray_length_m" in figures:
        along = figures["tray_length_m"] * figures["layers"] / 2.0 - edge_m
        across = figures["tray_width_m"] / 2.0 - edge_m
        return tuple((u, v, height) for u in (-along, along) for v in (-across, across))
    if "lane_length_m" in figures:
        return ((figures["footprint_length_m"] / 2.0 - 2.0 * edge_m, 0.0, height),)
    return ((0.0, 0.0, height),)
