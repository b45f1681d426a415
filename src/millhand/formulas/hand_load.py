"""What one or two hands with their parts put on a flange before they are drawn: lever, static moment, inertia.

A hand of usual shape: its body is the first three fifths of its length, its fingers the rest, the parts lie at their
tips. A single hand points away from the flange; two stand at right angles to each other, each half a right angle aside.
"""

import math
from collections.abc import Sequence

from millhand.formulas.flange import CAUTION
from millhand.formulas.limits import GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

BODY_SHARE = 0.6  # of a hand's length is its body (judged: the usual shape of grippers)
BODY_AT, FINGERS_AT = BODY_SHARE / 2.0, (1.0 + BODY_SHARE) / 2.0  # their middles, as shares of the length
MASSES = {"gripper_kg": POSITIVE, "fingers_kg": NOT_NEGATIVE, "parts_kg": NOT_NEGATIVE, "length_m": POSITIVE}


@formula(
    source="own_computation, centre of gravity of hands of usual shape",
    valid=MASSES | {"hands": (1.0, 2.0)},
    caution=CAUTION,
)
def hand_lever_m(gripper_kg: float, *, fingers_kg: float, parts_kg: float, length_m: float, hands: float) -> float:
    """Distance of the centre of gravity of full hands from the flange, masses those of all hands together [m].

    Of two hands what lies aside cancels while both are full; with one empty the moment is less.
    Source: own_computation, centre of gravity.  Valid for one hand or two, of usual shape.

    >>> round(hand_lever_m(2.0, fingers_kg=0.7, parts_kg=2.4, length_m=0.2, hands=1.0), 4)
    0.1396
    """
    ahead = math.cos(math.pi / 4.0) if hands > 1.0 else 1.0
    moments = gripper_kg * BODY_AT + fingers_kg * FINGERS_AT + parts_kg
    return length_m * ahead * moments / (gripper_kg + fingers_kg + parts_kg)


@formula(
    source="own_computation, weight times lever",
    unit="N.m",
    valid={"mass_kg": NOT_NEGATIVE, "lever_m": NOT_NEGATIVE},
    caution=CAUTION,
)
def static_moment_nm(mass_kg: float, *, lever_m: float) -> float:
    """Greatest moment of a load's weight about the flange in any posture [N.m].

    Source: own_computation, weight times lever.  Valid at rest; load diagrams count acceleration by the inertia.
    """
    return mass_kg * GRAVITY_M_S2 * lever_m


@formula(
    source="gere2012, parallel axes, boxes of a hand of usual shape",
    unit="kg.m2",
    valid=MASSES | {"width_m": POSITIVE},
    units={"sides_m": "m"},
    caution=CAUTION,
)
def hand_inertia_kg_m2(
    gripper_kg: float, *, fingers_kg: float, parts_kg: float, length_m: float, width_m: float, sides_m: Sequence[float]
) -> float:
    """Inertia of full hands about the axis through the flange that lies across them, the greatest of all [kg.m2].

    sides_m are the three sides of a part, which lies with its two longest across the axis. Two hands turn alike.
    Source: gere2012, m (b² + c²) / 12 and parallel axes.  Valid for boxes of even density.
    """
    body_m, fingers_m = BODY_SHARE * length_m, (1.0 - BODY_SHARE) * length_m
    longest, middle = sorted(sides_m)[:-3:-1]
    own = (
        gripper_kg * (width_m**2 + body_m**2)
        + fingers_kg * (width_m**2 + fingers_m**2)
        + parts_kg * (longest**2 + middle**2)
    )
    away = gripper_kg * BODY_AT**2 + fingers_kg * FINGERS_AT**2 + parts_kg
    return own / 12.0 + away * length_m**2
