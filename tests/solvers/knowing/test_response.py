"""A response fitted to a few dozen runs: right where it can be, at rest at its base, with its error told."""

import math

import numpy as np
import pytest

from millhand.solvers.knowing.response import FARTHEST, response

RUNS = 32


def runs(seed: int = 1) -> np.ndarray:  # type: ignore[type-arg]
    """Logarithms of ten numbers about their base."""
    return np.random.default_rng(seed).normal(0.0, 0.2, (RUNS, 10))


def test_a_product_of_powers_is_found_again() -> None:
    """x0^1.5 / x3, whatever else moves beside them; at the base the factor is one."""
    numbers = runs()
    found = response(1.5 * numbers[:, 0] - numbers[:, 3], numbers)
    at = (0.1, 9.0, 0.0, -0.2, *[0.3] * 6)

    assert {number for number, _, _ in found.terms} == {0, 3}
    assert found.factor(at) == pytest.approx(math.exp(0.35), rel=1e-9)
    assert found.factor((0.0,) * 10) == 1.0
    assert found.error < 1e-9 < found.spread


def test_the_error_is_what_is_left() -> None:
    """Noise of three in a hundred on a figure that moves by twenty: so much is missed in runs that were not seen."""
    numbers = runs()
    noise = np.random.default_rng(2).normal(0.0, 0.03, RUNS)
    found = response(numbers[:, 0] + noise, numbers)

    assert found.error == pytest.approx(0.03, rel=0.35)
    assert found.factor((0.2, *[0.0] * 9)) == pytest.approx(math.exp(0.2), rel=0.05)


def test_what_moves_by_chance_alone_has_no_response() -> None:
    """The factor stays one, and the error is the whole spread."""
    found = response(np.random.default_rng(3).normal(0.0, 0.1, RUNS), runs())

    assert found.terms == ()
    assert found.factor((0.5,) * 10) == 1.0
    assert found.error == pytest.approx(found.spread, rel=0.05)


def test_far_beyond_the_runs_the_response_stands_still() -> None:
    """A parabola is not followed to where nothing was ever run."""
    numbers = runs()
    found = response(numbers[:, 0] + 3.0 * numbers[:, 0] ** 2, numbers)
    far = found.centre[0] + FARTHEST * found.reach[0] * found.width[0]

    assert found.factor((far + 1.0, *[0.0] * 9)) == pytest.approx(found.factor((far + 50.0, *[0.0] * 9)), rel=1e-12)
