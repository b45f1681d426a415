"""The pattern that is chosen is the one that holds most, by counting each of them."""

import pytest

from millhand.formulas import REGISTER
from millhand.solvers.packing.patterns import Footprint, best_pattern


def part(length_m: float, width_m: float, *, is_round: bool = False, gap_m: float = 0.0) -> Footprint:
    """A part with the same gap on all sides."""
    return Footprint(round=is_round, length_m=length_m, width_m=width_m, grip_gap_m=gap_m, other_gap_m=gap_m)


def test_shifted_rows_win_for_many_discs() -> None:
    """162 against 150 discs of 40 mm on 600 x 400 mm."""
    disc = part(0.04, 0.04, is_round=True)

    assert best_pattern(0.6, width_m=0.4, part=disc) == "hexagonal_places"
    assert REGISTER["hexagonal_places"].function(0.6, width_m=0.4, diameter_m=0.04) == 162


def test_rows_win_where_shifting_brings_nothing() -> None:
    """Two discs beside each other: a tie goes to the simpler pattern."""
    assert best_pattern(0.2, width_m=0.1, part=part(0.1, 0.1, is_round=True)) == "tray_places"


def test_two_blocks_win_where_a_strip_is_left() -> None:
    """7 x 7 with 4 x 3: all alike hold two, two blocks hold three."""
    assert best_pattern(0.7, width_m=0.7, part=part(0.4, 0.3)) == "rectangle_places_two_ways"


@pytest.mark.parametrize("gap_m", [0.0, 0.006, 0.018])
def test_rectangles_that_tile_stay_in_rows(gap_m: float) -> None:
    """Where rows fill the tray, nothing beats them."""
    tray_m = 4 * (0.1 + gap_m) + gap_m

    assert best_pattern(tray_m, width_m=tray_m, part=part(0.1, 0.1, gap_m=gap_m)) == "tray_places"


def test_a_part_larger_than_the_tray_is_no_crash() -> None:
    """No pattern holds one: the simplest stands, with nothing in it."""
    assert best_pattern(0.1, width_m=0.1, part=part(0.5, 0.3, gap_m=0.02)) == "tray_places"
