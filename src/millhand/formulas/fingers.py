"""Room for fingers and grippers: stroke for a family, gaps in tray and chuck, a double gripper that turns in a door."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

TURN_CAUTION = (
    "An aid for concept work. A gripper that turns near a door or a person crushes; the risk assessment, local codes "
    "and competent persons decide where it may turn."
)


@formula(
    source="own_computation, span of a family",
    valid={"tolerance_m": NOT_NEGATIVE, "clearance_m": NOT_NEGATIVE},
    units={"sizes_m": "m"},
)
def family_travel_m(sizes_m: Sequence[float], *, tolerance_m: float, clearance_m: float) -> float:
    """Change of opening that one set of fingers needs for all gripped sizes of a family, raw and finished [m].

    From the smallest size closed to the largest opened: scatter and room to let go come on top.
    Source: own_computation, span of a family.  Valid for fingers that take all sizes without a change.

    >>> round(family_travel_m([0.062, 0.055, 0.04], tolerance_m=0.001, clearance_m=0.004), 4)
    0.027
    """
    return max(sizes_m) - min(sizes_m) + tolerance_m + clearance_m


@formula(
    source="own_computation, largest size and room",
    valid={"tolerance_m": NOT_NEGATIVE, "clearance_m": NOT_NEGATIVE},
    units={"sizes_m": "m"},
)
def family_opening_m(sizes_m: Sequence[float], *, tolerance_m: float, clearance_m: float) -> float:
    """Widest opening that an outside grip needs: the largest size with its scatter, and room to go over it [m].

    Source: own_computation, largest size.  Valid for outside grips; an inside grip needs the smallest bore, closed.
    """
    return max(sizes_m) + tolerance_m + clearance_m


@formula(
    source="own_computation, finger with its opening",
    valid={"finger_m": POSITIVE, "open_m": NOT_NEGATIVE, "play_m": NOT_NEGATIVE, "arm_m": NOT_NEGATIVE},
)
def finger_gap_m(finger_m: float, *, open_m: float, play_m: float, arm_m: float) -> float:
    """Gap beside a part into which one open finger goes without touching part or neighbour [m].

    finger_m is its thickness, open_m its way from closed to open, play_m how far the part may lie aside in its pocket,
    as its neighbour may towards it; arm_m how far the arm may be off.
    Source: own_computation, sum of lengths.  Valid for neighbours that stand still.
    """
    return finger_m + open_m + 2.0 * play_m + arm_m


@formula(
    source="own_computation, chord between two jaws",
    valid={"radius_m": POSITIVE, "jaws": (2.0, 6.0), "jaw_width_m": POSITIVE},
)
def chuck_gap_m(radius_m: float, *, jaws: float, jaw_width_m: float) -> float:
    """Clear straight distance between the corners of two neighbouring chuck jaws at a radius [m].

    Source: own_computation, chord between two jaws.  Valid for jaws narrower than the circle at that radius; 0 beyond.
    """
    half = jaw_width_m / (2.0 * radius_m)
    if half >= 1.0:
        return 0.0
    free_rad = 2.0 * math.pi / jaws - 2.0 * math.asin(half)
    return 2.0 * radius_m * math.sin(max(free_rad, 0.0) / 2.0)


@formula(
    source="own_computation, farthest corner from the axis",
    valid={"reach_m": POSITIVE, "half_width_m": NOT_NEGATIVE},
    caution=TURN_CAUTION,
)
def turning_circle_m(reach_m: float, *, half_width_m: float) -> float:
    """Diameter that a double gripper with its parts sweeps when it turns about the wrist [m].

    reach_m is how far the longer side stands out from the axis, half_width_m how far it stands out beside that.
    Source: own_computation, farthest corner.  Valid for outlines inside that corner, hoses included.

    >>> turning_circle_m(0.3, half_width_m=0.4)
    1.0
    """
    return 2.0 * math.hypot(reach_m, half_width_m)


@formula(
    source="own_computation, opening less circle",
    valid={"opening_m": NOT_NEGATIVE, "circle_m": NOT_NEGATIVE, "clearance_m": NOT_NEGATIVE},
    caution=TURN_CAUTION,
)
def door_margin_m(opening_m: float, *, circle_m: float, clearance_m: float) -> float:
    """Room left when a gripper turns in a door opening, with clearance on both sides; below 0 it must turn outside [m].

    Source: own_computation, opening less circle.  Valid for a turn in the plane of the opening.

    >>> round(door_margin_m(0.8, circle_m=0.6, clearance_m=0.05), 3)
    0.1
    """
    return opening_m - circle_m - 2.0 * clearance_m
