"""Is there room for the fingers: beside a part in its tray, and on what chuck or vise leave free of it?"""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.part import Part
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, part_of, shown, tightest, verdict
from millhand.stages.feasibility.rate import groups
from millhand.trace import apply

Way = tuple[str, Fact, Fact]  # in words, what fingers need, what is there


def finger_room(asked: Asked) -> Verdict | None:
    """The place with the least room for fingers. It warns: fingers are made for the part, and trays for the fingers.
    Cups and magnets have none, and jaws in a bore need no room beside the part."""
    gripper = asked.concept.gripper
    if asked.concept.arm is None or gripper is None or gripper.words["jaws"] in ("vacuum", "magnet", "inside"):
        return None
    places = [*in_tray(asked), *in_clamping(asked)]
    if not places:
        return None
    where, demand, limit = tightest(places)
    words = f"{where} fingers need {shown(demand, 'mm')}; {shown(limit, 'mm')} are there"
    return verdict(
        asked,
        Finding(
            check="finger_room",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: thinner or stepped fingers, parts further apart, or less of the part in the clamping.",
            formula="finger_gap_m",
            coarse=True,
        ),
    )


def in_tray(asked: Asked) -> Iterator[Way]:
    """The gap beside a part in tray, drawer or lane, into which an open finger goes."""
    presenter, arm = asked.concept.presenter, asked.concept.arm
    if presenter is None or arm is None or not {"tray_length_m", "lane_length_m"} & presenter.figures.keys():
        return
    both = apply(
        asked.sheet, "sum_of_lengths_m", asked.id("finger_room.both"),
        lengths_m=(asked.figure("jaw_clearance_m"), part_of(asked).raw_tolerance_m),
    )  # fmt: skip
    opened = apply(asked.sheet, "half_of_length_m", asked.id("finger_room.opened"), length_m=both)
    demand = apply(
        asked.sheet, "finger_gap_m", asked.id("finger_room.gap"), finger_m=asked.figure("finger_thick_m"),
        open_m=opened, play_m=asked.figure("pocket_play_m"), arm_m=arm.figures["repeatability_m"],
    )  # fmt: skip
    yield "Beside a part in its tray", demand, asked.figure("grip_gap_m")


def in_clamping(asked: Asked) -> Iterator[Way]:
    """What chuck or vise leave free of the part; where that is too little, the gap between two jaws of a chuck."""
    part = part_of(asked)
    for machine in groups(asked):
        clamping = machine.clamping.value.rpartition("_")[2]
        if clamping not in ("chuck", "vise"):
            continue
        contact, free = asked.figure("finger_contact_m"), free_of(asked, part, clamping, machine)
        between = clamping == "chuck" and free.value < contact.value
        yield between_jaws(asked, part, machine) if between else (f"On what the {clamping} leaves free", contact, free)


def free_of(asked: Asked, part: Part, clamping: str, machine: Machine) -> Fact:
    """Length of a part outside a chuck, or its height above the jaws of a vise."""
    measures = (part.raw.length_m, part.raw.width_m, part.raw.height_m)
    height = part.raw.length_m if clamping == "chuck" else min(measures, key=lambda fact: fact.value)
    return apply(
        asked.sheet, "difference_m", asked.id(f"finger_room.{machine.name}.free"),
        length_m=height, less_m=asked.figure("clamp_depth_m"),
    )  # fmt: skip


def between_jaws(asked: Asked, part: Part, machine: Machine) -> Way:
    """A finger between two jaws of a chuck, at the radius of the part."""
    radius = apply(
        asked.sheet, "half_of_length_m", asked.id(f"finger_room.{machine.name}.radius"), length_m=part.raw.width_m
    )
    gap = apply(
        asked.sheet, "chuck_gap_m", asked.id(f"finger_room.{machine.name}.between"), radius_m=radius,
        jaws=asked.figure("chuck_jaws"), jaw_width_m=asked.figure("chuck_jaw_width_m"),
    )  # fmt: skip
    return "Between the jaws of the chuck", asked.figure("finger_width_m"), gap
