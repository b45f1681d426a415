"""Does the arm get to every target: by its links, by the ranges of its joints, and past what stands around?"""

from collections.abc import Callable, Sequence

from millhand.model.fact import Fact
from millhand.model.floor import standing
from millhand.model.layout import Reach
from millhand.model.pool import each_of
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.turning import with_turns
from millhand.trace import apply, found

NEAR_PEOPLE = (
    "An aid for concept work. Within this reach somebody can be hit: room, speed and guards follow from the risk "
    "assessment of the real cell."
)
ON_SITE = (
    "An aid for concept work. The arm is taken for a chain of round bars, a machine for its front round the opening: "
    "what stands inside, hoses and cables are not in it. Try the way on site, slowly."
)
OPENING = ("door frame", "sill of the door", "top of the door", "rim of the roof")
NTH = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
)  # fmt: skip
PLACE = {"presenter": "a part in the presenter", "outfeed": "a place in the outfeed"}


def reach(asked: Asked) -> Verdict | None:
    """The target that asks for most, against the arm's reach."""
    arm = asked.concept.arm
    if arm is None or not asked.layout.reach:
        return None
    worst = least(asked, lambda each: asked.sheet.value(each.slack))
    limit = arm.figures["reach_m"]
    left = of_all(asked, "reach.left", worst.slack, [each.slack for each in asked.layout.reach])
    demand = apply(asked.sheet, "difference_m", asked.id("reach.demand"), length_m=limit, less_m=left)
    words = f"{named(worst).capitalize()} asks for {shown(demand, 'metres')} of the arm's {shown(limit, 'metres')}"
    missing = apply(asked.sheet, "difference_m", asked.id("reach.missing"), length_m=demand, less_m=limit)
    found = verdict(
        asked,
        Finding(
            check="reach",
            demand=demand,
            limit=limit,
            well=f"{words}, {'from where it is pinned' if pinned(asked) else 'from the place found for it'}.",
            ill=f"{words}, {'from where it is pinned' if pinned(asked) else 'wherever its foot was tried'}: "
            f"{shown(missing, 'mm')} are missing. A longer arm, a track, or closer machines.{elsewhere(asked)}",
            formula="difference_m",
            kills=True,
            caution=NEAR_PEOPLE,
        ),
    )
    return with_turns(asked, found, [each.target for each in asked.layout.reach if asked.sheet.value(each.slack) < 0.0])


def of_all(asked: Asked, name: str, worst: str, ids: Sequence[str]) -> Fact:
    """The least of a figure over all targets, with the range of another where that may get worse than the worst one."""
    of, likely = [asked.sheet[each] for each in ids], asked.sheet[worst]
    if all(each.low is None or each.low >= likely.value for each in of if each.id != worst):
        return likely
    return apply(asked.sheet, "least", asked.id(name), values=tuple(of))


def pinned(asked: Asked) -> bool:
    """Whether the shop wants the arm at one place."""
    return any(each.what.value == "arm" for each in standing(asked.inquiry.pinned, asked.concept.pinned))


def elsewhere(asked: Asked) -> str:
    """The nearest place of a pinned foot that would do, in words."""
    if not asked.layout.nearest:
        return ""
    x, y, away = (shown(asked.sheet[fact_id], "metres") for fact_id in asked.layout.nearest)
    return f" The nearest place that would do for the foot is {x} east, {y} north, {away} away."


def joint_room(asked: Asked) -> Verdict | None:
    """The joint that comes nearest to an end of its range at any target, against the room that it keeps."""
    there = [each for each in asked.layout.reach if each.room and asked.sheet.value(each.slack) >= 0.0]
    if not there:
        return None
    worst = min(there, key=lambda each: asked.sheet.value(each.room) / kept_at(asked, each).value)
    room, demand = asked.sheet[worst.room], kept_at(asked, worst)
    slides = room.unit == "m"
    form, way = ("mm", "way") if slides else ("degrees", "turn")
    left = (
        apply(asked.sheet, "gap_left_m", asked.id("joint_room.left"), gap_m=room)
        if slides
        else apply(asked.sheet, "room_left_rad", asked.id("joint_room.left"), room_rad=room)
    )
    words = f"At {named(worst)} the {nth(worst.joint)} joint comes within {shown(left, form)} of the end of its range"
    if room.value < 0.0:
        beyond = (
            apply(asked.sheet, "overlap_m", asked.id("joint_room.beyond"), gap_m=room)
            if slides
            else apply(asked.sheet, "beyond_range_rad", asked.id("joint_room.beyond"), room_rad=room)
        )
        words = f"At {named(worst)} the {nth(worst.joint)} joint lacks {shown(beyond, form)} of {way}"
    found = verdict(
        asked,
        Finding(
            check="joint_room",
            demand=demand,
            limit=left,
            well=f"{words}; {shown(demand, form)} are kept.",
            ill=f"{words}; {shown(demand, form)} are kept. Another place or height of the foot, or another arm."
            f"{elsewhere(asked)}",
            formula="margin_share",
            kills=room.value < 0.0,
            caution=NEAR_PEOPLE,
        ),
    )
    short = [each.target for each in there if asked.sheet.value(each.room) < kept_at(asked, each).value]
    return with_turns(asked, found, short)


