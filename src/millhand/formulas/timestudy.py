"""Time study: normal time, standard time in both allowance conventions, readings needed, readings out of line."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, PART_OF_ONE, POSITIVE
from millhand.formulas.register import formula

INSIDE = (math.ulp(0.0), math.nextafter(1.0, 0.0))  # above 0 and below 1
FENCE = 1.5  # quartile distances from a quartile to the inner fence


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


@formula(
    source="hie2001, both allowance conventions",
    unit="1",
    valid={"allowance_of_day": PART_OF_ONE},
)
def allowance_on_work(allowance_of_day: float) -> float:
    """The same allowance as a share of work time, where it is stated as a share of the day, A / (1 - A) [0..].

    NT (1 + A / (1 - A)) = NT / (1 - A): both conventions give one standard time.
    Source: hie2001.  Valid for allowances of the day below 1.

    >>> round(allowance_on_work(0.2), 12)
    0.25
    """
    return allowance_of_day / (1.0 - allowance_of_day)


@formula(source="stevenson2021, ch. 7, sample size", unit="1", valid={"needed": NOT_NEGATIVE})
def whole_readings(needed: float) -> int:
    """The next whole number of readings [1, rounded UP].

    Source: stevenson2021, ch. 7.  Valid for what readings_needed gives.

    >>> whole_readings(41.36), whole_readings(42.0)
    (42, 42)
    """
    return math.ceil(needed - 1e-9)


@formula(source="stevenson2021, ch. 7, error as a share of the mean", valid={"mean_s": NOT_NEGATIVE})
def wanted_error_s(mean_s: float, *, precision: float) -> float:
    """How far the mean of the readings may lie from the true one, a share of it [s].

    Source: stevenson2021, ch. 7; niebel2014, time study.  Valid for a precision above 0.
    """
    return mean_s * precision


@formula(
    source="niebel2014, time study, t by readings less one",
    unit="1",
    valid={"readings": (2.0, math.inf), "confidence": INSIDE},
)
def student_quantile(readings: float, *, confidence: float) -> float:
    """Student's t, two-sided, with one degree of freedom less than there are readings [1].

    Source: niebel2014, time study (t = 2.064 for 25 readings and 95 %).  Valid for two and more readings.
    """
    from scipy.special import stdtrit

    return float(stdtrit(readings - 1.0, 0.5 + confidence / 2.0))


@formula(source="nisthandbook, 7.1.6, inner fences", unit="s")
def inner_fences_s(readings_s: Sequence[float]) -> tuple[float, float]:
    """Below and above these a reading is out of line: a quartile and 1.5 times the quartiles' distance beyond [s].

    Quartiles at the places (N + 1) / 4 and 3 (N + 1) / 4 of the ordered readings, straight lines between.
    Source: nisthandbook, 7.1.6 (Tukey's rule).  Valid for four and more readings.
    """
    ordered = sorted(readings_s)
    first, third = _at(ordered, 0.25), _at(ordered, 0.75)
    reach = FENCE * (third - first)
    return first - reach, third + reach


def _at(ordered: Sequence[float], share: float) -> float:
    """The value at a share of the way through N + 1 ordered values, ends held."""
    place = min(max(share * (len(ordered) + 1), 1.0), float(len(ordered)))
    below = math.floor(place)
    above = min(below, len(ordered) - 1)
    return ordered[below - 1] + (place - below) * (ordered[above] - ordered[below - 1])
