"""Force to set a full drawer or a wheeled stand going, and to keep it going."""

from millhand.formulas.limits import FROM_ONE, GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. Dirt, worn rollers, thresholds and a tilted floor multiply the force; heights of the "
    "handle, distance and how often decide what a person may push. Measure it; competent persons assess the real task "
    "under local rules."
)
ROLLING = {"mass_kg": NOT_NEGATIVE, "rolling": (0.0, 0.2), "gravity_m_s2": POSITIVE}


@formula(
    source="rack_exercise, rolling friction and inertia",
    valid=ROLLING | {"accel_m_s2": NOT_NEGATIVE, "start": FROM_ONE},
    caution=CAUTION,
)
def push_start_n(
    mass_kg: float, *, rolling: float, start: float, accel_m_s2: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Force that sets a full drawer or stand going on its rollers: rolling friction at rest, and inertia [N].

    rolling is resistance over weight while it rolls, start how many times more it is at rest.
    Source: rack_exercise, rolling friction and inertia.  Valid on a level, clean run.
    """
    return mass_kg * (gravity_m_s2 * rolling * start + accel_m_s2)


@formula(source="rack_exercise, rolling friction", valid=ROLLING, caution=CAUTION)
def push_kept_n(mass_kg: float, *, rolling: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Force that keeps a full drawer or stand rolling at an even speed [N].

    Source: rack_exercise, rolling friction.  Valid on a level, clean run.
    """
    return mass_kg * gravity_m_s2 * rolling
