"""What jaws need beyond plain friction: worst direction, hard stop, V-jaws, three jaws, shape, and what a part bears.

Inside and outside grips obey the same balance: jaws press outward or inward with the same normal force. What differs is
the part: a thin ring bends under the jaws either way, which can be the least of its limits.
"""

import math

from millhand.formulas.grip import CAUTION, LIFT_VALID, VALID
from millhand.formulas.limits import FROM_ONE, GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

HALF_ANGLE = (math.radians(20.0), math.radians(80.0))
DAMAGE_CAUTION = CAUTION + " Whether a face may be marked is the customer's word, proven by trial on finished parts."


@formula(
    source="own_computation, speed over stopping time",
    valid={"speed_m_s": NOT_NEGATIVE, "stop_s": POSITIVE, "peak": (1.0, 5.0)},
    caution=CAUTION,
)
def stop_accel_m_s2(speed_m_s: float, *, stop_s: float, peak: float) -> float:
    """Greatest deceleration of an emergency stop: the mean over the stopping time, times its peak over mean [m/s2].

    Source: own_computation, speed over time.  Valid for the longest stop at full speed and payload, as measured.

    >>> stop_accel_m_s2(2.0, stop_s=0.25, peak=1.5)
    12.0
    """
    return speed_m_s / stop_s * peak


@formula(
    source="own_computation, worst direction of the acceleration",
    valid=VALID | {"stop_accel_m_s2": NOT_NEGATIVE},
    caution=CAUTION,
)
def worst_grip_force_n(
    mass_kg: float, *, accel_m_s2: float, stop_accel_m_s2: float, friction: float, factor: float
) -> float:
    """Total normal force of two flat jaws that hold a part whichever way it hangs and is moved or stopped [N].

    The greater of program and emergency stop counts, against gravity and along the jaws' faces, where friction alone
    holds. Across the faces one jaw would have to give way first, which takes more while friction is below 1.
    Source: own_computation, Coulomb friction.  Valid for friction of at most 1, jaws that cannot be pushed open.
    """
    accel = max(accel_m_s2, stop_accel_m_s2)
    return mass_kg * (GRAVITY_M_S2 + accel) * factor / friction


@formula(
    source="own_computation, Coulomb friction, closing direction upright",
    valid=VALID,
    caution=CAUTION,
)
def upright_grip_force_n(mass_kg: float, *, accel_m_s2: float, friction: float, factor: float) -> float:
    """Total normal force of two jaws, one above the other, on a part that is accelerated in its worst direction [N].

    Gravity lies on a jaw: sideways friction holds m a alone; upwards the upper jaw must not lift off.
    Source: own_computation, Coulomb friction.  Valid for jaws that are always one above the other.
    """
    return mass_kg * max(accel_m_s2 / friction, GRAVITY_M_S2 + accel_m_s2) * factor


@formula(
    source="own_computation, balance of forces on a shaft in V-jaws",
    valid=VALID | {"half_angle_rad": HALF_ANGLE},
    caution=CAUTION,
)
def v_jaw_friction_force_per_jaw_n(
    mass_kg: float, *, accel_m_s2: float, friction: float, half_angle_rad: float, factor: float
) -> float:
    """Closing force of EACH of two V-jaws that hold a shaft whose load runs along its axis [N].

    Each jaw has two faces; a face carries F / (2 sin half angle), so a narrow V holds more by the same closing force.
    Source: own_computation, balance of forces.  Valid for two V-jaws; half_angle_rad is face to middle plane.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor * math.sin(half_angle_rad) / (2.0 * friction)


@formula(
    source="own_computation, balance of forces on a shaft in V-jaws",
    valid=LIFT_VALID | {"half_angle_rad": HALF_ANGLE},
    caution=CAUTION,
)
def v_jaw_across_force_per_jaw_n(mass_kg: float, *, accel_m_s2: float, half_angle_rad: float, factor: float) -> float:
    """Closing force of EACH of two linked V-jaws that hold a shaft by shape, load across its axis, worst direction [N].

    Sideways the shaft wedges the jaws open, m (g + a) tan(half angle) / 2 on each; against a jaw the other lifts off at
    half the load. Friction is left out.
    Source: own_computation, balance of forces.  Valid for two alike V-jaws that move together.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor * max(math.tan(half_angle_rad), 1.0) / 2.0


@formula(
    source="own_computation, balance of forces, one V-jaw and one flat jaw",
    valid=VALID | {"half_angle_rad": HALF_ANGLE},
    caution=CAUTION,
)
def v_and_flat_jaw_force_n(
    mass_kg: float, *, accel_m_s2: float, friction: float, half_angle_rad: float, factor: float
) -> float:
    """Closing force of a V-jaw against a flat jaw on a shaft whose load runs along its axis [N].

    Friction acts on three faces: F / sin(half angle) on the two of the V, F on the flat one.
    Source: own_computation, balance of forces.  Valid for one V-jaw and one flat jaw.
    """
    faces = 1.0 / math.sin(half_angle_rad) + 1.0
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor / (friction * faces)


