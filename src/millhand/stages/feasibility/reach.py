"""Does the arm get to every target: by its links, by the ranges of its joints, and past what stands around?"""

from collections.abc import Callable

from millhand.model.fact import Fact
from millhand.model.layout import Reach
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.trace import apply, found

NEAR_PEOPLE = (
    "An aid for concept work. Within this reach somebody can be hit: room, speed and guards follow from the risk "
    "assessment of the real cell."
)
ON_SITE = (
    "An aid for concept work. The arm is taken for a chain of round bars, a machine for its front round the opening: "
    "what stands inside, hoses and cables are not in it. Try the way on site, slowly."
)
PLACE = {"presenter": "a part in the presenter", "outfeed": "a place in the outfeed"}


def reach(asked: Asked) -> Verdict | None:
    """The target that asks for most, against the arm's reach."""
    arm = asked.concept.arm
    if arm is None or not asked.layout.reach:
        return None
    worst = least(asked, lambda each: asked.sheet.value(each.slack))
    limit = arm.figures["reach_m"]
    left = asked.sheet[worst.slack]
    demand = apply(asked.sheet, "difference_m", asked.id("reach.demand"), length_m=limit, less_m=left)
    words = (
        f"{named(asked, worst).capitalize()} asks for {shown(demand, 'metres')} of the arm's {shown(limit, 'metres')}"
    )
    missing = apply(asked.sheet, "difference_m", asked.id("reach.missing"), length_m=demand, less_m=limit)
    return verdict(
        asked,
        Finding(
            check="reach",
            demand=demand,
            limit=limit,
            well=f"{words}; the place of the foot was searched.",
            ill=f"{words}, wherever its foot was tried: {shown(missing, 'mm')} are missing. A longer arm, a track, or "
            "machines closer together.",
            formula="difference_m",
            kills=True,
            caution=NEAR_PEOPLE,
        ),
    )


def joint_room(asked: Asked) -> Verdict | None:
    """The joint that comes nearest to an end of its range at any target, against the room that it keeps."""
    there = [each for each in asked.layout.reach if each.room and asked.sheet.value(each.slack) >= 0.0]
    if not there:
        return None
    worst = min(there, key=lambda each: asked.sheet.value(each.room))
    room, demand = asked.sheet[worst.room], asked.figure("joint_room_rad")
    left = apply(asked.sheet, "room_left_rad", asked.id("joint_room.left"), room_rad=room)
    number = found(asked.sheet, Fact(
        id=asked.id("joint_room.joint"), value=float(worst.joint), unit="1", basis="computed", source=room.source,
    ))  # fmt: skip
    joint = f"joint {shown(number, 'count')}"
    words = f"At {named(asked, worst)}, {joint} comes within {shown(left, 'degrees')} of the end of its range"
    if room.value < 0.0:
        beyond = apply(asked.sheet, "beyond_range_rad", asked.id("joint_room.beyond"), room_rad=room)
        words = f"At {named(asked, worst)}, {joint} would have to turn {shown(beyond, 'degrees')} beyond its range"
    return verdict(
        asked,
        Finding(
            check="joint_room",
            demand=demand,
            limit=left,
            well=f"{words}; {shown(demand, 'degrees')} are kept.",
            ill=f"{words}; {shown(demand, 'degrees')} are kept. Another place or height of the foot, or another arm.",
            formula="margin_share",
            kills=room.value < 0.0,
            caution=NEAR_PEOPLE,
        ),
    )


def arm_gap(asked: Asked) -> Verdict | None:
    """The narrowest gap between arm or hand and what stands around on the way to any target.

    Demand and limit count from the middle line of the arm, so that an arm that would go through something has a margin.
    """
    arm, there = asked.concept.arm, [each for each in asked.layout.reach if each.gap]
    if arm is None or not there:
        return None
    worst = min(there, key=lambda each: asked.sheet.value(each.gap))
    gap, kept, half = asked.sheet[worst.gap], asked.figure("arm_clearance_m"), arm.figures["bar_radius_m"]
    left = apply(asked.sheet, "gap_left_m", asked.id("arm_gap.left"), gap_m=gap)
    demand = apply(asked.sheet, "sum_of_lengths_m", asked.id("arm_gap.asked"), lengths_m=(half, kept))
    free = apply(asked.sheet, "sum_of_lengths_m", asked.id("arm_gap.free"), lengths_m=(half, gap))
    beside = thing(asked, worst.beside)
    words = f"On the way to {named(asked, worst)} the arm keeps {shown(left, 'mm')} to the {beside}"
    if gap.value < 0.0:
        deep = apply(asked.sheet, "overlap_m", asked.id("arm_gap.overlap"), gap_m=gap)
        words = f"On the way to {named(asked, worst)} the arm overlaps the {beside} by {shown(deep, 'mm')}"
    return verdict(
        asked,
        Finding(
            check="arm_gap",
            demand=demand,
            limit=apply(asked.sheet, "gap_left_m", asked.id("arm_gap.offered"), gap_m=free),
            well=f"{words}; {shown(kept, 'mm')} are asked for.",
            ill=f"{words}; {shown(kept, 'mm')} are asked for. {cure(asked, worst)}",
            formula="margin_share",
            kills=gap.value < 0.0 and measured(asked, worst),
            caution=ON_SITE,
        ),
    )


def measured(asked: Asked, worst: Reach) -> bool:
    """Whether what is in the way was told: an opening that was only assumed is a question first."""
    machines = [machine for machine in asked.inquiry.machines for _ in range(round(machine.count.value))]
    if not worst.target.startswith("machine_"):
        return True
    inside = machines[int(worst.target.removeprefix("machine_")) - 1].inside
    return inside.door_width_m.basis != "assumed" and inside.door_height_m.basis != "assumed"


def cure(asked: Asked, worst: Reach) -> str:
    """What would help."""
    if measured(asked, worst):
        return "A slimmer or longer arm, a wider opening, or machines that stand closer together or face each other."
    return "The opening of the door was assumed: measure it before anything else."


def least(asked: Asked, value: Callable[[Reach], float]) -> Reach:
    """The target with the least of something."""
    return min(asked.layout.reach, key=value)


def thing(asked: Asked, name: str) -> str:
    """What stands in the way, in words."""
    return machine(asked, name) if name.startswith("machine_") else name


def named(asked: Asked, reach_: Reach) -> str:
    """A target in words."""
    place = reach_.target.split(" ")[0]
    return PLACE.get(place) or f"the load position of {machine(asked, place)}"


def machine(asked: Asked, place: str) -> str:
    """A machine by its number, which is a fact like any other figure of a sentence."""
    number = Fact(
        id=f"layout.{place}.number", value=float(place.removeprefix("machine_")), unit="1", basis="computed",
        source="follows from the order of the machines in the inquiry",
    )  # fmt: skip
    return f"machine {shown(found(asked.sheet, number), 'count')}"
