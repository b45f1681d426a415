"""Trays in blocks against proven optima, laid out part by part, and lying parts counted one after the other."""

import itertools
import math
from fractions import Fraction

import pytest

from millhand.formulas.blocks import rectangle_places_five_blocks
from millhand.formulas.packing import rectangle_places_two_ways
from millhand.solvers.packing.layout import Block, blocks_of, middles
from tests.checks import OWN, Check, assert_holds

# Pallet and box on a unit grid: one way, two blocks, five blocks, and the optimum that an exact 0-1 program proved,
# which blocks inside blocks reach wherever five blocks do not.
PROVEN = {
    (48, 30, 11, 7): (16, 16, 17, 17),
    (26, 22, 7, 4): (18, 19, 20, 20),
    (19, 18, 8, 5): (6, 7, 8, 8),
    (72, 50, 13, 6): (40, 44, 45, 45),
    (66, 39, 10, 7): (30, 33, 34, 34),
    (37, 18, 7, 3): (30, 30, 31, 31),
    (49, 45, 8, 5): (54, 54, 55, 55),
    (94, 53, 15, 6): (48, 51, 52, 52),
    (43, 38, 11, 5): (24, 27, 28, 28),
    (52, 31, 11, 4): (28, 34, 36, 36),
    (60, 44, 9, 7): (36, 38, 41, 41),
    (50, 39, 9, 4): (48, 51, 52, 53),
    (35, 14, 5, 4): (21, 23, 23, 24),
    (20, 19, 7, 2): (20, 24, 26, 27),
    (58, 40, 14, 6): (24, 26, 26, 27),
    (19, 17, 7, 3): (12, 14, 14, 15),
}


def inputs(pallet: tuple[int, int, int, int]) -> dict[str, float]:
    """Inputs of one pallet, a unit of the grid taken as 10 mm."""
    names = ("length_m", "width_m", "part_length_m", "part_width_m")
    return {name: size / 100.0 for name, size in zip(names, pallet, strict=True)}


def counted(room: str, piece: str) -> int:
    """How many pieces fit, put in one after the other, in exact fractions."""
    pieces = 0
    while (pieces + 1) * Fraction(piece) <= Fraction(room):
        pieces += 1
    return pieces


def own(formula: str, given: dict[str, float], known: float) -> Check:
    """A count found in a second way."""
    return Check(formula=formula, inputs=given, expected=float(known), key="own_computation", seen=OWN)


LYING = {"length_m": 0.6, "width_m": 0.4, "part_length_m": 0.12, "diameter_m": 0.03}
BUNDLE = {"length_m": 0.5, "width_m": 0.2, "height_m": 0.15, "part_length_m": 0.12, "diameter_m": 0.03}
GAPS = {"part_length_m": 0.09, "part_width_m": 0.05, "grip_gap_m": 0.02, "other_gap_m": 0.006}

CHECKS = [
    *(own("rectangle_places_five_blocks", inputs(pallet), counts[2]) for pallet, counts in PROVEN.items()),
    *(
        own("rectangle_places_nested_blocks", inputs(pallet), counts[3])
        for pallet, counts in PROVEN.items()
        if counts[2] < counts[3]  # the others are reached by five blocks already
    ),
    own(  # tray of 11 x 5.6 cm units less 2 cm rim: one part of 11 x 5.6
        "tray_places_five_blocks", {"length_m": 0.13, "width_m": 0.076} | GAPS, 1
    ),
    own("tray_places_five_blocks", {"length_m": 0.129, "width_m": 0.076} | GAPS, 0),
    own("tray_places_five_blocks", {"length_m": 0.24, "width_m": 0.244} | GAPS, 2 * 4),
    own(  # across the axes 0.58 m of 0.05 m, along them 0.39 m of 0.13 m
        "lying_places",
        LYING | {"side_gap_m": 0.02, "end_gap_m": 0.01},
        counted("0.58", "0.05") * counted("0.39", "0.13"),
    ),
    own(  # layers of 6 and 6: 0.2 m holds 6 of 0.03 m, shifted 0.185 m holds 6; 5 layers in 0.15 m, 4 along
        "bundle_places", BUNDLE | {"end_gap_m": 0.0}, 4 * 6 * (1 + counted("0.12", str(0.03 * math.sqrt(3.0) / 2.0)))
    ),
    own("bundle_places", BUNDLE | {"end_gap_m": 0.01, "length_m": 0.51}, 4 * 30),
    own("bundle_places", BUNDLE | {"end_gap_m": 0.01, "length_m": 0.509}, 3 * 30),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_counts(check: Check) -> None:
    """Both ways give the same count."""
    assert_holds(check)


@pytest.mark.parametrize(("pallet", "counts"), PROVEN.items())
def test_five_blocks_lie_between_two_and_the_optimum(
    pallet: tuple[int, int, int, int], counts: tuple[int, int, int, int]
) -> None:
    """Never below two blocks, never above the proven optimum, and at most one part short of it here."""
    two = rectangle_places_two_ways(**inputs(pallet))
    five = rectangle_places_five_blocks(**inputs(pallet))

    assert two == counts[1] <= five <= counts[3] <= pallet[0] * pallet[1] // (pallet[2] * pallet[3])
    assert five >= counts[3] - 1


def corners(block: Block) -> list[tuple[float, float, float, float]]:
    """Left, right, lower and upper edge of each part of a block."""
    half_x, half_y = block.part_x_m / 2.0, block.part_y_m / 2.0
    return [(x - half_x, x + half_x, y - half_y, y + half_y) for x, y in middles(block)]


@pytest.mark.parametrize("pallet", [*PROVEN, (7, 7, 4, 3), (22, 16, 5, 3), (3, 3, 4, 3)])
def test_the_parts_of_a_layout_lie_on_the_tray_and_on_nothing_else(pallet: tuple[int, int, int, int]) -> None:
    """As many parts as were counted, each inside the rim, no two on top of each other."""
    given = inputs(pallet)
    parts = [part for block in blocks_of(**given) for part in corners(block)]

    assert len(parts) == rectangle_places_five_blocks(**given)
    for left, right, lower, upper in parts:
        assert -1e-9 <= left < right <= given["length_m"] + 1e-9
        assert -1e-9 <= lower < upper <= given["width_m"] + 1e-9
    for one, other in itertools.combinations(parts, 2):
        aside = one[1] <= other[0] + 1e-9 or other[1] <= one[0] + 1e-9
        above = one[3] <= other[2] + 1e-9 or other[3] <= one[2] + 1e-9
        assert aside or above
