"""How far a part may be off when it is put down, against what a chuck, a vise or a nest still catches."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, SHARE
from millhand.formulas.register import formula

ANGLE = (0.0, math.pi / 4.0)


@formula(source="tolerance_exercises, worst case", unit="m", units={"links_m": "m"})
def worst_case_m(links_m: Sequence[float]) -> float:
    """Greatest error of a chain when every link is at its limit on the same side, each link +/- so much [m].

    Source: tolerance_exercises, worst case.  Valid for links given as half ranges.

    >>> round(worst_case_m([0.0001, 0.0002]), 6)
    0.0003
    """
    return math.fsum(abs(link) for link in links_m)


@formula(source="tolerance_exercises, root sum of squares", unit="m", units={"links_m": "m"})
def root_sum_square_m(links_m: Sequence[float]) -> float:
    """Likely greatest error of a chain of independent links, each +/- so much at the same confidence [m].

    Source: tolerance_exercises, root sum of squares.  Valid for centred, independent links of about normal scatter.

    >>> root_sum_square_m([0.003, 0.004])
    0.005
    """
    return math.hypot(*links_m)


@formula(
    source="own_computation, half the play",
    valid={"pocket_m": NOT_NEGATIVE, "part_m": NOT_NEGATIVE, "tolerance_m": NOT_NEGATIVE},
)
def pocket_play_m(pocket_m: float, *, part_m: float, tolerance_m: float) -> float:
    """How far a part may lie off the middle of its pocket, the smallest part at the rim; never below 0 [m].

    Source: own_computation, half the play.  Valid for tolerance_m as +/- on the part's size.
    """
    return max((pocket_m - (part_m - tolerance_m)) / 2.0, 0.0)


@formula(source="own_computation, lever of an angle", valid={"angle_rad": ANGLE, "lever_m": NOT_NEGATIVE})
def tilt_error_m(angle_rad: float, *, lever_m: float) -> float:
    """How far the end of a part is off when it hangs askew by an angle [m].

    Source: own_computation, lever of an angle.  Valid for small angles.
    """
    return lever_m * math.tan(angle_rad)


@formula(
    source="own_computation, half the opening",
    valid={"opening_m": NOT_NEGATIVE, "part_m": NOT_NEGATIVE, "tolerance_m": NOT_NEGATIVE},
)
def jaw_catch_m(opening_m: float, *, part_m: float, tolerance_m: float) -> float:
    """How far off the middle an open chuck or vise still takes the largest part between its jaws; never below 0 [m].

    Source: own_computation, half the opening.  Valid for jaws that centre the part as they close.
    """
    return max((opening_m - part_m - tolerance_m) / 2.0, 0.0)


@formula(
    source="own_computation, chamfers and play",
    valid={"nest_chamfer_m": NOT_NEGATIVE, "part_chamfer_m": NOT_NEGATIVE, "play_m": NOT_NEGATIVE, "usable": SHARE},
)
def nest_catch_m(nest_chamfer_m: float, *, part_chamfer_m: float, play_m: float, usable: float) -> float:
    """How far off the middle a nest or bore still leads a part in: the usable share of both chamfers, and the play [m].

    play_m is half the difference of the diameters. A gripper that does not give way uses little of the chamfers.
    Source: own_computation, chamfers and play.  Valid for a push along the axis that does not jam.
    """
    return usable * (nest_chamfer_m + part_chamfer_m) + play_m


@formula(source="own_computation, catch less error", valid={"catch_m": NOT_NEGATIVE, "error_m": NOT_NEGATIVE})
def placing_margin_m(catch_m: float, *, error_m: float) -> float:
    """Room left between what is caught and how far the part may be off; below 0 parts are put down wrong [m].

    Source: own_computation, difference.  Valid for both taken at the same place and in the same direction.
    """
    return catch_m - error_m
