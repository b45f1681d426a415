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


@formula(source="own_computation, competing exponential times", unit="h", caution=CAUTION)
def mean_first_stop_h(stops_per_h: Sequence[float]) -> float:
    """Mean running time until the first of several independent stops, 1 / sum of the rates [h].

    Source: own_computation, least of exponential times.  Valid for stops that come at even rates; infinite without any.

    >>> mean_first_stop_h([0.125, 0.125])
    4.0
    """
    rate = math.fsum(stops_per_h)
    return 1.0 / rate if rate > 0.0 else math.inf


@formula(
    source="own_computation, competing exponential times", unit="1", valid={"alone_h": NOT_NEGATIVE}, caution=CAUTION
)
def no_stop_share(stops_per_h: Sequence[float], *, alone_h: float) -> float:
    """Share of runs alone of so many hours that see no stop at all, exp(-sum of the rates x hours) [0..1].

    Source: own_computation, least of exponential times.  Valid for independent stops that come at even rates.
    """
    return math.exp(-math.fsum(stops_per_h) * alone_h)


@formula(
    source="own_computation, competing exponential times", unit="h", valid={"limit_h": NOT_NEGATIVE}, caution=CAUTION
)
def expected_alone_h(stops_per_h: Sequence[float], *, limit_h: float) -> float:
    """Mean running time alone until the first stop or a fixed limit, (1 - exp(-r L)) / r with r all rates [h].

    Source: own_computation, truncated exponential time.  Valid for independent stops that come at even rates.
    """
    rate = math.fsum(stops_per_h)
    return -math.expm1(-rate * limit_h) / rate if rate > 0.0 else limit_h


@formula(
    source="own_computation, competing exponential times",
    unit="1",
    valid={"part_s": NOT_NEGATIVE, "fault_share": SHARE},
    caution=CAUTION,
)
def stop_share_of_part(stops_per_h: Sequence[float], *, part_s: float, fault_share: float) -> float:
    """Share of parts that are stopped, by chance in time or by a fault of the part, 1 - (1 - q) exp(-r t) [0..1].

    With this share the parts made alone follow as from faults alone (expected_unattended_parts and its ceiling).
    Source: own_computation, independent causes.  Valid for stops that come at even rates, parts of one time.
    """
    return fault_share - (1.0 - fault_share) * math.expm1(-math.fsum(stops_per_h) * part_s / 3600.0)


@formula(
    source="own_computation, competing exponential times", unit="1", valid={"limit_h": NOT_NEGATIVE}, caution=CAUTION
)
def first_stop_shares(stops_per_h: Sequence[float], *, limit_h: float) -> list[float]:
    """Chance of each cause to end the run alone, and last the chance that the limit does [0..1].

    Cause i: r_i / r x (1 - exp(-r L)); the limit: exp(-r L).
    Source: own_computation, competing exponential times.  Valid for independent stops that come at even rates.
    """
    mean_h = expected_alone_h(stops_per_h, limit_h=limit_h)
    return [*(rate * mean_h for rate in stops_per_h), no_stop_share(stops_per_h, alone_h=limit_h)]


@formula(source="own_computation, discrete competing risks", unit="1", valid={"pockets": NOT_NEGATIVE}, caution=CAUTION)
def first_fault_shares(fault_shares: Sequence[float], *, pockets: float) -> list[float]:
    """Chance of each cause to end the run alone, and last the chance that the presenter is emptied [0..1].

    Each part passes the causes in their order; the first that strikes has it: a_i = q_i (1 - q_1)...(1 - q_(i-1)),
    times the parts begun on average, (1 - s^n) / (1 - s) with s the chance to pass them all.
    Source: own_computation, geometric series.  Valid for causes independent of each other and from part to part.
    """
    passing, strikes = 1.0, []
    for share in fault_shares:
        strikes.append(share * passing)
        passing *= 1.0 - share
    hit = math.fsum(strikes)
    emptied = runs_without_fault(hit, parts=pockets)
    begun = pockets if hit == 0.0 else expected_unattended_parts(hit, pockets=pockets) + 1.0 - emptied
    return [*(share * begun for share in strikes), emptied]


