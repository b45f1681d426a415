"""What a cell puts on a floor: masses, pressure, the moment at an arm's foot, anchors, columns of a beam."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. Loads of the real arm at a hard stop come from its maker; what floor, anchors, columns "
    "and lifting gear bear is decided by a licensed structural engineer and competent persons under the local codes."
)
BASE = {"length_m": POSITIVE, "width_m": POSITIVE}


@formula(source="own_computation, greatest of several", unit="kg", units={"masses_kg": "kg"}, caution=CAUTION)
def heaviest_kg(masses_kg: Sequence[float]) -> float:
    """The heaviest of several pieces that are lifted one by one [kg].

    Source: own_computation, greatest of several.  Valid when every piece stands in the list.

    >>> heaviest_kg([120.0, 640.0])
    640.0
    """
    return max(masses_kg)


@formula(
    source="own_computation, mass by length",
    valid={
        "mass_kg": NOT_NEGATIVE, "by_length_kg_m": NOT_NEGATIVE, "length_m": NOT_NEGATIVE, "included_m": NOT_NEGATIVE,
    },
    caution=CAUTION,
)  # fmt: skip
def mass_by_length_kg(mass_kg: float, *, by_length_kg_m: float, length_m: float, included_m: float = 0.0) -> float:
    """Mass of what is built by the metre: a fence, a track, a beam, with what it has besides [kg].

    included_m: length that mass_kg has in it already. Source: own_computation, mass by length.  Valid for one section
    all along.

    >>> mass_by_length_kg(80.0, by_length_kg_m=25.0, length_m=4.0)
    180.0
    >>> mass_by_length_kg(800.0, by_length_kg_m=160.0, length_m=5.5, included_m=3.5)
    1120.0
    """
    return mass_kg + by_length_kg_m * max(0.0, length_m - included_m)


@formula(
    source="own_computation, sum",
    valid={"mass_kg": NOT_NEGATIVE, "layers": NOT_NEGATIVE, "load_kg": NOT_NEGATIVE},
    caution=CAUTION,
)
def laden_kg(mass_kg: float, *, layers: float, load_kg: float) -> float:
    """Mass of a presenter or outfeed with all that its layers bear [kg].

    Source: own_computation, sum.  Valid for layers filled to what each bears.

    >>> laden_kg(250.0, layers=10.0, load_kg=50.0)
    750.0
    """
    return mass_kg + layers * load_kg


@formula(
    source="own_computation, weight over its base",
    valid={"mass_kg": NOT_NEGATIVE} | BASE,
    caution=CAUTION,
)
def floor_pressure_pa(mass_kg: float, *, length_m: float, width_m: float) -> float:
    """Weight of a piece spread evenly over the rectangle that it stands on [Pa].

    Feet, plates and a moment press harder in places.
    Source: own_computation, weight over area.  Valid as a mean over the base.

    >>> round(floor_pressure_pa(500.0, length_m=1.0, width_m=0.5))
    9807
    """
    return mass_kg * GRAVITY_M_S2 / (length_m * width_m)


@formula(
    source="own_computation, moments about the foot",
    valid={
        "moving_kg": NOT_NEGATIVE, "centre_share": SHARE, "load_kg": NOT_NEGATIVE, "reach_m": POSITIVE,
        "dynamic_factor": FROM_ONE,
    },
    caution=CAUTION,
)  # fmt: skip
def foot_moment_nm(
    moving_kg: float, *, centre_share: float, load_kg: float, reach_m: float, dynamic_factor: float
) -> float:
    """Moment that tips an arm about its foot, stretched out level, with a factor for a hard stop [N.m].

    centre_share is the distance of the moving masses' centre from the foot's axis over the reach; load_kg hangs at the
    reach: gripper and parts. Source: own_computation, moments.  Valid for concept work; the maker's loads go first.

    >>> round(foot_moment_nm(100.0, centre_share=0.5, load_kg=20.0, reach_m=2.0, dynamic_factor=2.0), 1)
    2745.9
    """
    return GRAVITY_M_S2 * reach_m * (moving_kg * centre_share + load_kg) * dynamic_factor


@formula(
    source="own_computation, four bolts under a rigid plate",
    valid={"moment_nm": NOT_NEGATIVE, "mass_kg": NOT_NEGATIVE, "spacing_m": POSITIVE},
    caution=CAUTION,
)
def anchor_pull_n(moment_nm: float, *, mass_kg: float, spacing_m: float) -> float:
    """Pull on each of the two anchors that a moment lifts, four in a square under a rigid plate; never below 0 [N].

    The moment turns the plate about its middle, each anchor pulls as far as it is from there, and the weight presses on
    all four alike: M / 2 s - W / 4. A moment across a corner pulls one anchor by 1.41 times the first term.
    Source: own_computation, linear forces under a rigid plate.  Valid for anchors in a square of side spacing_m.

    >>> round(anchor_pull_n(2_000.0, mass_kg=100.0, spacing_m=0.5), 1)
    1754.8
    """
    return max(0.0, moment_nm / (2.0 * spacing_m) - mass_kg * GRAVITY_M_S2 / 4.0)


@formula(
    source="own_computation, a carriage over one support of a beam",
    valid={"moving_n": NOT_NEGATIVE, "by_length_kg_m": NOT_NEGATIVE, "span_m": POSITIVE, "support_kg": NOT_NEGATIVE},
    caution=CAUTION,
)
def support_load_n(moving_n: float, *, by_length_kg_m: float, span_m: float, support_kg: float) -> float:
    """Load of a column under a beam with all that moves straight above it, half a span of beam to each side [N].

    Source: own_computation, statics.  Valid for beams that end at each column; over one that runs on a middle column
    carries up to a quarter more of the beam's own weight.

    >>> round(support_load_n(5_000.0, by_length_kg_m=50.0, span_m=6.0, support_kg=100.0))
    8923
    """
    return moving_n + GRAVITY_M_S2 * (by_length_kg_m * span_m + support_kg)


@formula(
    source="own_computation, force over its base",
    valid={"force_n": NOT_NEGATIVE, "side_m": POSITIVE},
    caution=CAUTION,
)
def plate_pressure_pa(force_n: float, *, side_m: float) -> float:
    """Pressure of a force under a square plate, spread evenly [Pa].

    Source: own_computation, force over area.  Valid as a mean under a stiff plate.

    >>> plate_pressure_pa(9_000.0, side_m=0.3)
    100000.0
    """
    return force_n / side_m**2


@formula(source="own_computation, greatest of several", unit="Pa", units={"pressures_pa": "Pa"}, caution=CAUTION)
def greatest_pressure_pa(pressures_pa: Sequence[float]) -> float:
    """The greatest of the pressures that several pieces put on the floor [Pa].

    Source: own_computation, greatest of several.  Valid when every piece stands in the list.

    >>> greatest_pressure_pa([4_000.0, 9_500.0])
    9500.0
    """
    return max(pressures_pa)


@formula(
    source="own_computation, lengths of straight pieces",
    units={"xs_m": "m", "ys_m": "m", "to_xs_m": "m", "to_ys_m": "m"},
)
def run_of_pieces_m(
    xs_m: Sequence[float], *, ys_m: Sequence[float], to_xs_m: Sequence[float], to_ys_m: Sequence[float]
) -> float:
    """Length of all straight pieces of a fence together, from x, y of one end to the other [m].

    Source: own_computation, lengths.  Valid for pieces that do not overlap.

    >>> run_of_pieces_m([0.0, 3.0], ys_m=[0.0, 0.0], to_xs_m=[3.0, 3.0], to_ys_m=[0.0, 4.0])
    7.0
    """
    ends = zip(xs_m, ys_m, to_xs_m, to_ys_m, strict=True)
    return math.fsum(math.hypot(to_x - x, to_y - y) for x, y, to_x, to_y in ends)
