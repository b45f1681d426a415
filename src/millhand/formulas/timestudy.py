"""Time study: normal time, standard time in both allowance conventions, readings needed."""

from millhand.formulas.limits import NOT_NEGATIVE, PART_OF_ONE, POSITIVE
from millhand.formulas.register import formula


@formula(source="stevenson2021, ch. 7", valid={"observed_s": NOT_NEGATIVE, "rating": (0.5, 1.6)})
def normal_time_s(observed_s: float, *, rating: float) -> float:
    """Observed mean time at a rating of 1, the pace that can be kept up all day [s].

    Source: stevenson2021, ch. 7.  Valid for ratings from 0.5 to 1.6.
    """
    return observed_s * rating


@formula(
    source="stevenson2021, ch. 7, allowance on work time",
    valid={"normal_s": NOT_NEGATIVE, "allowance_share": (0.0, 1.0)},
)
def standard_time_s(normal_s: float, *, allowance_share: float) -> float:
    """Standard time when the allowance is a share of WORK time, NT (1 + A) [s].

    Two conventions are in print; the other is standard_time_of_shift_s.
    Source: stevenson2021, ch. 7; hie2001.  Valid for allowances stated per work time.
    """
    return normal_s * (1.0 + allowance_share)


@formula(
    source="hie2001, allowance on the shift",
    valid={"normal_s": NOT_NEGATIVE, "allowance_share": PART_OF_ONE},
)
def standard_time_of_shift_s(normal_s: float, *, allowance_share: float) -> float:
    """Standard time when the allowance is a share of the SHIFT, NT / (1 - A) [s].

    Two conventions are in print; the other is standard_time_s.
    Source: hie2001.  Valid for allowances stated per shift, below 1.
    """
    return normal_s / (1.0 - allowance_share)


@formula(
    source="stevenson2021, ch. 7, sample size",
    unit="1",
    valid={"deviation_s": NOT_NEGATIVE, "error_s": POSITIVE, "quantile": (1.0, 4.0)},
)
def readings_needed(deviation_s: float, *, error_s: float, quantile: float) -> float:
    """Readings until the mean is known to within error_s, (z s / e)² [1, not rounded: take the next whole number].

    quantile: 1.96 for 95 % with a known deviation, Student's for few readings. For a share of the mean give that
    share times the mean as error_s.
    Source: stevenson2021, ch. 7; niebel2014, time study.  Valid for readings independent of each other.
    """
    return (quantile * deviation_s / error_s) ** 2
