"""The drive of a carriage by rack and pinion or by belt: radii, motor speed and torque, root mean square, duty."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. A drive that is too weak neither holds nor stops its carriage, and the moving mass is a "
    "hazard of its own; the drive maker's sizing, the risk assessment, local codes and competent persons decide."
)
RATIO = (0.01, 1000.0)
EFFICIENCY = (0.1, 1.0)


@formula(
    source="own_computation, pitch circle of a pinion",
    valid={"module_m": POSITIVE, "teeth": (5.0, 500.0), "helix_rad": (0.0, 0.8)},
)
def pinion_radius_m(module_m: float, *, teeth: float, helix_rad: float) -> float:
    """Pitch radius of a pinion with this normal module, straight teeth with helix_rad 0 [m].

    Source: own_computation, z m / (2 cos helix).  Valid for teeth without profile shift.

    >>> pinion_radius_m(0.003, teeth=20.0, helix_rad=0.0)
    0.03
    """
    return module_m * teeth / (2.0 * math.cos(helix_rad))


@formula(source="own_computation, belt pitch round a circle", valid={"pitch_m": POSITIVE, "teeth": (5.0, 500.0)})
def pulley_radius_m(pitch_m: float, *, teeth: float) -> float:
    """Pitch radius of a toothed belt's pulley [m].

    Source: own_computation, z p / 2 pi.  Valid for the pitch line of the belt.

    >>> round(pulley_radius_m(0.01, teeth=32.0), 6)
    0.05093
    """
    return pitch_m * teeth / (2.0 * math.pi)


@formula(
    source="own_computation, tension of the slack side",
    valid={"thrust_n": NOT_NEGATIVE, "reserve": (1.0, 3.0)},
    caution=CAUTION,
)
def belt_pretension_n(thrust_n: float, *, reserve: float) -> float:
    """Tension of both strands at rest at which the slack one keeps taut under the greatest thrust [N].

    The thrust takes half of itself from the slack strand and adds it to the other one.
    Source: own_computation, equal strands.  Valid for strands alike; the belt maker's data go first.

    >>> belt_pretension_n(800.0, reserve=1.25)
    500.0
    """
    return reserve * thrust_n / 2.0


@formula(
    source="own_computation, elastic strand",
    valid={"thrust_n": NOT_NEGATIVE, "strand_m": POSITIVE, "other_strand_m": POSITIVE, "stiffness_n": POSITIVE},
)
def belt_stretch_m(thrust_n: float, *, strand_m: float, other_strand_m: float, stiffness_n: float) -> float:
    """How far a carriage gives way under a thrust because its belt stretches, both strands under tension [m].

    stiffness_n is the force that would double the length, from the belt's data.
    Source: own_computation, two springs side by side.  Valid while both strands are taut.

    >>> round(belt_stretch_m(800.0, strand_m=4.0, other_strand_m=4.0, stiffness_n=2e6), 6)
    0.0008
    """
    return thrust_n / (stiffness_n / strand_m + stiffness_n / other_strand_m)


@formula(
    source="own_computation, rolling without slip",
    unit="rad/s",
    valid={"speed_m_s": NOT_NEGATIVE, "radius_m": POSITIVE, "ratio": RATIO},
)
def motor_speed_rad_s(speed_m_s: float, *, radius_m: float, ratio: float) -> float:
    """Speed of the motor for a speed of the carriage; ratio is motor turns over pinion turns [rad/s].

    Source: own_computation, rolling without slip.  Valid for pinions and toothed belts.

    >>> motor_speed_rad_s(1.5, radius_m=0.05, ratio=10.0)
    300.0
    """
    return speed_m_s / radius_m * ratio


@formula(
    source="own_computation, mass at the pinion's radius",
    unit="kg.m2",
    valid={"mass_kg": NOT_NEGATIVE, "radius_m": POSITIVE, "ratio": RATIO},
)
def carried_inertia_kg_m2(mass_kg: float, *, radius_m: float, ratio: float) -> float:
    """Inertia of the moving mass as the motor feels it [kg.m2].

    Source: own_computation, m r² / i².  Valid for a stiff drive.

    >>> round(carried_inertia_kg_m2(400.0, radius_m=0.05, ratio=10.0), 6)
    0.01
    """
    return mass_kg * (radius_m / ratio) ** 2


@formula(
    source="own_computation, thrust at the radius and own inertia",
    valid={
        "radius_m": POSITIVE,
        "ratio": RATIO,
        "efficiency": EFFICIENCY,
        "inertia_kg_m2": NOT_NEGATIVE,
    },
    caution=CAUTION,
)
def motor_torque_nm(
    thrust_n: float, *, radius_m: float, ratio: float, efficiency: float, inertia_kg_m2: float, accel_m_s2: float
) -> float:
    """Torque of the motor for a thrust on the carriage [N.m].

    inertia_kg_m2 is that of motor, brake and gear at the motor shaft. The thrust holds acceleration, friction and
    slope of the mass. Where it points against the motion the losses help to brake, and the efficiency multiplies.
    Source: own_computation, F r / (i efficiency) + J a i / r.  Valid for a stiff drive at the greatest acceleration.

    >>> motor_torque_nm(800.0, radius_m=0.05, ratio=10.0, efficiency=0.8, inertia_kg_m2=0.005, accel_m_s2=2.0)
    7.0
    """
    carried_nm = thrust_n * radius_m / ratio
    through_nm = carried_nm / efficiency if thrust_n >= 0.0 else carried_nm * efficiency
    return through_nm + inertia_kg_m2 * accel_m_s2 * ratio / radius_m


@formula(
    source="own_computation, root mean square over a cycle",
    units={"torques_nm": "N.m", "times_s": "s"},
    caution=CAUTION,
)
def rms_torque_nm(torques_nm: Sequence[float], *, times_s: Sequence[float]) -> float:
    """Constant torque that heats a motor as much as a cycle of torques, each held for its time, rests as 0 [N.m].

    Source: own_computation, root mean square.  Valid for cycles short against the motor's warming up.

    >>> rms_torque_nm([4.0, 0.0], times_s=[1.0, 3.0])
    2.0
    """
    squares = math.fsum(torque**2 * time for torque, time in zip(torques_nm, times_s, strict=True))
    return math.sqrt(squares / math.fsum(times_s))


@formula(source="own_computation, share of the cycle in motion", unit="1", valid={"period_s": POSITIVE})
def drive_duty_share(moving_s: Sequence[float], *, period_s: float) -> float:
    """Share of a cycle in which an axis moves; above 1 its moves do not fit into the cycle [1].

    Source: own_computation.  Valid for moves one after the other.

    >>> drive_duty_share([3.0, 3.0, 6.0], period_s=48.0)
    0.25
    """
    return math.fsum(moving_s) / period_s


@formula(
    source="own_computation, moments about the guide",
    valid={"mass_kg": NOT_NEGATIVE, "lever_m": NOT_NEGATIVE, "base_m": POSITIVE, "blocks": FROM_ONE},
    caution=CAUTION,
)
def guide_block_load_n(
    mass_kg: float,
    *,
    accel_m_s2: float,
    lever_m: float,
    base_m: float,
    blocks: float,
    gravity_m_s2: float = GRAVITY_M_S2,
) -> float:
    """Load of the guide block that carries most: its share of the weight and of the tilting while speeding up [N].

    lever_m: height of the centre of gravity above the guide; base_m: distance of the front blocks from the rear ones,
    half of the blocks in each row.
    Source: own_computation, moments about the guide.  Valid for a stiff carriage, the weight midway between the blocks.

    >>> guide_block_load_n(400.0, accel_m_s2=2.0, lever_m=1.0, base_m=0.8, blocks=4.0, gravity_m_s2=10.0)
    1500.0
    """
    return mass_kg * gravity_m_s2 / blocks + mass_kg * accel_m_s2 * lever_m / base_m / (blocks / 2.0)
