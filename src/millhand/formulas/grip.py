"""Forces that hold a part: jaws by friction, three-jaw centric jaws, V-jaws, suction cups.

Convention: a 'grip force' here is the TOTAL normal force, the sum over all jaws; `_per_jaw_` says so in its name.
A gripper's data sheet may state either.
"""

import math

from millhand.formulas.limits import FROM_ONE, GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. Friction, wear, oil, burrs and an emergency stop (which decelerates harder than the "
    "program) decide whether a part is held: prove the grip by trial on wet, worst parts; the risk assessment decides "
    "what happens when a part is lost."
)
VACUUM_CAUTION = CAUTION + " A cup on a rough, curved or oily face does not reach the vacuum of its data sheet."
VALID = {"mass_kg": POSITIVE, "accel_m_s2": NOT_NEGATIVE, "friction": (0.05, 1.0), "factor": (1.0, 10.0)}
LIFT_VALID = {"mass_kg": POSITIVE, "accel_m_s2": NOT_NEGATIVE, "factor": (1.0, 10.0)}


@formula(source="groover1986, sec. 5.3, friction grip, summed over the jaws", valid=VALID, caution=CAUTION)
def grip_force_n(
    mass_kg: float, *, accel_m_s2: float, friction: float, factor: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Total normal force of all jaws together that holds a part by friction alone, load along the jaws [N].

    Source: groover1986, sec. 5.3.  Valid for flat jaws, the acceleration added to gravity in its worst direction.
    """
    return mass_kg * (gravity_m_s2 + accel_m_s2) * factor / friction


@formula(
    source="own_computation, Coulomb friction under weight and a side force",
    valid={"side_n": NOT_NEGATIVE, "mass_kg": POSITIVE, "friction": (0.05, 1.0), "factor": (1.0, 10.0)},
    caution=CAUTION,
)
def side_force_grip_n(
    side_n: float, *, mass_kg: float, friction: float, factor: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Total normal force of all jaws together that keeps a part from sliding while a tool pulls at it [N].

    side_n: force of the tool, along the jaws and added to the weight, which is its worst direction.
    Source: own_computation.  Valid for flat jaws, slow moves, a force that does not lever the part out.
    """
    return (mass_kg * gravity_m_s2 + side_n) * factor / friction


@formula(
    source="groover1986, sec. 5.3, friction grip",
    valid=VALID | {"jaws": (2.0, 6.0)},
    caution=CAUTION,
)
def grip_force_per_jaw_n(
    mass_kg: float,
    *,
    accel_m_s2: float,
    friction: float,
    factor: float,
    jaws: float,
    gravity_m_s2: float = GRAVITY_M_S2,
) -> float:
    """Normal force of EACH jaw that holds a part by friction alone, load along the jaws [N].

    Source: groover1986, sec. 5.3.  Valid for jaws that share the load equally.
    """
    total_n = grip_force_n(mass_kg, accel_m_s2=accel_m_s2, friction=friction, factor=factor, gravity_m_s2=gravity_m_s2)
    return total_n / jaws


@formula(
    source="own_computation, Coulomb friction under axial force and torque together",
    valid=VALID | {"torque_nm": NOT_NEGATIVE, "radius_m": POSITIVE},
    caution=CAUTION,
)
def centric_grip_force_n(
    mass_kg: float, *, accel_m_s2: float, friction: float, factor: float, torque_nm: float, radius_m: float
) -> float:
    """Total normal force of a centric gripper's jaws on a round part, load along its axis, torque about it [N].

    Friction at the part's radius carries the axial load and the torque at once, so the two add as vectors; with no
    torque it equals grip_force_n.
    Source: own_computation, Coulomb friction.  Valid for jaws that share the load equally.
    """
    axial_n = mass_kg * (GRAVITY_M_S2 + accel_m_s2)
    return math.hypot(axial_n, torque_nm / radius_m) * factor / friction


@formula(
    source="own_computation, balance of forces on a shaft in two V-jaws",
    valid=LIFT_VALID | {"half_angle_rad": (math.radians(20.0), math.radians(80.0))},
    caution=CAUTION,
)
def v_jaw_force_n(mass_kg: float, *, accel_m_s2: float, half_angle_rad: float, factor: float) -> float:
    """Normal force on each face that carries a shaft lying across a V-jaw, without friction [N].

    half_angle_rad is the angle between a face and the middle plane of the V.
    Source: own_computation, balance of forces.  Valid for a load in the middle plane of the V.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor / (2.0 * math.sin(half_angle_rad))


@formula(
    source="groover1986, sec. 5.4, vacuum cups",
    valid={"diameter_m": POSITIVE, "pressure_drop_pa": (0.0, 101_325.0), "cups": FROM_ONE},
    caution=VACUUM_CAUTION,
)
def suction_force_n(diameter_m: float, *, pressure_drop_pa: float, cups: float) -> float:
    """Force that suction cups can pull straight off their face [N].

    Source: groover1986, sec. 5.4.  Valid for cups that seal over their full diameter.
    """
    return pressure_drop_pa * math.pi / 4.0 * diameter_m**2 * cups


@formula(source="groover1986, sec. 5.4, vacuum cups", valid=LIFT_VALID, caution=VACUUM_CAUTION)
def suction_required_n(mass_kg: float, *, accel_m_s2: float, factor: float) -> float:
    """Suction force that carries a part hanging straight below its cups [N].

    Source: groover1986, sec. 5.4.  Valid for a vertical pull; see suction_required_shear_n for a part on edge.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor


@formula(source="own_computation, Coulomb friction under the cups", valid=VALID, caution=VACUUM_CAUTION)
def suction_required_shear_n(mass_kg: float, *, accel_m_s2: float, friction: float, factor: float) -> float:
    """Suction force that carries a part whose face stands upright, by friction under the cups [N].

    Source: own_computation, Coulomb friction.  Valid for a load parallel to the face.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor / friction
