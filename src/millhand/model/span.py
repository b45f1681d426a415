"""A span of time: a number of seconds, or a distribution of them with its mean."""

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import Ge, Gt

Dist = Literal["constant", "exponential", "lognormal", "weibull", "triangular", "uniform", "empirical", "geometric"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """How long something takes, or how long until it happens [s]; every span has a mean.

    In a file a constant span is written as a bare number. cv belongs to lognormal, shape to weibull, low_s, mode_s and
    high_s to triangular (uniform: low_s and high_s), values_s to empirical.
    """

    dist: Dist = "constant"
    mean_s: Annotated[float, Ge(0)]
    cv: Annotated[float, Ge(0)] | None = None
    shape: Annotated[float, Gt(0)] | None = None
    low_s: Annotated[float, Ge(0)] | None = None
    mode_s: Annotated[float, Ge(0)] | None = None
    high_s: Annotated[float, Ge(0)] | None = None
    values_s: tuple[Annotated[float, Ge(0)], ...] | None = None


NO_TIME = Span(mean_s=0.0)
