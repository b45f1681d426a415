"""Who ends a run alone: ties, limits that fall together, and certain causes."""

import pytest

from millhand.solvers.output.first_stop import Cause, first_ends


def test_the_least_limit_ends_a_run_without_chance() -> None:
    """Of equal limits the one listed first has it; a tool's spares let its life begin anew."""
    causes = [
        Cause(name="tool", parts=20, spares=2),
        Cause(name="lot", parts=50),
        Cause(name="presenter", parts=50),
        Cause(name="coolant", hours=3.0),
    ]

    ends = first_ends(causes, part_s=180.0, alone_h=12.0)

    assert ends.causes == {"tool": 0.0, "lot": 1.0, "presenter": 0.0, "coolant": 0.0}
    assert (ends.nothing, ends.parts, ends.hours) == (0.0, 50.0, 2.5)


def test_the_hours_alone_may_be_over_first() -> None:
    """Then nothing has ended the run; only whole parts count, and a measured time is not cut short by its last bit."""
    ends = first_ends([Cause(name="presenter", parts=1000)], part_s=100.0, alone_h=8.0)
    assert (ends.nothing, ends.parts) == (1.0, 288.0)
    assert first_ends([], part_s=0.1, alone_h=0.3 / 3600.0).parts == 3.0
    assert first_ends([], part_s=7.0, alone_h=1.0).parts == 514.0


def test_a_limit_that_falls_on_the_end_of_the_hours_has_it() -> None:
    """The person who comes back finds the presenter empty."""
    ends = first_ends([Cause(name="presenter", parts=36)], part_s=100.0, alone_h=1.0)

    assert (ends.causes["presenter"], ends.nothing) == (1.0, 0.0)


def test_certain_causes_share_the_first_part() -> None:
    """Two that always strike end the run at once, each in half of the cases; a third has no chance."""
    causes = [Cause(name="a", per_part=1.0), Cause(name="b", per_part=1.0), Cause(name="c", per_part=0.5)]

    ends = first_ends(causes, part_s=60.0, alone_h=1.0)

    assert ends.causes == {"a": 0.5, "b": 0.5, "c": 0.0}
    assert (ends.parts, ends.hours) == (0.0, 0.0)


def test_long_runs_end_for_certain() -> None:
    """After thousands of parts nothing is lost to numbers that become too small."""
    ends = first_ends([Cause(name="a", per_part=0.3), Cause(name="b", per_part=0.3, spares=1)], part_s=1.0, alone_h=2.0)

    assert ends.causes["a"] + ends.causes["b"] == pytest.approx(1.0, abs=1e-12)
    assert ends.nothing == pytest.approx(0.0, abs=1e-300)
