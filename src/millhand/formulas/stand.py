"""Does a movable stand with an arm on it tip or slide when the arm stops hard."""

from millhand.formulas.limits import GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. A stand that tips or slides at a hard stop hurts people and moves out of its fences: "
    "anchor or interlock it as its maker says, measure the stop on the real floor; the risk assessment, local codes "
    "and competent persons decide."
)
STAND = {"stand_kg": POSITIVE, "moving_kg": POSITIVE, "stop_accel_m_s2": POSITIVE}


@formula(
    source="own_computation, moments about the tipping edge",
    unit="1",
    valid=STAND | {"edge_m": POSITIVE, "overhang_m": (-5.0, 5.0), "height_m": POSITIVE},
    caution=CAUTION,
)
def tipping_factor(
    stand_kg: float, *, moving_kg: float, edge_m: float, overhang_m: float, height_m: float, stop_accel_m_s2: float
) -> float:
    """Moment that keeps a stand on its feet over the moment that tips it at an emergency stop; below 1 it tips [1].

    edge_m: from the tipping edge in to the stand's centre of mass. overhang_m: from that edge out to the centre of the
    moving masses (arm, gripper, part), below 0 while it lies inside. height_m: height of the moving masses.
    Source: own_computation, moments about an edge.  Valid for a rigid stand on firm level floor, arm stopping outwards.
    """
    out = max(overhang_m, 0.0)
    inside = max(-overhang_m, 0.0)
    keeps = GRAVITY_M_S2 * (stand_kg * edge_m + moving_kg * inside)
    return keeps / (moving_kg * (stop_accel_m_s2 * height_m + GRAVITY_M_S2 * out))


@formula(
    source="own_computation, Coulomb friction under the feet",
    unit="1",
    valid=STAND | {"friction": (0.0, 1.0)},
    caution=CAUTION,
)
def sliding_factor(stand_kg: float, *, moving_kg: float, friction: float, stop_accel_m_s2: float) -> float:
    """Friction under a stand over the force of the arm's emergency stop; below 1 it slides [1].

    Take the friction of an oily floor, and none for a foot that stands on its rollers.
    Source: own_computation, Coulomb friction.  Valid for a stop that does not lift the stand.

    >>> round(sliding_factor(400.0, moving_kg=50.0, friction=0.3, stop_accel_m_s2=15.0), 2)
    1.77
    """
    return friction * (stand_kg + moving_kg) * GRAVITY_M_S2 / (moving_kg * stop_accel_m_s2)


@formula(
    source="own_computation, lever of the moving masses",
    valid={"reach_m": POSITIVE, "centre_share": SHARE, "edge_m": NOT_NEGATIVE},
    caution=CAUTION,
)
def moving_overhang_m(reach_m: float, *, centre_share: float, edge_m: float) -> float:
    """How far an arm's moving masses have their centre beyond the tipping edge, arm stretched out; below 0 inside [m].

    centre_share is the distance of that centre from the axis of the base over the reach.
    Source: own_computation, lever.  Valid for a base in the middle of the stand.

    >>> moving_overhang_m(1.5, centre_share=0.5, edge_m=0.5)
    0.25
    """
    return reach_m * centre_share - edge_m


@formula(
    source="own_computation, turning about the base",
    valid={"stop_accel_m_s2": POSITIVE, "centre_share": SHARE},
    caution=CAUTION,
)
def moving_stop_accel_m_s2(stop_accel_m_s2: float, *, centre_share: float) -> float:
    """Deceleration of the centre of an arm's moving masses while its hand is stopped, the arm stretched out [m/s2].

    Source: own_computation, turning about the base.  Valid for an arm that turns as one about its base.

    >>> moving_stop_accel_m_s2(15.0, centre_share=0.4)
    6.0
    """
    return stop_accel_m_s2 * centre_share
