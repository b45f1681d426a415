"""One uniform number into one span: the inverse of each distribution's cumulative function."""

import math

from millhand.errors import InputError
from millhand.model.span import Span
from millhand.solvers.sampling.normal import normal_quantile

CONSTANT, EXPONENTIAL, LOGNORMAL, WEIBULL, TRIANGULAR, UNIFORM, EMPIRICAL, GEOMETRIC = range(8)
CODES = {
    "constant": CONSTANT,
    "exponential": EXPONENTIAL,
    "lognormal": LOGNORMAL,
    "weibull": WEIBULL,
    "triangular": TRIANGULAR,
    "uniform": UNIFORM,
    "empirical": EMPIRICAL,
    "geometric": GEOMETRIC,
}


def half_up(value: float) -> int:
    """The nearest whole number, halves up; for times, so never below zero."""
    return math.floor(value + 0.5)


def span_parameters(span: Span, where: str = "span") -> tuple[float, float, float]:
    """The three numbers that `quantile` needs beside the code of the distribution."""
    mean = span.mean_s
    if span.dist == "lognormal":
        variance = math.log1p(_given(span.cv, "cv", where) ** 2)
        return (math.log(mean) - variance / 2 if mean > 0 else -math.inf), math.sqrt(variance), 0.0
    if span.dist == "weibull":
        shape = _given(span.shape, "shape", where)
        return mean / math.gamma(1 + 1 / shape), 1 / shape, 0.0
    if span.dist in ("triangular", "uniform"):
        low, high = _given(span.low_s, "low_s", where), _given(span.high_s, "high_s", where)
        return low, high, low if span.dist == "uniform" else _given(span.mode_s, "mode_s", where)
    if span.dist == "geometric":
        return (math.log1p(-1 / mean) if mean > 1 else -math.inf), 0.0, 0.0
    return mean, 0.0, 0.0


def _given(value: float | None, name: str, where: str) -> float:
    """The value, or an error that names what the distribution lacks."""
    if value is None:
        raise InputError(where, "nothing", f"{name}, which this distribution needs", "cell.span")
    return value


def quantile(code: int, parameters: tuple[float, float, float], values: tuple[float, ...], u: float) -> float:
    """The span that a share `u` of all lie below [s]; exponential and geometric take 1 - u, which costs less."""
    a, b, c = parameters
    if code == EXPONENTIAL:
        return -a * math.log(u)
    if code == LOGNORMAL:
        return math.exp(a + b * normal_quantile(u))
    if code == WEIBULL:
        return float(a * (-math.log1p(-u)) ** b)
    if code == TRIANGULAR:
        return _triangular(u, low=a, high=b, mode=c)
    if code == UNIFORM:
        return a + u * (b - a)
    if code == EMPIRICAL:
        return values[min(int(u * len(values)), len(values) - 1)]
    if code == GEOMETRIC:
        return 1.0 + math.floor(math.log(u) / a)
    return a


def _triangular(u: float, *, low: float, high: float, mode: float) -> float:
    """The inverse of the triangular distribution."""
    width = high - low
    if width <= 0:
        return low
    if u * width < mode - low:
        return low + math.sqrt(u * width * (mode - low))
    return high - math.sqrt((1 - u) * width * (high - mode))


def span_value(span: Span, u: float) -> float:
    """One value of the span for one uniform number [s]: the plain way, for tests and tables."""
    values = tuple(sorted(span.values_s or ()))
    return quantile(CODES[span.dist], span_parameters(span), values, u)
