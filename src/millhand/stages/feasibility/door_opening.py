"""Does the hand with its part get through the door: two hands that turn in it, or one that passes?"""

from collections.abc import Iterator

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import (
    Asked,
    Finding,
    caution_of,
    out_of_reach,
    shown,
    tightest,
    verdict,
)
from millhand.stages.feasibility.payload import hand_figure, sides
from millhand.stages.feasibility.rate import groups
from millhand.trace import apply

Way = tuple[str, Fact, Fact]  # in words, what it asks for, what is there


def door_opening(asked: Asked) -> Verdict | None:
    """The tightest way through a door of all machines, clearance on both sides.

    Two hands turn about the wrist in the opening or behind it, so their circle has to fit into its width; a hand that
    does not turn has to pass by its width. A door that somebody measured ends the concept, an assumed one only where
    the widest usual one would not do.
    """
    gripper = asked.concept.gripper
    if asked.concept.arm is None or gripper is None:
        return None
    way, demand, limit = tightest(list(ways(asked, gripper)))
    hands = "two hands with their parts turn in" if gripper.words["hands"] == "two" else "the hand with its part needs"
    words = f"{way}, {hands} {shown(demand, 'mm')}, clearance included; {shown(limit, 'mm')} are clear"
    cure = "one hand instead of two, or a turn in front of the door, which takes longer than is reckoned here"
    if gripper.words["hands"] != "two":
        cure = "a shorter or narrower hand, or a wider door"
    return verdict(
        asked,
        Finding(
            check="door_opening",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: {short(asked, demand, limit)} too little. It takes {cure}.",
            formula="turning_circle_m" if gripper.words["hands"] == "two" else "passage_m",
            kills=out_of_reach(demand, limit),
            coarse=True,
            caution=caution_of("turning_circle_m"),
        ),
    )


def short(asked: Asked, demand: Fact, limit: Fact) -> str:
    """By how much a door is too narrow; nothing is worked out where it is wide enough."""
    if demand.value <= limit.value:
        return "nothing"
    missing = apply(asked.sheet, "difference_m", asked.id("door_opening.missing"), length_m=demand, less_m=limit)
    return shown(missing, "mm")


def ways(asked: Asked, gripper: Component) -> Iterator[Way]:
    """Across and upright through the door of each kind of machine."""
    for machine in groups(asked):
        across, upright = outlines(asked, gripper, machine)
        yield "Across the door", across, machine.inside.door_width_m
        yield "Upright in the door", upright, machine.inside.door_height_m


def outlines(asked: Asked, gripper: Component, machine: Machine) -> tuple[Fact, Fact]:
    """Openings that the hand needs across and upright.

    One hand may bring a part end first; into a chuck it comes across, as the spindle runs along the door.
    """
    longest, middle, least = sides(asked)
    body, two = hand_figure(asked, gripper, "width_m"), gripper.words["hands"] == "two"
    chuck = machine.clamping.value.endswith("_chuck")
    end_first = not two and not chuck
    name = f"door_opening.{machine.name}"
    outline = greatest(asked, f"{name}.outline", body, middle if end_first else longest)
    upright = greatest(asked, f"{name}.upright", body, least)
    across = circle(asked, gripper, outline, name) if two else outline
    return passage(asked, f"{name}.across", across), passage(asked, f"{name}.high", upright)


def circle(asked: Asked, gripper: Component, outline: Fact, name: str) -> Fact:
    """What two hands sweep: as far out as a hand with half a part, and half its outline beside that."""
    sheet, (_, _, least) = asked.sheet, sides(asked)
    half_part = apply(sheet, "half_of_length_m", asked.id(f"{name}.part"), length_m=least)
    stands_out = apply(
        sheet, "sum_of_lengths_m", asked.id(f"{name}.stands_out"),
        lengths_m=(hand_figure(asked, gripper, "length_m"), half_part),
    )  # fmt: skip
    half = apply(sheet, "half_of_length_m", asked.id(f"{name}.half"), length_m=outline)
    return apply(sheet, "turning_circle_m", asked.id(f"{name}.circle"), reach_m=stands_out, half_width_m=half)


def passage(asked: Asked, name: str, outline: Fact) -> Fact:
    """An outline with clearance on both sides."""
    return apply(
        asked.sheet, "passage_m", asked.id(name), outline_m=outline, clearance_m=asked.figure("door_clearance_m")
    )


def greatest(asked: Asked, name: str, *lengths: Fact) -> Fact:
    """The greatest of some lengths."""
    return apply(asked.sheet, "greatest_of_lengths_m", asked.id(name), lengths_m=lengths)
