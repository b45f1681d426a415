"""Where everybody on a track is: lines without gaps, distances at their corners."""

from dataclasses import replace
from pathlib import Path

from millhand.intake.cell import read_cell
from millhand.solvers.cycle.positions import at_m, nearest, rails
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.two_arms import LEFT, RIGHT, schedule_of, two_arms


def test_lines_have_no_gap_and_close_over_the_period() -> None:
    """Each leg begins where and when the last one ended; the end of the period is its start."""
    cell, plan = two_arms()
    (rail,) = rails(cell, plan)

    for line in rail.lines:
        assert (line.legs[0].start, line.legs[-1].end) == (0, plan.period_steps)
        assert line.legs[0].from_m == line.legs[-1].to_m
        for one, other in zip(line.legs, line.legs[1:], strict=False):
            assert (one.end, one.to_m) == (other.start, other.from_m)


def test_one_arm_without_written_motions_has_a_line_too() -> None:
    """It goes as far as the third machine, 12 m from the infeed, and is back at the end."""
    cell = read_cell(Path("examples/cells/three_machines_on_a_track.json"))
    (rail,) = rails(cell, schedule(cell))
    (line,) = rail.lines

    assert max(leg.to_m for leg in line.legs) == 12.0
    assert at_m(line, 0) == at_m(line, line.legs[-1].end) == 0.0
    assert rail.places[0] == ("infeed", 0.0)


def test_the_nearest_approach_is_found_at_a_corner() -> None:
    """The left arm comes to the outfeed at 15 m while the right one stands at 17 m."""
    cell, plan = two_arms()
    (rail,) = rails(cell, plan)
    (found,) = nearest(rail)

    assert (found.pair, found.distance_m, found.at) == (("left", "right"), 2.0, 163)


def test_a_crossing_shows_as_a_distance_below_nought() -> None:
    """The left arm stays at its machine while the right one fetches: they would pass each other."""
    cell, _ = two_arms()
    left = tuple(deed for deed in LEFT if deed[1:] != ("go", "park1") and deed[0] < 130)
    (rail,) = rails(cell, schedule_of(cell, {"left": left, "right": RIGHT}, 140.0))
    (found,) = nearest(rail)

    assert found.distance_m == -3.0


def test_a_cell_without_a_track_has_no_panel() -> None:
    """Nor has one whose attendant leaves it."""
    cell, plan = two_arms()

    assert rails(replace(cell, tracks={}), plan) == ()
