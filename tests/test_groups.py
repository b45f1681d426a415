"""The tests of one group stay in one process; or else what they share is worked out in each, in twice the time."""

from pathlib import Path

import pytest


def test_a_group_is_known_to_whoever_deals_the_tests_out(request: pytest.FixtureRequest) -> None:
    """Dealt out by groups, each test carries the name of its own: nothing else holds the group together.

    One version of the test runner took no notice of that name, and nobody noticed.
    """
    mark = request.node.get_closest_marker("xdist_group")
    assert mark is not None
    assert mark.args == ("test_groups.py",)
    if getattr(request.config.option, "loadgroup", False):  # else one process, or dealt out as they come
        assert request.node.nodeid.endswith("@test_groups.py")


def test_the_tests_are_dealt_out_by_groups() -> None:
    """Where the whole is run, it says so."""
    told = next(line for line in Path("Makefile").read_text(encoding="utf-8").splitlines() if " pytest -q -n " in line)
    assert "--dist loadgroup" in told
