"""The time grid of a cell: every duration is a whole number of grid steps, rounded half up once."""

from decimal import ROUND_HALF_UP, Decimal


def grid_steps(value_s: float, *, grid_s: float) -> int:
    """The whole number of grid steps nearest to a duration, halves upwards.

    Counted in decimals, as the numbers are written, so that 1.0005 s on a grid of 0.001 s is a half and goes up.

    >>> grid_steps(1.0005, grid_s=0.001), grid_steps(4.4, grid_s=1)
    (1001, 4)
    """
    steps = Decimal(repr(value_s)) / Decimal(repr(grid_s))
    return int(steps.to_integral_value(ROUND_HALF_UP))


def on_grid_s(value_s: float, *, grid_s: float) -> float:
    """A duration moved to the nearest grid step [s]; a duration already on the grid stays as it is.

    >>> on_grid_s(1.0005, grid_s=0.001)
    1.001
    """
    return float(Decimal(grid_steps(value_s, grid_s=grid_s)) * Decimal(repr(grid_s)))
