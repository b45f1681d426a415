"""Arrangements of machines that nobody placed: by the plane geometry that an engineer draws."""

import math
from itertools import combinations

import pytest

from millhand.solvers.placing.arranged import Arrangement, Unplaced, arrangements
from millhand.solvers.placing.site import Rect, gap_m

WIDTH, DEPTH, SPACING, FOOT, AISLE, NARROW = 2.4, 2.2, 3.5, 0.6, 0.8, 0.6


def tried(count: int, *, stays: bool = True) -> dict[str, Arrangement]:
    """All arrangements of so many machines by their names."""
    of = Unplaced(
        widths_m=(WIDTH,) * count, spacings_m=(SPACING,) * count, foot_m=FOOT, aisle_m=AISLE, narrow_m=NARROW,
        stays=stays,
    )  # fmt: skip
    return {each.name: each for each in arrangements(of)}


def blocks(arrangement: Arrangement) -> list[Rect]:
    """The machines behind their doors."""
    found = []
    for x, y, (dx, dy) in arrangement.fronts:
        sides = (DEPTH, WIDTH) if dx else (WIDTH, DEPTH)
        middle = (x - dx * DEPTH / 2.0, y - dy * DEPTH / 2.0)
        found.append(Rect(name="", x_m=middle[0], y_m=middle[1], width_m=sides[0], depth_m=sides[1]))
    return found


def test_one_machine_stands_as_it_stands() -> None:
    """There is nothing to arrange."""
    assert list(tried(1)) == ["row"]


@pytest.mark.parametrize(
    ("count", "stays", "names"),
    [
        (2, True, {"row", "facing", "facing_close", "corner"}),
        (3, True, {"row", "facing", "facing_close", "horseshoe"}),
        (5, True, {"row", "facing", "facing_close"}),
        (2, False, {"row"}),  # two that face each other need no track
        (3, False, {"row", "facing", "facing_close"}),
    ],
)
def test_few_are_tried(count: int, stays: bool, names: set[str]) -> None:
    """At most four, whatever the number of machines, and the row is the first."""
    found = tried(count, stays=stays)

    assert set(found) == names
    assert next(iter(found)) == "row"


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6])
def test_no_machine_stands_in_another(count: int) -> None:
    """All blocks of every arrangement, pairwise; the first machine stays at the origin."""
    for each in tried(count).values():
        assert all(gap_m(one, other) >= 0.0 for one, other in combinations(blocks(each), 2)), each.name
        assert each.fronts[0] == (0.0, 0.0, (0, -1))


def test_two_rows_leave_an_aisle_on_either_side_of_the_foot() -> None:
    """From door plane to door plane; the machine that ends the round stands over against the first."""
    x, y, faces = tried(4)["facing"].fronts[-1]

    assert (x, y, faces) == (0.0, pytest.approx(-(FOOT + 2 * AISLE)), (0, 1))
    assert tried(4)["facing_close"].fronts[-1][1] == pytest.approx(-(FOOT + 2 * NARROW))


def test_machines_round_an_arm_look_at_one_place() -> None:
    """In an L and in a U the doors look at right angles, and a foot an aisle before each is the same place."""
    (_, _, first), (x, y, second) = tried(2)["corner"].fronts
    third = tried(3)["horseshoe"].fronts[2]

    assert first[0] * second[0] + first[1] * second[1] == 0
    assert x == pytest.approx(FOOT / 2 + AISLE)
    assert math.isclose(y, -(WIDTH / 2 + 0.05))
    assert third == (-x, y, (1, 0))
