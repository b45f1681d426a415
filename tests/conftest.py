"""What all tests share: one profile of random checks, the same on every machine and in every run."""

import os
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "same_everywhere",
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("same_everywhere")

os.environ["MILLHAND_NO_CACHE"] = "1"  # no test reads what an earlier run kept, nor leaves anything in a home folder
os.environ.setdefault("MILLHAND_CODE", str(Path(__file__).parents[1] / "build" / "code"))  # compiled once for all tests

# What takes longest, the longest first: whoever runs tests side by side begins with it, so that all end together.
LONGEST = (
    "examples",
    "by_hand",
    "guarding",
    "solvers/cycle/test_best_track.py",
    "test_study.py",
    "solvers/cycle/test_makespan_rails.py",
    "stages/feasibility/test_checks.py",
    "solvers/cycle/test_rail_rounds.py",
)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The tests of one file stay in one process, as those of one named group do: what several of them need is then
    worked out once. Groups that take longest come first; nothing else changes its place."""
    for item in items:
        if item.get_closest_marker("xdist_group") is None:
            item.add_marker(pytest.mark.xdist_group(item.nodeid.partition("::")[0].removeprefix("tests/")))
    items.sort(key=place)


def place(item: pytest.Item) -> int:
    """When the group of a test comes: its place among the longest ones, or after all of them."""
    mark = item.get_closest_marker("xdist_group")
    names: Sequence[str] = mark.args if mark else ()
    return next((LONGEST.index(name) for name in names if name in LONGEST), len(LONGEST))
