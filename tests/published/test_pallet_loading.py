"""martins2008: pallets of equal rectangles, proven optima; bischoff1982: what five blocks hold of them."""

import pytest

from millhand.formulas.blocks import rectangle_places_five_blocks
from millhand.formulas.packing import rectangle_places_two_ways
from tests.checks import OWN, Check, assert_holds

# Pallet and box on a unit grid: the proven optimum of all patterns, as text.
OPTIMA = {
    (7, 7, 4, 3): "4",  # the pinwheel
    (22, 16, 5, 3): "23",
    (10, 10, 4, 3): "8",
    (12, 8, 4, 3): "8",  # 1200 x 800 with 400 x 300
    (12, 10, 4, 3): "10",
    (12, 8, 6, 4): "4",
    (12, 8, 3, 2): "16",
    (13, 11, 4, 3): "11",
    (14, 10, 3, 2): "23",
}
NESTED = {(22, 16, 5, 3)}  # needs blocks inside blocks: five blocks hold one part less


def inputs(pallet: tuple[int, int, int, int]) -> dict[str, float]:
    """Inputs of one pallet, a unit of the grid taken as 0.1 m."""
    names = ("length_m", "width_m", "part_length_m", "part_width_m")
    return {name: size / 10.0 for name, size in zip(names, pallet, strict=True)}


CHECKS = [
    Check(formula=formula, inputs=inputs(pallet), printed=optimum, exact=True, key="martins2008", seen=OWN)
    for formula in ("rectangle_places_five_blocks", "rectangle_places_nested_blocks")
    for pallet, optimum in OPTIMA.items()
    if formula == "rectangle_places_nested_blocks" or pallet not in NESTED
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_blocks_reach_the_optimum(check: Check) -> None:
    """Where the best pattern is made of five blocks it is found; blocks inside blocks reach them all."""
    assert_holds(check)


@pytest.mark.parametrize(("pallet", "optimum"), OPTIMA.items())
def test_no_pattern_beats_the_proven_optimum(pallet: tuple[int, int, int, int], optimum: str) -> None:
    """Two blocks, five blocks, optimum, area: in this order; five blocks stay within 5 % of the optimum."""
    five = rectangle_places_five_blocks(**inputs(pallet))

    assert rectangle_places_two_ways(**inputs(pallet)) <= five <= int(optimum)
    assert five * pallet[2] * pallet[3] <= pallet[0] * pallet[1]
    assert five >= 0.95 * int(optimum)


def test_blocks_inside_blocks_hold_one_more() -> None:
    """The known instance of 22 x 16 with 5 x 3: 23 are proven and found by nesting, five blocks find 22."""
    assert rectangle_places_five_blocks(**inputs((22, 16, 5, 3))) == 22
