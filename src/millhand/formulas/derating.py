"""How a load slows an arm down: a simple law, judged, until the arm's own data take its place."""

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. Whether an arm may carry a load at all, and what it does when it stops with it, is for "
    "its load diagram, the risk assessment and competent persons to say."
)


@formula(
    source="own_computation, share of the rated load at the rated lever",
    unit="1",
    valid={"mass_kg": NOT_NEGATIVE, "rated_kg": POSITIVE, "lever_m": NOT_NEGATIVE, "rated_lever_m": POSITIVE},
    caution=CAUTION,
)
def load_use_share(mass_kg: float, *, rated_kg: float, lever_m: float, rated_lever_m: float) -> float:
    """Share of an arm's rated payload that a load uses; a longer lever than the rated one counts in full [1].

    A lever is the distance of the centre of gravity from the flange. A shorter one than rated lowers nothing. Above 1
    the arm is not rated for the load.
    Source: own_computation, moments compared.  Valid for a rated mass at one rated lever.

    >>> load_use_share(5.0, rated_kg=10.0, lever_m=0.375, rated_lever_m=0.25)
    0.75
    """
    return mass_kg / rated_kg * max(1.0, lever_m / rated_lever_m)


@formula(
    source="common_practice, judged: loss of speed in proportion to the load",
    unit="1",
    valid={"load_use": SHARE, "loss_at_full": (0.0, 0.5)},
    caution=CAUTION,
)
def payload_speed_factor(load_use: float, *, loss_at_full: float) -> float:
    """Share of its full speed that an arm keeps under a load, 1 without one and 1 - loss at the rated load [1].

    Source: common_practice, judged; measured speeds or the arm's data go first.  Valid up to the rated load.

    >>> payload_speed_factor(0.5, loss_at_full=0.2)
    0.9
    """
    return 1.0 - loss_at_full * load_use


@formula(
    source="common_practice, judged: same torque on a greater inertia",
    unit="1",
    valid={"load_use": SHARE, "inertia_ratio": (0.0, 3.0)},
    caution=CAUTION,
)
def payload_accel_factor(load_use: float, *, inertia_ratio: float) -> float:
    """Share of its acceleration that an arm keeps under a load: the same torque turns arm and load [1].

    inertia_ratio is the inertia of the rated load over that of the arm itself, about the axis that sets the pace.
    Source: common_practice, judged; measured times or the arm's data go first.  Valid up to the rated load.

    >>> payload_accel_factor(0.5, inertia_ratio=1.0)
    0.6666666666666666
    """
    return 1.0 / (1.0 + inertia_ratio * load_use)