@formula(
    source="own_computation, independent trials",
    unit="1",
    valid={"miss_share": SHARE, "retries": NOT_NEGATIVE},
    caution=CAUTION,
)
def lost_pick_share(miss_share: float, *, retries: float) -> float:
    """Share of picks that fail for good: the first try and each retry miss, p^(1 + retries) [0..1].

    Source: own_computation, independent trials.  Valid for tries independent of each other.
    """
    return float(miss_share ** (1.0 + retries))


@formula(
    source="own_computation, binomial distribution",
    unit="1",
    valid={"event_share": SHARE, "parts": NOT_NEGATIVE, "spares": NOT_NEGATIVE},
    caution=CAUTION,
)
def spares_suffice_share(event_share: float, *, parts: float, spares: float) -> float:
    """Share of runs of so many parts that see no more events than there are spares for [0..1].

    Spares are sister tools, or pockets that may be passed over.
    Source: own_computation, binomial distribution.  Valid for whole numbers, events independent from part to part.
    """
    from scipy.special import bdtr

    return float(bdtr(min(spares, parts), round(parts), event_share))


@formula(
    source="own_computation, truncated negative binomial distribution",
    unit="parts",
    valid={"event_share": SHARE, "pockets": NOT_NEGATIVE, "spares": NOT_NEGATIVE},
    caution=CAUTION,
)
def expected_parts_with_spares(event_share: float, *, pockets: float, spares: float) -> float:
    """Parts finished, on average, when so many parts may be struck and lost before the next one ends the run [parts].

    (1 - p) / p times the mean of the least of events in all pockets and 1 + spares. Without spares it is
    expected_unattended_parts.
    Source: own_computation, binomial sums.  Valid for whole numbers, events independent from part to part.
    """
    from scipy.special import bdtrc

    if event_share == 0.0:
        return float(pockets)
    count = round(pockets)
    events = math.fsum(float(bdtrc(j, count, event_share)) for j in range(min(round(spares) + 1, count)))
    return (1.0 - event_share) / event_share * events


@formula(
    source="own_computation, parts of a run over those of a lot",
    unit="1",
    valid={"run_parts": NOT_NEGATIVE, "lot": FROM_ONE},
    caution=CAUTION,
)
def lot_ends_share(run_parts: float, *, lot: float) -> float:
    """Share of the runs alone in which a lot ends, where nobody plans the lots round them [0..1].

    Each part made alone is as likely as any other to be the last of its lot: parts of a run over parts of a lot.
    Source: own_computation.  Valid where lots come one after the other without regard to the hours alone.
    """
    return min(1.0, run_parts / lot)


@formula(
    source="own_computation, limit and parts under way, no more than the rate gives",
    unit="parts",
    valid={
        "limit_parts": NOT_NEGATIVE,
        "rate_parts_per_h": NOT_NEGATIVE,
        "alone_h": NOT_NEGATIVE,
        "machines": FROM_ONE,
        "parts_per_load": POSITIVE,
    },
    caution=CAUTION,
)
def alone_bound_parts(
    limit_parts: float, *, rate_parts_per_h: float, alone_h: float, machines: float, parts_per_load: float
) -> float:
    """Parts that a run alone can bring at the very most [parts].

    Where something ends it before the hours do: that limit, and the loads in the machines at its start, which come out
    as well. Where the hours end it, as many loads are in the machines then as were at its start: rate times hours.
    Source: own_computation.  Valid as an upper bound only: no fault is in it.

    >>> alone_bound_parts(60.0, rate_parts_per_h=20.0, alone_h=4.0, machines=3.0, parts_per_load=2.0)
    66.0
    >>> alone_bound_parts(80.0, rate_parts_per_h=20.0, alone_h=4.0, machines=3.0, parts_per_load=2.0)
    80.0
    """
    return min(rate_parts_per_h * alone_h, limit_parts + machines * parts_per_load)
