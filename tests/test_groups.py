"""The tests of one group stay in one process; or else what they share is worked out in each, in twice the time."""

import pytest


def test_a_group_is_known_to_whoever_deals_the_tests_out(request: pytest.FixtureRequest) -> None:
    """Dealt out by groups, each test carries the name of its own: nothing else holds the group together.

    One version of the test runner took no notice of that name, and nobody noticed.
    """
    if not getattr(request.config.option, "loadgroup", False):
        return  # one process, or dealt out as they come
    assert request.node.nodeid.endswith("@test_groups.py")
