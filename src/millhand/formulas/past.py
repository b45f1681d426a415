"""What past jobs say of an estimate: how far above the quote they ended, and how widely they scattered."""

import math
import statistics
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula


@formula(
    source="own_computation, mean of the logarithms",
    valid={"paid_over_quoted": POSITIVE},
    unit="1",
)
def past_bias(paid_over_quoted: Sequence[float]) -> float:
    """What was paid in the end over what was quoted, in the middle of past jobs (geometric mean) [1].

    Source: own_computation.  Valid for jobs of the same kind.

    >>> round(past_bias([1.0, 1.21]), 9)
    1.1
    """
    return math.exp(math.fsum(map(math.log, paid_over_quoted)) / len(paid_over_quoted))


@formula(
    source="own_computation, standard deviation of the logarithms",
    valid={"paid_over_quoted": POSITIVE},
    unit="1",
)
def past_scatter(paid_over_quoted: Sequence[float]) -> float:
    """How widely past jobs scatter about their middle: standard deviation of the logarithms of paid over quoted [1].

    Source: own_computation.  Valid for two and more jobs.
    """
    return statistics.stdev(map(math.log, paid_over_quoted))


@formula(
    source="own_computation, prediction interval by Student's t",
    valid={"amount_money": NOT_NEGATIVE, "bias": POSITIVE, "scatter": NOT_NEGATIVE, "jobs": (2.0, math.inf)},
    units={"share": "1"},
    unit="money",
)
def ended_money(amount_money: float, *, bias: float, scatter: float, jobs: float, share: float) -> float:
    """The amount below which a share of jobs quoted like this one will end, as past jobs say it [money].

    Student's t with the number of jobs, for one job more: few jobs say little.
    Source: own_computation.  Valid for logarithms that scatter like a normal distribution.
    """
    from scipy.special import stdtrit

    spread = float(stdtrit(jobs - 1.0, share)) * scatter * math.sqrt(1.0 + 1.0 / jobs)
    return amount_money * bias * math.exp(spread)
