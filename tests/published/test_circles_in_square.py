"""szabo2007, oeis_a337020: equal circles in a square; no pattern may hold more than the best that is known."""

import math

import pytest

from millhand.formulas.packing import grid_places, hexagonal_places

# szabo2007, table 1.2 (from memory, not re-read): circles and their greatest known radius in the unit square.
RADII = {
    1: "0.5", 2: "0.292893", 3: "0.254333", 4: "0.25", 5: "0.207107", 6: "0.187681", 7: "0.174458", 8: "0.170541",
    9: "0.166667", 10: "0.148204", 11: "0.142399", 12: "0.139959", 13: "0.133994", 14: "0.129332", 15: "0.127167",
    16: "0.125", 17: "0.117197", 18: "0.115521", 19: "0.112265", 20: "0.111382", 25: "0.1", 30: "0.091671",
    36: "0.083333",
}  # fmt: skip
# oeis_a337020 (seen in published text): most circles of area 1 in a square of area n, n from 1 on.
IN_AREA = (
    "0", "1", "1", "2", "3", "4", "4", "5", "5", "6", "8", "9", "9", "9", "10", "11", "12", "13", "13", "15",
    "16", "16", "16", "18", "18", "20", "20", "21", "22", "22", "24", "25", "25", "25", "27", "27", "28", "30",
    "30",
)  # fmt: skip
ROWS_HOLD = {1, 4, 9, 16, 25, 36}  # squares of rows are the best known there
SQUARES = {(1.0, 0.07): 219, (8.0, 1.0): 68, (7.0, 1.0): 49, (6.0, 1.0): 36}  # side, diameter: best known


def most(side_m: float, diameter_m: float) -> int:
    """The better of rows and shifted rows."""
    rows = grid_places(side_m, width_m=side_m, diameter_m=diameter_m)
    return max(rows, hexagonal_places(side_m, width_m=side_m, diameter_m=diameter_m))


@pytest.mark.parametrize(("count", "radius"), RADII.items())
def test_no_more_circles_than_the_best_known_radius_allows(count: int, radius: str) -> None:
    """A little above the best known radius of n circles no pattern holds n; where rows are the best they hold n."""
    last_digit = 1e-6  # the table has six digits, zeros at the end left out

    assert most(1.0, 2.0 * (float(radius) + last_digit)) < count
    if count in ROWS_HOLD:
        assert most(1.0, 2.0 * (float(radius) - last_digit)) >= count


@pytest.mark.parametrize(("area", "known"), [*enumerate(IN_AREA, start=1)])
def test_circles_of_area_one(area: int, known: str) -> None:
    """In a square of whole area no pattern holds more than the sequence says."""
    assert most(math.sqrt(area), 2.0 / math.sqrt(math.pi)) <= int(known)


@pytest.mark.parametrize(("square", "known"), SQUARES.items())
def test_large_trays_stay_below_the_best_known(square: tuple[float, float], known: int) -> None:
    """Within a tenth of the best known count, and never above it."""
    assert 0.9 * known <= most(*square) <= known