@formula(
    source="own_computation, balance of forces on three faces at 120 degrees",
    valid=LIFT_VALID,
    caution=CAUTION,
)
def three_jaw_across_force_per_jaw_n(mass_kg: float, *, accel_m_s2: float, factor: float) -> float:
    """Normal force of EACH of three centric jaws at which none lifts off when the load runs across the axis [N].

    The worst load runs straight away from a jaw; friction is left out.
    Source: own_computation, balance of forces.  Valid for three alike jaws at 120 degrees that move together.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor * 2.0 / 3.0


@formula(source="own_computation, inertia alone", valid=LIFT_VALID, caution=CAUTION)
def form_fit_force_n(mass_kg: float, *, accel_m_s2: float, factor: float) -> float:
    """Total force of jaws with a ledge under the part: gravity lies on the ledge, inertia pulls on the jaws [N].

    Source: own_computation, inertia.  Valid where shape also stops the part along the faces, and no stop lifts it off.
    """
    return mass_kg * accel_m_s2 * factor


@formula(
    source="own_computation, lever of a finger",
    valid={"force_n": NOT_NEGATIVE, "rated_m": POSITIVE, "finger_m": POSITIVE},
    caution=CAUTION,
)
def force_at_finger_n(force_n: float, *, rated_m: float, finger_m: float) -> float:
    """Force left at the tip of a finger longer than the one for which a gripper is rated, its moment kept [N].

    Source: own_computation, lever.  Valid as a bound by the guide's moment; never more than the rated force.

    >>> force_at_finger_n(400.0, rated_m=0.05, finger_m=0.1)
    200.0
    """
    return force_n * min(rated_m / finger_m, 1.0)


@formula(
    source="own_computation, force over area",
    valid={"force_n": NOT_NEGATIVE, "area_m2": POSITIVE, "bearing_share": SHARE},
    caution=DAMAGE_CAUTION,
)
def flat_pressure_pa(force_n: float, *, area_m2: float, bearing_share: float) -> float:
    """Mean pressure of one jaw on a flat face of which a share really bears [Pa].

    Source: own_computation, force over area.  Valid for a bearing share above zero.
    """
    return force_n / (area_m2 * bearing_share)


@formula(
    source="own_computation, two bodies in series",
    unit="Pa",
    valid={"part_pa": POSITIVE, "part_poisson": (0.0, 0.5), "jaw_pa": POSITIVE, "jaw_poisson": (0.0, 0.5)},
    caution=DAMAGE_CAUTION,
)
def contact_modulus_pa(part_pa: float, *, part_poisson: float, jaw_pa: float, jaw_poisson: float) -> float:
    """Stiffness of a contact of two materials, from their moduli and Poisson's ratios [Pa].

    Source: own_computation, Hertz's contact modulus.  Valid for elastic bodies.
    """
    return 1.0 / ((1.0 - part_poisson**2) / part_pa + (1.0 - jaw_poisson**2) / jaw_pa)


@formula(
    source="young2002, table 14.1, cylinder on a plane",
    valid={"force_n": NOT_NEGATIVE, "contact_m": POSITIVE, "diameter_m": POSITIVE, "modulus_pa": POSITIVE},
    caution=DAMAGE_CAUTION,
)
def line_pressure_pa(force_n: float, *, contact_m: float, diameter_m: float, modulus_pa: float) -> float:
    """Greatest pressure where a face presses on a shaft along a line, contact_m long [Pa].

    modulus_pa is contact_modulus_pa of both materials.
    Source: young2002, table 14.1.  Valid for elastic contact: above the yield strength a mark stays.
    """
    return math.sqrt(2.0 * force_n * modulus_pa / (math.pi * contact_m * diameter_m))


@formula(
    source="young2002, table 14.1, solved for the force",
    valid={"pressure_pa": NOT_NEGATIVE, "contact_m": POSITIVE, "diameter_m": POSITIVE, "modulus_pa": POSITIVE},
    caution=DAMAGE_CAUTION,
)
def line_force_limit_n(pressure_pa: float, *, contact_m: float, diameter_m: float, modulus_pa: float) -> float:
    """Force of one face on a shaft at which a line contact just reaches the pressure that the part bears [N].

    Source: young2002, table 14.1.  Valid for elastic contact.
    """
    return pressure_pa**2 * math.pi * contact_m * diameter_m / (2.0 * modulus_pa)


@formula(
    source="young2002, table 9.2, ring under equal radial loads",
    unit="1",
    valid={"jaws": (2.0, 6.0)},
    caution=DAMAGE_CAUTION,
)
def ring_moment_share(jaws: float) -> float:
    """Greatest bending moment in a thin ring under equal jaws, over force of one jaw times mean radius [1].

    (1 / a - 1 / tan a) / 2 with a half the angle between two jaws; it stands under the jaws, inside grip or outside.
    Source: young2002, table 9.2.  Valid for walls thin against the radius, jaws that press at a line.
    """
    half_rad = math.pi / jaws
    return (1.0 / half_rad - 1.0 / math.tan(half_rad)) / 2.0


@formula(
    source="young2002, table 9.2, solved for the force",
    valid={
        "stress_pa": NOT_NEGATIVE,
        "radius_m": POSITIVE,
        "wall_m": POSITIVE,
        "width_m": POSITIVE,
        "jaws": (2.0, 6.0),
    },
    caution=DAMAGE_CAUTION,
)
def ring_force_limit_per_jaw_n(
    stress_pa: float, *, radius_m: float, wall_m: float, width_m: float, jaws: float
) -> float:
    """Force of EACH jaw at which bending in a ring-shaped part just reaches a stress, inside grip or outside [N].

    radius_m is the mean radius of the wall, width_m the length of the ring along its axis.
    Source: young2002, table 9.2.  Valid for walls thin against the radius; roundness may ask for much less.
    """
    return stress_pa * width_m * wall_m**2 / (6.0 * radius_m * ring_moment_share(jaws))


@formula(
    source="own_computation, least of given forces",
    valid={"given_n": NOT_NEGATIVE, "pressure_n": NOT_NEGATIVE, "faces": FROM_ONE},
    caution=DAMAGE_CAUTION,
)
def part_force_limit_n(given_n: float, *, pressure_n: float, faces: float) -> float:
    """Total force that a part bears: a force that somebody gave, or the limit of one face's pressure times faces [N].

    Source: own_computation, least of both.  Valid for faces that share the force equally.
    """
    return min(given_n, pressure_n * faces)
