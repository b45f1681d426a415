"""Work shared among resources: closed forms and the linear programme."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.solvers.cycle.loads.sharing import shared_times, split_time


def test_work_of_one_resource_adds_up() -> None:
    """Two jobs of one machine: their sum; another machine stands apart."""
    found = shared_times([{"m1": 30.0}, {"m1": 12.0}, {"m2": 5.0}])

    assert [(each.resources, each.time) for each in found] == [(("m1",), 42.0), (("m2",), 5.0)]


def test_a_job_for_two_alike_is_halved() -> None:
    """Two like mills share a job of 380 s: 190 s each."""
    (found,) = shared_times([{"mill1": 380.0, "mill2": 380.0}])

    assert (found.resources, found.time) == (("mill1", "mill2"), 190.0)


def test_a_job_for_two_of_different_speed_is_split_by_speed() -> None:
    """60 s on one, 30 s on the other: together 20 s."""
    assert shared_times([{"old": 60.0, "new": 30.0}])[0].time == pytest.approx(20.0)


def test_own_work_is_levelled_by_the_shared_job() -> None:
    """One has 50 s of its own, the other nothing; 30 s to share go to the idle one, who is not the longest."""
    (found,) = shared_times([{"a": 50.0}, {"a": 30.0, "b": 30.0}])

    assert (found.resources, found.time) == (("a",), 50.0)


def test_shared_work_above_the_own_is_spread() -> None:
    """10 s own and 50 s to share among two: 30 s each."""
    assert shared_times([{"a": 10.0}, {"a": 50.0, "b": 50.0}])[0].time == 30.0


def test_a_chain_of_shared_jobs_needs_the_linear_programme() -> None:
    """a or b 40, b or c 40, c alone 10: all level at 30."""
    (found,) = shared_times([{"a": 40.0, "b": 40.0}, {"b": 40.0, "c": 40.0}, {"c": 10.0}])

    assert found.time == pytest.approx(30.0)
    assert found.resources == ("a", "b", "c")


@given(st.lists(st.integers(1, 60), min_size=2, max_size=2), st.lists(st.integers(1, 60), min_size=1, max_size=3))
def test_the_closed_form_of_like_resources_is_the_programme(own: list[int], shared: list[int]) -> None:
    """For resources that are alike the short way and the linear programme agree."""
    names = dict(zip("ab", map(float, own), strict=True))
    free = [{"a": float(time), "b": float(time)} for time in shared]
    (found,) = shared_times([*({name: time} for name, time in names.items()), *free])

    assert found.time == pytest.approx(split_time(free, names))
