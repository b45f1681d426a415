"""How much a cell makes with nobody there: faults end the run, and the least of several limits ends it anyway."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. A cell left alone needs its own assessment (fire with oil mist, chips, lost parts, "
    "coolant, access); the risk assessment, local codes and competent persons decide whether it may run alone."
)


@formula(
    source="own_computation, sum of a geometric series",
    unit="parts",
    valid={"fault_share": SHARE, "pockets": NOT_NEGATIVE},
    caution=CAUTION,
)
def expected_unattended_parts(fault_share: float, *, pockets: float) -> float:
    """Parts finished, on average, until the first fault or until the presenter is empty [parts].

    (1 - q)(1 - (1 - q)^n) / q: each part is stopped by a fault with chance q, the first fault ends the run, and the
    faulty part does not count. More pockets never bring more than (1 - q) / q.
    Source: own_computation, geometric series.  Valid for faults independent of each other.
    """
    if fault_share == 0.0:
        return float(pockets)
    if fault_share == 1.0:
        return 0.0
    survives = -math.expm1(pockets * math.log1p(-fault_share))  # 1 - (1 - q)^n, exact for tiny q
    return (1.0 - fault_share) * survives / fault_share


@formula(
    source="own_computation, independent trials",
    unit="1",
    valid={"fault_share": SHARE, "parts": NOT_NEGATIVE},
    caution=CAUTION,
)
def runs_without_fault(fault_share: float, *, parts: float) -> float:
    """Share of runs that finish all their parts without a single fault, (1 - q)^n [0..1].

    Source: own_computation, independent trials.  Valid for faults independent of each other.
    """
    return float((1.0 - fault_share) ** parts)


@formula(
    source="groover2008, ch. 14, storage for unattended operation",
    valid={"pockets": NOT_NEGATIVE, "time_per_part_s": NOT_NEGATIVE, "machines": FROM_ONE},
    caution=CAUTION,
)
def autonomy_s(pockets: float, *, time_per_part_s: float, machines: float) -> float:
    """Time until the presenter is empty when equal machines draw from it together [s].

    time_per_part_s is the time that ONE machine takes for a part.
    Source: groover2008, ch. 14.  Valid for machines that never wait.
    """
    return pockets * time_per_part_s / machines


@formula(source="common_practice, the least limit ends the run", unit="s", caution=CAUTION)
def least_limit(limits_s: Sequence[float]) -> float:
    """How long the cell can run alone: the least of infeed, outfeed, lot, tools, chips, coolant, gauging [s].

    Source: common_practice.  Valid when every limit that exists stands in the list.

    >>> least_limit([3600.0, 1200.0, 7200.0])
    1200.0
    """
    return min(limits_s)


@formula(
    source="own_computation, mean number of faults",
    unit="parts",
    valid={"fault_share": POSITIVE},
    caution=CAUTION,
)
def unattended_ceiling_parts(fault_share: float) -> float:
    """Parts that a run alone yields on average however large the presenter is, (1 - q) / q [parts].

    Source: own_computation, geometric series.  Valid for a fault share above zero.
    """
    return (1.0 - fault_share) / fault_share
