"""Draws of one replication: a counter a stream, one uniform number a draw, the inverse of each distribution."""

import math

import numpy as np

from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.sampling import normal, streams
from millhand.solvers.sampling.span_draw import (
    EMPIRICAL,
    EXPONENTIAL,
    GEOMETRIC,
    LOGNORMAL,
    TRIANGULAR,
    UNIFORM,
    WEIBULL,
)

GAMMA, FIRST, SECOND = np.uint64(streams.GAMMA), np.uint64(streams.FIRST), np.uint64(streams.SECOND)
S12, S27, S30, S31 = np.uint64(12), np.uint64(27), np.uint64(30), np.uint64(31)
MOST = float(1 << 48)  # grid steps of one draw: what is longer than any horizon need not be told apart

normal_quantile = inner(normal.normal_quantile)


@inner
def mixed(value: np.uint64) -> np.uint64:
    """The 64 bits of `value`, stirred."""
    value = (value ^ (value >> S30)) * FIRST
    value = (value ^ (value >> S27)) * SECOND
    return value ^ (value >> S31)


@seldom
def open_stream(c: Record, k: Record, y: int) -> None:
    """The stream begins anew each day, so that two cells drift apart for a day at most."""
    key = mixed(k.seed + GAMMA)
    key = mixed((key ^ np.uint64(c.y_source[y])) + GAMMA)
    key = mixed((key ^ np.uint64(k.replication)) + GAMMA)
    k.y_state[y] = mixed((key ^ np.uint64(k.today)) + GAMMA)
    k.y_day[y] = k.today


@inner
def next_uniform(c: Record, k: Record, y: int) -> float:
    """The next number of a stream, strictly between 0 and 1."""
    if k.y_day[y] != k.today:
        open_stream(c, k, y)
    state = k.y_state[y] + GAMMA
    k.y_state[y] = state
    return (np.float64(mixed(state) >> S12) + 0.5) * 2.0**-52


@inner
def drawn_steps(c: Record, k: Record, n: int) -> int:
    """One duration in whole grid steps, halves up."""
    fixed = c.n_fixed[n]
    if fixed >= 0:
        return fixed
    return drawn(c, k, n)


@seldom
def drawn(c: Record, k: Record, n: int) -> int:
    """A duration that is left to chance."""
    u = next_uniform(c, k, c.n_stream[n])
    steps = quantile(c, n, u) * c.n_scale[n] + 0.5
    return math.floor(min(steps, MOST))


@inner
def quantile(c: Record, n: int, u: float) -> float:
    """The span that a share `u` of all lie below; exponential and geometric take 1 - u, which costs less."""
    dist, a, b = c.n_dist[n], c.n_a[n], c.n_b[n]
    if dist == EXPONENTIAL:
        return -a * math.log(u)
    if dist == LOGNORMAL:
        return math.exp(a + b * normal_quantile(u))
    if dist == WEIBULL:
        return a * (-math.log1p(-u)) ** b
    if dist == TRIANGULAR:
        return triangular(u, a, b, c.n_c[n])
    if dist == UNIFORM:
        return a + u * (b - a)
    if dist == EMPIRICAL:
        first, count = c.n_from[n], c.n_to[n] - c.n_from[n]
        return c.values[first + min(np.int64(u * count), count - 1)]
    if dist == GEOMETRIC:
        return 1.0 + np.float64(math.floor(math.log(u) / a))
    return a


@inner
def triangular(u: float, low: float, high: float, mode: float) -> float:
    """The inverse of the triangular distribution."""
    width = high - low
    if width <= 0:
        return low
    if u * width < mode - low:
        return low + math.sqrt(u * width * (mode - low))
    return high - math.sqrt((1 - u) * width * (high - mode))
