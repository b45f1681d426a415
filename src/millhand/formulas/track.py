"""An arm on a track: the force that moves its carriage, what the moving mass holds, and the gap between two of them.

Travel times are those of motion.py: move_time_s, and s_curve_move_time_s where jerk is limited.
"""

import math

from millhand.formulas.limits import GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. A moving carriage is a hazard of its own: it crushes against end stops, columns and "
    "machines, runs on when a brake fails and runs down a slope. The risk assessment, local codes and competent "
    "persons decide on stops, guards and brakes; the measured stopping path with the greatest load goes first."
)
BRAKING = (0.01, 200.0)


@formula(
    source="own_computation, forces along a sloping rail",
    valid={
        "mass_kg": POSITIVE,
        "accel_m_s2": NOT_NEGATIVE,
        "friction": (0.0, 0.5),
        "slope_rad": (-math.pi / 2.0, math.pi / 2.0),
    },
    caution=CAUTION,
)
def carriage_thrust_n(
    mass_kg: float, *, accel_m_s2: float, friction: float, slope_rad: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Force along the rail that speeds a carriage up, against friction of its guides and up a slope [N].

    friction is the guides' resistance over the force on them; a slope of pi/2 lifts. While it cruises accel_m_s2 is 0.
    Source: own_computation, Newton's second law.  Valid for friction in proportion to the load on the guides.

    >>> round(carriage_thrust_n(100.0, accel_m_s2=2.0, friction=0.01, slope_rad=0.0), 4)
    209.8066
    """
    weight_n = mass_kg * gravity_m_s2
    return mass_kg * accel_m_s2 + friction * weight_n * math.cos(slope_rad) + weight_n * math.sin(slope_rad)


@formula(
    source="own_computation, kinetic energy",
    valid={"mass_kg": NOT_NEGATIVE, "speed_m_s": NOT_NEGATIVE},
    caution=CAUTION,
)
def carriage_energy_j(mass_kg: float, *, speed_m_s: float) -> float:
    """Energy of a moving carriage with all that it carries, which a brake, an end stop or a body has to take [J].

    Source: own_computation, m v² / 2.  Valid for the whole moving mass at its greatest speed.

    >>> carriage_energy_j(500.0, speed_m_s=2.0)
    1000.0
    """
    return mass_kg * speed_m_s**2 / 2.0


@formula(
    source="own_computation, energy over the way",
    valid={"mass_kg": NOT_NEGATIVE, "speed_m_s": NOT_NEGATIVE, "way_m": POSITIVE, "drive_n": NOT_NEGATIVE},
    caution=CAUTION,
)
def end_stop_force_n(mass_kg: float, *, speed_m_s: float, way_m: float, drive_n: float) -> float:
    """Mean force on an end stop that brings a carriage to rest within its way while the drive still pushes [N].

    A spring's greatest force is twice the mean one of the energy.
    Source: own_computation, energy over way.  Valid as a mean over the way.

    >>> end_stop_force_n(500.0, speed_m_s=2.0, way_m=0.1, drive_n=800.0)
    10800.0
    """
    return mass_kg * speed_m_s**2 / (2.0 * way_m) + drive_n


@formula(
    source="own_computation, reaction and constant braking",
    valid={"speed_m_s": NOT_NEGATIVE, "braking_m_s2": BRAKING, "reaction_s": NOT_NEGATIVE},
    caution=CAUTION,
)
def carriage_stopping_m(speed_m_s: float, *, braking_m_s2: float, reaction_s: float) -> float:
    """Way of a carriage from the event until it stands: on at full speed for the reaction, then braking [m].

    Source: own_computation, constant braking.  Valid for the braking that the drive or the brake really reaches.

    >>> carriage_stopping_m(2.0, braking_m_s2=4.0, reaction_s=0.25)
    1.0
    """
    return speed_m_s * reaction_s + speed_m_s**2 / (2.0 * braking_m_s2)


@formula(
    source="own_computation, two stopping ways and the gap to keep",
    valid={
        "speed_m_s": NOT_NEGATIVE,
        "other_speed_m_s": NOT_NEGATIVE,
        "braking_m_s2": BRAKING,
        "other_braking_m_s2": BRAKING,
        "reaction_s": NOT_NEGATIVE,
        "keep_m": NOT_NEGATIVE,
    },
    caution=CAUTION,
)
def buffer_zone_m(
    speed_m_s: float,
    *,
    other_speed_m_s: float,
    braking_m_s2: float,
    other_braking_m_s2: float,
    reaction_s: float,
    keep_m: float,
) -> float:
    """Length of rail between two carriages that run towards each other from which both still come to stand [m].

    Each goes on for the reaction, then brakes at its own rate; keep_m is what must be left between them, arms and parts
    that reach over the carriages included. It says nothing about people between them: that takes more.
    Source: own_computation, sum of both stopping ways.  Valid for speeds and braking with the greatest loads.

    >>> zone = {"other_speed_m_s": 1.0, "braking_m_s2": 4.0, "other_braking_m_s2": 2.0, "reaction_s": 0.25}
    >>> buffer_zone_m(2.0, keep_m=0.5, **zone)
    2.0
    """
    own_m = carriage_stopping_m(speed_m_s, braking_m_s2=braking_m_s2, reaction_s=reaction_s)
    other_m = carriage_stopping_m(other_speed_m_s, braking_m_s2=other_braking_m_s2, reaction_s=reaction_s)
    return own_m + other_m + keep_m
