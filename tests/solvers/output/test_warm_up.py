"""Where a warm-up ends: a known transient, none at all, too short a run."""

import math
import random

import pytest

from millhand.solvers.output.warm_up import averaged, warm_up

RUNS, LENGTH, PHI, MEAN, OFFSET = 20, 1000, 0.8, 50.0, 60.0


def autoregressive(chance: random.Random, offset: float) -> list[float]:
    """An AR(1) series that starts off its mean by so much; the expected offset after t steps is offset x phi^t."""
    value, found = MEAN + offset, []
    for _ in range(LENGTH):
        found.append(value)
        value = MEAN + PHI * (value - MEAN) + chance.gauss(0.0, 1.0)
    return found


@pytest.mark.parametrize("seed", range(5))
def test_a_known_transient_is_cut_off(seed: int) -> None:
    """What is left of the transient at the cut drowns in the noise, little else is cut, and the bias is gone.

    Standard deviation of an average over the runs: 1 / sqrt(1 - phi^2) / sqrt(runs). Standard error of the whole mean:
    1 / (1 - phi) / sqrt(runs x length). The mean is held to three of these, with what the transient may still add.
    """
    chance = random.Random(seed)
    series = averaged([autoregressive(chance, OFFSET) for _ in range(RUNS)])
    noise = 1.0 / math.sqrt(1.0 - PHI**2) / math.sqrt(RUNS)
    error = 1.0 / (1.0 - PHI) / math.sqrt(RUNS * LENGTH)

    found = warm_up(series)

    assert found.long_enough
    assert OFFSET * PHI**found.cut < 3.0 * noise
    assert found.cut <= LENGTH / 10
    assert abs(found.mean - MEAN) < 3.0 * error + 3.0 * noise / (1.0 - PHI) / LENGTH
    assert math.fsum(series) / LENGTH - MEAN > 3.0 * error


def test_a_series_that_never_changes_is_not_cut() -> None:
    """Of equal cuts the first counts, whatever the value's last bits."""
    for value in (0.0, 0.1, 1e6 / 3.0):
        found = warm_up([value] * 200)
        assert (found.cut, found.long_enough, found.statistic) == (0, True, 0.0)
        assert found.mean == pytest.approx(value)


def test_a_series_that_goes_on_rising_is_too_short() -> None:
    """The best cut lies at the end, so the run never got warm."""
    found = warm_up([float(at) for at in range(500)])

    assert not found.long_enough
    assert found.cut > 250


def test_a_jump_on_either_side_of_the_middle() -> None:
    """Exactly half the batches cut is still the first half; one batch more is too short."""
    half = warm_up([0.0] * 100 + [10.0] * 100)
    assert (half.cut, half.long_enough) == (100, True)
    later = warm_up([0.0] * 105 + [10.0] * 95)
    assert (later.cut, later.long_enough) == (105, False)


@pytest.mark.parametrize("length", [0, 4, 5, 49])
def test_a_short_series_is_said_to_be_too_short(length: int) -> None:
    """With fewer than ten batches nothing is cut and nothing trusted."""
    found = warm_up([float(at) for at in range(length)])

    assert (found.cut, found.batches, found.long_enough) == (0, 0, False)
    assert math.isnan(found.mean) == (length < 5)


def test_observations_that_fill_no_batch_are_left_out() -> None:
    """A last spike in an incomplete batch changes nothing."""
    assert warm_up([1.0, 2.0] * 50 + [1e9] * 4) == warm_up([1.0, 2.0] * 50)


def test_averages_go_as_far_as_the_shortest_run() -> None:
    """Observation by observation."""
    assert averaged([[1.0, 2.0, 3.0], [3.0, 4.0]]) == (2.0, 3.0)
