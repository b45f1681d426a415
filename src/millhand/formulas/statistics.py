"""Small statistics: intervals of a mean and what they take, acceptance runs, ranges turned into distributions."""

import math
from collections.abc import Sequence
from statistics import NormalDist, stdev, variance

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

INSIDE = (math.ulp(0.0), math.nextafter(1.0, 0.0))  # above 0 and below 1
Z90 = NormalDist().inv_cdf(0.9)


@formula(source="law2015, sec. 9.4.1", unit="1", valid={"confidence": INSIDE})
def mean_half_width(values: Sequence[float], *, confidence: float) -> float:
    """Half the confidence interval of the mean of independent replications, by Student's t [as the values].

    Source: law2015, sec. 9.4.1.  Valid for two and more nearly normal values.
    """
    from scipy.special import stdtrit

    quantile = float(stdtrit(len(values) - 1, 0.5 + confidence / 2.0))
    return quantile * stdev(values) / math.sqrt(len(values))


@formula(source="law2015, sec. 9.4.1, relative error", unit="1", valid={"precision": NOT_NEGATIVE})
def adjusted_precision(precision: float) -> float:
    """Relative half width to ask of the ESTIMATED mean, g / (1 + g), for a relative error g of the true one [0..1].

    Source: law2015, sec. 9.4.1.  Valid whenever the interval holds the true mean.
    """
    return precision / (1.0 + precision)


@formula(source="law2015, sec. 9.4.1, absolute error", unit="1", valid={"half_width": POSITIVE, "confidence": INSIDE})
def replications_for_half_width(values: Sequence[float], *, half_width: float, confidence: float) -> int:
    """Replications in all that bring the half width of the mean down to a given one, spread as in these [runs].

    The least i, from as many as there are, with t(i - 1) S / sqrt(i) <= half width.
    Source: law2015, sec. 9.4.1.  Valid for two and more nearly normal values.
    """
    from scipy.special import stdtrit

    spread, share = stdev(values), 0.5 + confidence / 2.0
    # Student's quantile lies above the normal one, so nothing below this can do.
    count = max(len(values), math.floor((NormalDist().inv_cdf(share) * spread / half_width) ** 2))
    while float(stdtrit(count - 1, share)) * spread > half_width * math.sqrt(count):
        count += max(1, count >> 40)  # one by one, as long as a float tells two such counts apart
    return count


@formula(source="law2015, sec. 11.2, common random numbers", unit="1")
def common_numbers_ratio(values: Sequence[float], *, others: Sequence[float]) -> float:
    """Variance of a difference with independent runs over the one with common random numbers [1].

    (S_x^2 + S_y^2) / S_(x-y)^2: so many times as many independent runs give the same interval.
    Source: law2015, sec. 11.2.  Valid for pairs that met the same chance; infinite where they differ by a constant.
    """
    together = variance([x - y for x, y in zip(values, others, strict=True)])
    apart = variance(values) + variance(others)
    if together == 0.0:
        return math.inf if apart > 0.0 else 1.0
    return apart / together


@formula(
    source="kimnelson2001, constant of the procedure with c = 1",
    unit="1",
    valid={"concepts": (2.0, math.inf), "replications": (2.0, math.inf), "error_share": INSIDE},
)
def kim_nelson_eta(concepts: float, *, replications: float, error_share: float) -> float:
    """Constant eta of the sequential choice of the best of k concepts, ((2 a / (k - 1))^(-2 / (n - 1)) - 1) / 2 [1].

    n are the first replications, a the chance of a wrong choice, split over the k - 1 rivals of the best.
    Source: kimnelson2001.  Valid for normal values, under common random numbers too, and a below (k - 1) / 2.
    """
    share = 2.0 * error_share / (concepts - 1.0)
    return math.expm1(-2.0 / (replications - 1.0) * math.log(share)) / 2.0


@formula(source="qcicre, failure-free testing", unit="1", valid={"reliability": INSIDE, "confidence": INSIDE})
def zero_fault_runs(reliability: float, *, confidence: float) -> int:
    """Runs without a fault that show a reliability with a confidence, ln(1 - C) / ln(R), rounded UP [runs].

    Source: qcicre.  Valid for runs independent of each other.

    >>> zero_fault_runs(0.99, confidence=0.95)
    299
    """
    return math.ceil(math.log1p(-confidence) / math.log(reliability) - 1e-9)


@formula(source="qcicre, failure-free testing", unit="1", valid={"runs": FROM_ONE, "confidence": INSIDE})
def zero_fault_lower_share(runs: float, *, confidence: float) -> float:
    """Lower bound of the reliability after so many runs without a fault, (1 - C)^(1/n) [0..1].

    Source: qcicre.  Valid for runs independent of each other.
    """
    return float((1.0 - confidence) ** (1.0 / runs))


@formula(source="law2015, sec. 6.11, triangular", unit="1")
def triangular_mean(low: float, *, likely: float, high: float) -> float:
    """Mean of a triangular distribution between its ends [as the ends].

    Source: law2015, sec. 6.11.  Valid for low <= likely <= high, the ends being minimum and maximum.
    """
    return (low + likely + high) / 3.0


@formula(source="law2015, sec. 6.11, triangular", unit="1", valid={"share": SHARE})
def triangular_quantile(share: float, *, low: float, likely: float, high: float) -> float:
    """Value that a triangular distribution stays below with a given chance [as the ends].

    Source: law2015, sec. 6.11.  Valid for low <= likely <= high, low < high, minimum and maximum.
    """
    if share * (high - low) <= likely - low:
        return low + math.sqrt(share * (high - low) * (likely - low))
    return high - math.sqrt((1.0 - share) * (high - low) * (high - likely))


@formula(source="own_computation, quantiles of a lognormal", unit="1", valid={"p10": POSITIVE, "p90": POSITIVE})
def lognormal_location(p10: float, *, p90: float) -> float:
    """Mean of the logarithm of a lognormal value with these P10 and P90 [1].

    Source: own_computation.  Valid for 0 < P10 <= P90.
    """
    return (math.log(p10) + math.log(p90)) / 2.0


@formula(source="own_computation, quantiles of a lognormal", unit="1", valid={"p10": POSITIVE, "p90": POSITIVE})
def lognormal_spread(p10: float, *, p90: float) -> float:
    """Standard deviation of the logarithm of a lognormal value with these P10 and P90 [1].

    Source: own_computation.  Valid for 0 < P10 <= P90.
    """
    return math.log(p90 / p10) / (2.0 * Z90)


@formula(source="own_computation, moments of a lognormal", unit="1", valid={"p10": POSITIVE, "p90": POSITIVE})
def lognormal_mean(p10: float, *, p90: float) -> float:
    """Mean of a lognormal value with these P10 and P90, which lies above its median [as the quantiles].

    Source: own_computation.  Valid for 0 < P10 <= P90.
    """
    return math.exp(lognormal_location(p10, p90=p90) + lognormal_spread(p10, p90=p90) ** 2 / 2.0)
