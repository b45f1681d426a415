"""Round seconds for the time axis of a chart, in the terminal and in a drawing."""

from collections.abc import Iterator

STEPS_S = (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1200, 1800, 3600, 7200, 14400, 43200, 86400)


def tick_step_s(period_s: float, most: int) -> float:
    """The smallest round step that gives at most so many ticks after the first."""
    return next((each for each in STEPS_S if period_s / each <= most), period_s or 1.0)


def ticks_s(period_s: float, most: int) -> Iterator[float]:
    """The round seconds from 0 to the end of the period.

    >>> list(ticks_s(144.5, 6))
    [0.0, 30.0, 60.0, 90.0, 120.0]
    """
    step = tick_step_s(period_s, most)
    for number in range(int(period_s / step + 1e-9) + 1):
        yield float(f"{number * step:.6g}")