def kept_at(asked: Asked, each: Reach) -> Fact:
    """Room that the joint with the least of it keeps to the end of its range."""
    return asked.figure("joint_room_m" if asked.sheet[each.room].unit == "m" else "joint_room_rad")


def way_joined(asked: Asked) -> Verdict | None:
    """Where the links reach and yet no way of the arm goes all along the straight way to a target: which share of it
    the best one goes, against all of it. It ends the concept; where there is a way everywhere it gives none."""
    torn = [each for each in asked.layout.reach if each.joined]
    if not torn:
        return None
    worst = min(torn, key=lambda each: asked.sheet.value(each.joined))
    whole = Fact(id="layout.whole_way", value=1.0, unit="1", basis="computed", source="follows from what a way is")
    demand, limit = found(asked.sheet, whole), asked.sheet[worst.joined]
    words = (
        f"The links of the arm would reach {named(worst)}, but no way of its joints leads steadily there with the hand "
        f"held as it must be: the best one goes {shown(limit, 'percent')} of the straight way"
    )
    return verdict(
        asked,
        Finding(
            check="way_joined",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}. Another place or height of the foot, or another arm.{elsewhere(asked)}",
            formula="margin_share",
            kills=True,
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
    gap = of_all(asked, "arm_gap.least", worst.gap, [each.gap for each in there])
    kept, half = asked.figure("arm_clearance_m"), arm.figures["bar_radius_m"]
    left = apply(asked.sheet, "gap_left_m", asked.id("arm_gap.left"), gap_m=gap)
    demand = apply(asked.sheet, "sum_of_lengths_m", asked.id("arm_gap.asked"), lengths_m=(half, kept))
    free = apply(asked.sheet, "sum_of_lengths_m", asked.id("arm_gap.free"), lengths_m=(half, gap))
    beside = thing(worst.beside)
    words = f"On the way to {named(worst)} the arm keeps {shown(left, 'mm')} to the {beside}"
    if gap.value < 0.0:
        deep = apply(asked.sheet, "overlap_m", asked.id("arm_gap.overlap"), gap_m=gap)
        words = f"On the way to {named(worst)} the arm overlaps the {beside} by {shown(deep, 'mm')}"
    found = verdict(
        asked,
        Finding(
            check="arm_gap",
            demand=demand,
            limit=apply(asked.sheet, "gap_left_m", asked.id("arm_gap.offered"), gap_m=free),
            well=f"{words}; {shown(kept, 'mm')} are asked for.",
            ill=f"{words}; {shown(kept, 'mm')} are asked for. {cure(asked, worst)}{elsewhere(asked)}",
            formula="margin_share",
            kills=gap.value < 0.0 and measured(asked, worst),
            caution=ON_SITE,
        ),
    )
    return with_turns(asked, found, [each.target for each in there if asked.sheet.value(each.gap) < kept.value])


def measured(asked: Asked, worst: Reach) -> bool:
    """Whether what is in the way was told: an opening that was only assumed is a question first."""
    machines = list(each_of(asked.inquiry.machines))
    if worst.beside not in OPENING:
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


def thing(name: str) -> str:
    """What stands in the way, in words."""
    return f"{nth(int(name.removeprefix('machine_')))} machine" if name.startswith("machine_") else name


def named(reach_: Reach) -> str:
    """A target in words."""
    place = reach_.target.split(" ")[0]
    if place in PLACE:
        return PLACE[place]
    return f"the load position of the {nth(int(place.removeprefix('machine_')))} machine"


def nth(number: int) -> str:
    """A number as a word: digits in a sentence stand for figures."""
    return NTH[number - 1] if number <= len(NTH) else "furthest"
