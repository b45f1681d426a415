"""What an acceptance shows: how long a run of parts may take, and between which shares a fault rate then lies."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

INSIDE = (math.ulp(0.0), math.nextafter(1.0, 0.0))  # above 0 and below 1
HOUR_S = 3600.0


@formula(
    source="own_computation, parts at a pace with an allowance",
    valid={"parts": FROM_ONE, "pace_parts_per_h": POSITIVE, "over_share": NOT_NEGATIVE},
)
def accepted_run_s(parts: float, *, pace_parts_per_h: float, over_share: float) -> float:
    """How long so many parts in a row may take at most, a share above the pace that was worked out [s].

    Source: own_computation.  Valid for a run that no fault interrupts.

    >>> accepted_run_s(30.0, pace_parts_per_h=30.0, over_share=0.05)
    3780.0
    """
    return parts * HOUR_S / pace_parts_per_h * (1.0 + over_share)


@formula(
    source="own_computation, a mean with an allowance",
    valid={"time_s": NOT_NEGATIVE, "over_share": NOT_NEGATIVE},
)
def accepted_mean_s(time_s: float, *, over_share: float) -> float:
    """How long a time may be on the mean at most, a share above what was worked out [s].

    Source: own_computation.  Valid for a mean of timed loads without faults.
    """
    return time_s * (1.0 + over_share)


@formula(
    source="clopper1934, limits of a share",
    unit="1",
    valid={"faults": NOT_NEGATIVE, "parts": FROM_ONE, "confidence": INSIDE},
)
def fault_share_lower(faults: float, *, parts: float, confidence: float) -> float:
    """Lower end of the two-sided interval of a share of faults after so many parts, exact in the binomial [0..1].

    At this share so many faults or more come with the chance (1 - C) / 2; without a fault it is 0.
    Source: clopper1934.  Valid for parts independent of each other and no more faults than parts.
    """
    from scipy.special import betaincinv

    if faults <= 0.0:
        return 0.0
    return float(betaincinv(faults, parts - faults + 1.0, (1.0 - confidence) / 2.0))


@formula(
    source="clopper1934, limits of a share",
    unit="1",
    valid={"faults": NOT_NEGATIVE, "parts": FROM_ONE, "confidence": INSIDE},
)
def fault_share_upper(faults: float, *, parts: float, confidence: float) -> float:
    """Upper end of the two-sided interval of a share of faults after so many parts, exact in the binomial [0..1].

    At this share so many faults or fewer come with the chance (1 - C) / 2; of nothing but faults it is 1.
    Source: clopper1934.  Valid for parts independent of each other and no more faults than parts.
    """
    from scipy.special import betaincinv

    if faults >= parts:
        return 1.0
    return float(betaincinv(faults + 1.0, parts - faults, (1.0 + confidence) / 2.0))


@formula(source="own_computation, product of chances", unit="1", valid={"chances": (0.0, 1.0)})
def all_pass_chance(chances: Sequence[float]) -> float:
    """Chance that every one of several tests is passed at its first try [0..1].

    Source: own_computation.  Valid for tests that do not depend on each other.

    >>> all_pass_chance([0.5, 0.5])
    0.25
    """
    return math.prod(chances)
