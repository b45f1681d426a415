"""All checks of one concept, those that can end it first."""

from collections.abc import Callable

from millhand.model.concept import Concept
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.timing import Timing
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.belt import belt
from millhand.stages.feasibility.bore_room import bore_room
from millhand.stages.feasibility.capacity_night import capacity_night, gauging_night
from millhand.stages.feasibility.capacity_refill import capacity_refill
from millhand.stages.feasibility.door import door
from millhand.stages.feasibility.door_opening import door_opening
from millhand.stages.feasibility.finger_room import finger_room
from millhand.stages.feasibility.fire import fire
from millhand.stages.feasibility.floor_area import floor_area
from millhand.stages.feasibility.floor_sides import floor_sides
from millhand.stages.feasibility.grip_force import grip_force, part_bears
from millhand.stages.feasibility.grip_travel import grip_travel
from millhand.stages.feasibility.interface import interface
from millhand.stages.feasibility.lifting import lifting
from millhand.stages.feasibility.lifting_tray import lifting_tray
from millhand.stages.feasibility.magnet import magnet_grip
from millhand.stages.feasibility.outfeed import outfeed
from millhand.stages.feasibility.over_fence import over_fence
from millhand.stages.feasibility.overhead import beam_deflection, ceiling
from millhand.stages.feasibility.pace import pace
from millhand.stages.feasibility.payload import inertia, moment, payload
from millhand.stages.feasibility.people_way import people_way
from millhand.stages.feasibility.placing import placing
from millhand.stages.feasibility.reach import arm_gap, joint_room, reach, way_joined
from millhand.stages.feasibility.side_force import side_force
from millhand.stages.feasibility.speed_near_people import speed_near_people
from millhand.stages.feasibility.stand import stand
from millhand.stages.feasibility.standing_clear import standing_clear
from millhand.stages.feasibility.track import track_drive, track_duty, track_travel, two_apart
from millhand.stages.feasibility.way_gap import way_gap
from millhand.trace import Sheet

CHECKS: tuple[Callable[[Asked], Verdict | None], ...] = (
    payload, moment, inertia, standing_clear, reach, joint_room, way_joined, arm_gap, way_gap, door_opening,
    grip_force, magnet_grip, part_bears, side_force, grip_travel, bore_room, finger_room, placing, stand, track_travel,
    track_drive, track_duty, two_apart, belt, ceiling, beam_deflection, floor_area, floor_sides, people_way,
    over_fence, capacity_refill, outfeed, capacity_night, gauging_night, fire, pace, interface, door, speed_near_people,
    lifting, lifting_tray,
)  # fmt: skip


def verdicts(inquiry: Inquiry, concept: Concept, layout: Layout, timing: Timing, sheet: Sheet) -> tuple[Verdict, ...]:
    """Every verdict that makes sense for the concept; checks that do not apply to it give none."""
    sheet.extend(facts_in(inquiry))
    sheet.extend(facts_in(concept))
    asked = Asked(inquiry=inquiry, concept=concept, layout=layout, timing=timing, sheet=sheet)
    return tuple(found for check in CHECKS if (found := check(asked)) is not None)


# What a single part may miss in a cell that stands: what it weighs, how it is held, what it passes through.
OF_A_PART = (payload, moment, inertia, door_opening, grip_force, magnet_grip, grip_travel, bore_room)
MISSED_BY_A_PART = ("grip_travel",)  # fails for one part, however its fingers are made


def first_missed(asked: Asked) -> Verdict | None:
    """The first check by which the one part of an inquiry cannot be loaded by this cell; None where it can.

    A failure that would only warn does not count: other fingers of the same gripper mend it.
    """
    for check in OF_A_PART:
        found = check(asked)
        if found is not None and not found.holds and (found.kills or found.check in MISSED_BY_A_PART):
            return found
    return None


def all_held(asked: Asked) -> bool:
    """Whether no such check fails, not even as a warning."""
    return all(found is None or found.holds for found in (check(asked) for check in OF_A_PART))
