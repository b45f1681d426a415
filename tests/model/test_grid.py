"""The time grid: halves go up as they are written, and a duration on the grid stays."""

import doctest
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.model import grid
from millhand.model.grid import grid_steps, on_grid_s


@pytest.mark.parametrize(
    ("value_s", "grid_s", "steps"),
    [(0.0, 0.001, 0), (0.0005, 0.001, 1), (0.00049, 0.001, 0), (2.675, 0.01, 268), (0.5, 1, 1), (1.5, 1, 2)],
)
def test_halves_go_up_as_they_are_written(value_s: float, grid_s: float, steps: int) -> None:
    """2.675 is a little less in binary; what counts are the decimals."""
    assert grid_steps(value_s, grid_s=grid_s) == steps


@given(steps=st.integers(0, 10**9), grid_s=st.sampled_from([0.001, 0.01, 0.1, 0.25, 1.0, 2.5]))
def test_a_duration_on_the_grid_stays_and_counts_its_steps(steps: int, grid_s: float) -> None:
    """Rounding twice is rounding once."""
    value_s = on_grid_s(steps * grid_s, grid_s=grid_s)

    assert grid_steps(value_s, grid_s=grid_s) == steps
    assert on_grid_s(value_s, grid_s=grid_s) == value_s


GRIDS = [0.001, 0.002, 0.01, 0.05, 0.1, 0.25, 0.5, 1, 1.0, 2.5, 0.003, 60.0]


@given(
    value_s=st.floats(-1e7, 1e10) | st.integers(0, 10**7).map(lambda n: n / 2000) | st.integers(-9, 9),
    grid_s=st.sampled_from(GRIDS),
)
def test_every_duration_goes_where_its_decimals_say(value_s: float, grid_s: float) -> None:
    """Also the quick ways for what lies far from a half: the decimals themselves, and the float nearest to them."""
    steps = (Decimal(repr(value_s)) / Decimal(repr(grid_s))).to_integral_value(ROUND_HALF_UP)

    assert grid_steps(value_s, grid_s=grid_s) == steps
    assert on_grid_s(value_s, grid_s=grid_s) == float(steps * Decimal(repr(grid_s)))


def test_the_examples_of_the_docstrings_hold() -> None:
    """What the module shows is what it does."""
    assert doctest.testmod(grid).failed == 0
