"""How long a hundred thousand draws of a case take on one core, all measures, beside a plain loop over a
general-purpose library of finance in the same run."""

import time
from collections.abc import Iterator

import numpy as np
import numpy_financial

from benchmarks.measuring import Gate, Line, median_line, one_core
from millhand.solvers.cashflow.draws import Draws, measured
from millhand.solvers.cashflow.running import warm_up

COUNT, OF_LIBRARY = 100_000, 500  # draws of ours, and of the library, which takes a hundred times as long for each
YEARS, RAMP = 10, (0.4, 0.6, 0.75, 0.9, 0.95, 1.0)


def draws(rounds: int) -> Iterator[Line]:
    """Seconds for a hundred thousand draws of ten years; and how many times as long the library takes a draw."""
    warm_up()
    many, few = cases(COUNT), cases(OF_LIBRARY)
    with one_core():
        found, ratios = [], []
        for _ in range(rounds):
            before = time.process_time()
            measured(many)
            ours = time.process_time() - before
            before = time.process_time()
            by_library(few)
            found.append(ours)
            ratios.append((time.process_time() - before) / OF_LIBRARY / (ours / COUNT))
    unit = f"s of one core, {COUNT} draws of a case of {YEARS} years with all measures"
    yield median_line("cashflow_100000_draws", found, unit=unit, gate=Gate(most=1.0))
    yield median_line(
        "cashflow_to_library", ratios, unit="of the library's time a draw over ours", gate=Gate(least=50.0)
    )


def cases(count: int) -> Draws:
    """Draws of a cell that earns about a third of its price in a year, some of which never come back."""
    chance = np.random.default_rng(1)
    labour, output = (chance.normal(mean, 30_000.0, count) for mean in (60_000.0, 20_000.0))
    running, growth = chance.uniform(5_000.0, 25_000.0, count), chance.uniform(0.0, 0.06, count)
    return Draws(
        outlay_money=chance.uniform(120_000.0, 260_000.0, count),
        yearly_money=np.column_stack((labour, output, -running)),
        growths=np.column_stack((growth, 0.0 * growth, growth)),
        ramp_up=np.tile(RAMP, (count, 1)),
        rate=chance.uniform(0.04, 0.15, count),
        horizon_y=np.full(count, float(YEARS)),
        residual_money=np.zeros(count),
    )


def by_library(many: Draws) -> list[tuple[float, ...]]:
    """The measures that the library has, and paybacks from running sums of its month by month flows."""
    return [_one(many, draw) for draw in range(len(many.rate))]


def _one(many: Draws, draw: int) -> tuple[float, ...]:
    """One draw: months as an array, years as sums of them."""
    rate, year = many.rate[draw], np.arange(50)[:, None]
    lines = many.yearly_money[draw] * (1.0 + many.growths[draw]) ** year / 12.0
    shares = np.ones((50, 12, 1))
    shares[0, : len(RAMP), 0] = many.ramp_up[draw]
    months = (np.where(lines[:, None, :] > 0.0, lines[:, None, :] * shares, lines[:, None, :])).sum(axis=2).ravel()
    flows = np.concatenate(([-many.outlay_money[draw]], months[: 12 * YEARS].reshape(YEARS, 12).sum(axis=1)))
    factors = (1.0 + rate) ** (-np.arange(601) / 12.0)
    by_month = np.concatenate((flows[:1], months))
    worth = numpy_financial.npv(rate, flows)
    return (
        _back(np.cumsum(by_month)),
        _back(np.cumsum(by_month * factors)),
        worth,
        numpy_financial.irr(flows),
        numpy_financial.mirr(flows, rate, rate),
        -numpy_financial.pmt(rate, YEARS, worth),
        1.0 + worth / many.outlay_money[draw],
    )


def _back(totals: np.ndarray) -> float:  # type: ignore[type-arg]
    """The month, interpolated, from which a running sum stays at or above zero."""
    below = np.flatnonzero(totals < 0.0)
    if len(below) == 0:
        return 0.0
    last = below[-1]
    if last == len(totals) - 1:
        return float("inf")
    return float(last - totals[last] / (totals[last + 1] - totals[last]))
