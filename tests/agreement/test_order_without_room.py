"""Two arms on a track under the rule `order` with little room: only what stands keeps the distance, so that one may be
on its way beside a place where another one stands."""

from dataclasses import replace

import pytest

from millhand.errors import Contradiction, NotYet, ToolError
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_two_arms import MOST, random_two, told
from tests.track_oracle import best_on_track

WIDE_M = (1.0, 1.5, 2.0)  # beside places that are a metre apart and more
NO_ROOM = 1132
CELLS = range(1130, 1154)  # by hand range(500, 1165)


def crowded(number: int) -> Cell:
    """A random cell whose arms keep a distance as wide as their places are apart, or wider."""
    cell = random_two(number)
    tracks = {name: replace(track, rule="order", keep_m=WIDE_M[number % 3]) for name, track in cell.tracks.items()}
    return replace(cell, tracks=tracks)


@pytest.mark.parametrize("number", CELLS)
def test_a_cell_is_called_impossible_only_where_no_cycle_exists(number: int) -> None:
    """And nothing is proven that the search state by state is better than."""
    cell = crowded(number)
    found = best_on_track(cell, most=MOST)
    try:
        best = best_cycle(cell, effort=Effort(deterministic=0.5, most_sets=1))
    except Contradiction:
        assert found is None
        return
    except ToolError:  # none was found, which is no proof
        return
    if found is not None:
        assert told(cell, found) == []
        assert best.least_steps <= found.period * best.parts_per_period


@pytest.mark.parametrize("number", [15, 17, 18, 34, 44])
def test_nobody_makes_way_where_there_is_no_way_to_make(number: int) -> None:
    """At the last place of a track somebody else can neither stand nor be on its way between two places: with that
    known the cycles of these cells are proven, which were open before."""
    cell = random_two(number)
    found, best = best_on_track(cell, most=MOST), best_cycle(cell, effort=Effort(deterministic=1.0, most_sets=1))

    assert found is not None
    assert (best.period_steps, best.proven) == (found.period, True)


@pytest.mark.parametrize("number", [11, 22, 26])
def test_where_nobody_can_make_way_the_track_is_named(number: int) -> None:
    """No cycle exists, and that is proven; it was only that none was found."""
    assert best_on_track(random_two(number), most=MOST) is None
    with pytest.raises(Contradiction, match="on one track"):
        best_cycle(random_two(number), effort=Effort(deterministic=1.0, most_sets=1))


def test_where_nobody_can_stand_aside_what_is_lacking_is_said() -> None:
    """A cycle exists, in which one is on its way while the other is served; visits that leave room to stand do not."""
    with pytest.raises(NotYet, match=r"no place to stand .* write places for it on the track"):
        best_cycle(crowded(NO_ROOM), effort=Effort(deterministic=0.5, most_sets=1))
