"""The time grid of a cell: every duration is a whole number of grid steps, rounded half up once."""

from decimal import ROUND_HALF_UP, Decimal
from functools import cache

SURE, NEAR = 1e9, 1e-6  # below so many steps, and so far from a half, the last bits of a division decide nothing


def grid_steps(value_s: float, *, grid_s: float) -> int:
    """The whole number of grid steps nearest to a duration, halves upwards.

    Counted in decimals, as the numbers are written, so that 1.0005 s on a grid of 0.001 s is a half and goes up.

    >>> grid_steps(1.0005, grid_s=0.001), grid_steps(4.4, grid_s=1)
    (1001, 4)
    """
    ratio = value_s / grid_s
    if 0.0 <= ratio < SURE and abs(ratio % 1.0 - 0.5) > NEAR:  # far from a half binary digits round as decimals do
        return int(ratio + 0.5)
    steps = Decimal(repr(value_s)) / Decimal(repr(grid_s))
    return int(steps.to_integral_value(ROUND_HALF_UP))


def on_grid_s(value_s: float, *, grid_s: float) -> float:
    """A duration moved to the nearest grid step [s]; a duration already on the grid stays as it is.

    >>> on_grid_s(1.0005, grid_s=0.001)
    1.001
    """
    steps, parts = grid_steps(value_s, grid_s=grid_s), _parts_of_a_second(grid_s)
    # Both ways end at the float nearest to the decimal product; a division of whole numbers is the quick one.
    return steps / parts if parts else float(Decimal(steps) * Decimal(repr(grid_s)))


@cache
def _parts_of_a_second(grid_s: float) -> int:
    """How many grid steps make a second, where that is a whole number; 0 where it is none."""
    parts = round(1.0 / grid_s)
    return parts if Decimal(repr(grid_s)) * parts == 1 else 0
