"""Trays by patterns: counts worked separately, best known counts as a ceiling."""

import pytest

from tests.checks import MEMORY, OWN, Check, assert_holds

TRAYS = {  # length, width, diameter in mm: square, shifted rows
    (600, 400, 40): (150, 162),
    (600, 400, 55): (70, 80),
    (600, 400, 75): (40, 45),
    (800, 600, 60): (130, 143),
    (1200, 800, 90): (104, 125),
    (400, 300, 32): (108, 120),
    (1000, 1000, 70): (196, 216),
}
# Trays on the brink: a millimetre or a wrong sign of a gap would change the count. Worked by hand, in mm and 0.1 mm.
TIGHT_HEXAGONS = {(219.9, 80.0, 40.0): 9, (220.0, 80.0, 40.0): 10, (100.0, 108.9, 40.0): 4}
GAPPED = {(320, 100): 2, (130, 170): 2, (100, 320): 2, (170, 130): 2, (290, 240): 10}  # part 90 x 50, gaps 20 and 6
PALLETS = {  # length, width, part length, part width: one way, two blocks, proven best of all patterns
    (7, 7, 4, 3): (2, 3, 4),
    (22, 16, 5, 3): (21, 22, 23),
    (10, 10, 4, 3): (6, 7, 8),
    (12, 8, 4, 3): (8, 8, 8),
    (12, 10, 4, 3): (9, 10, 10),
    (12, 8, 6, 4): (4, 4, 4),
    (12, 8, 3, 2): (16, 16, 16),
    (13, 11, 4, 3): (9, 11, 11),
    (14, 10, 3, 2): (21, 23, 23),
}


def round_parts(tray: tuple[float, float, float]) -> dict[str, float]:
    """Inputs of a tray of round parts."""
    return {"length_m": tray[0] / 1000, "width_m": tray[1] / 1000, "diameter_m": tray[2] / 1000}


def rectangles(pallet: tuple[int, int, int, int]) -> dict[str, float]:
    """Inputs of a pallet of rectangles."""
    names = ("length_m", "width_m", "part_length_m", "part_width_m")
    return {name: size / 10.0 for name, size in zip(names, pallet, strict=True)}


def gapped(tray: tuple[int, int]) -> dict[str, float]:
    """Inputs of a tray of parts of 90 mm by 50 mm with room for fingers."""
    part = {"part_length_m": 0.09, "part_width_m": 0.05, "grip_gap_m": 0.02, "other_gap_m": 0.006}
    return {"length_m": tray[0] / 1000, "width_m": tray[1] / 1000} | part


def places(formula: str, inputs: dict[str, float], known: int, key: str = "own_computation") -> Check:
    """One count, which must be met exactly."""
    return Check(formula=formula, inputs=inputs, expected=float(known), key=key, seen=OWN)


CHECKS = [
    *(places("grid_places", round_parts(tray), counts[0]) for tray, counts in TRAYS.items()),
    *(places("hexagonal_places", round_parts(tray), counts[1]) for tray, counts in TRAYS.items()),
    *(places("hexagonal_places", round_parts(tray), known) for tray, known in TIGHT_HEXAGONS.items()),
    *(places("tray_places", gapped(tray), known) for tray, known in GAPPED.items()),
    *(places("rectangle_places", rectangles(pallet), counts[0]) for pallet, counts in PALLETS.items()),
    *(places("rectangle_places_two_ways", rectangles(pallet), counts[1]) for pallet, counts in PALLETS.items()),
    Check(
        formula="grid_places",
        inputs={"length_m": 6.0, "width_m": 6.0, "diameter_m": 1.0},
        printed="36",
        exact=True,
        key="szabo2007",
        seen=MEMORY,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_counts(check: Check) -> None:
    """Each pattern holds as many parts as counted separately."""
    assert_holds(check)


@pytest.mark.parametrize(("pallet", "counts"), PALLETS.items())
def test_a_pattern_never_beats_the_proven_best(pallet: tuple[int, ...], counts: tuple[int, int, int]) -> None:
    """One way holds no more than two blocks, and two blocks no more than the best of all patterns."""
    assert counts[0] <= counts[1] <= counts[2] <= pallet[0] * pallet[1] // (pallet[2] * pallet[3])
