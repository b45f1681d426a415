"""Reaching over where the risk is low: at_amvo, annex C, in millimetres; wac_296_806, table 200-2, in inches."""

import pytest

from millhand.formulas.reaching_over import (
    FENCES_M,
    LOW_FENCES_M,
    LOW_OVER_M,
    over_fence_distance_m,
    over_fence_low_risk_distance_m,
)
from tests.checks import MEMORY, SEEN, Check, assert_holds

EDGES = (2400, 2200, 2000, 1800, 1600, 1400, 1200, 1000)
# Height of the hazard: distance behind edges of the heights above, "-" where none is asked for.
MILLIMETRES = {
    2400: "100 100 100 100 100 100 100 100",
    2200: "- 250 350 400 500 500 600 600",
    2000: "- - 350 500 600 700 900 1100",
    1800: "- - - 600 900 900 1000 1100",
    1600: "- - - 500 900 900 1000 1300",
    1400: "- - - 100 800 900 1000 1300",
    1200: "- - - - 500 900 1000 1400",
    1000: "- - - - 300 900 1000 1400",
    800: "- - - - - 600 900 1300",
}
BELOW = {600: "- - - - - - 500 1200", 400: "- - - - - - 300 1200", 200: "- - - - - - 200 1100"}  # from memory
BARRICADES_IN = (96, 86, 78, 71, 63, 55, 48, 40)
# Height of the hazard in inches, the same rows as above from the top: distances in inches, dots for none.
INCHES = {
    96: "0 4 4 4 4 4 4 4",
    86: ". 10 14 16 20 20 24 24",
    78: ". . 14 20 24 28 36 43",
    71: ". . . 24 36 36 40 43",
    63: ". . . 20 36 36 40 51",
    55: ". . . 4 32 36 40 51",
    48: ". . . . 20 36 40 55",
    40: ". . . . 12 36 40 55",
    32: ". . . . . 24 36 51",
    24: ". . . . . . 20 48",
    16: ". . . . . . 12 48",
    8: ". . . . . . 8 43",
}
INCH_M = 0.0254


def millimetres(distance_m: float) -> float:
    """Metres as the annex has them."""
    return distance_m * 1000.0


def number(printed: str) -> float:
    """A printed entry, nought where none is asked for."""
    return 0.0 if printed in "-." else float(printed)


def low(fence: float, height: float) -> float:
    """The distance behind one fence for one height, in metres."""
    return over_fence_low_risk_distance_m(fence, low_m=height, top_m=height)


CHECKS = [
    Check(
        formula="over_fence_low_risk_distance_m",
        inputs={"fence_m": edge / 1000.0, "low_m": height / 1000.0, "top_m": height / 1000.0},
        printed="0" if printed == "-" else printed,
        exact=True,
        pick=millimetres,
        key="at_amvo",
        seen=seen,
    )
    for rows, seen in ((MILLIMETRES, SEEN), (BELOW, MEMORY))
    for height, row in rows.items()
    for edge, printed in zip(EDGES, row.split(), strict=True)
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_annex(check: Check) -> None:
    """Each entry comes out."""
    assert_holds(check)


def test_both_law_texts_agree() -> None:
    """Row by row and edge by edge, an inch of rounding apart; but for a hazard as high as an edge of 2.4 m, where one
    asks for 100 mm and the other for nothing: the greater one counts here."""
    rows = {**MILLIMETRES, **BELOW}
    apart = [
        (height, edge)
        for (height, printed), inches in zip(rows.items(), INCHES.values(), strict=True)
        for edge, mm, inch in zip(EDGES, printed.split(), inches.split(), strict=True)
        if abs(number(mm) / 1000.0 - number(inch) * INCH_M) > INCH_M
    ]

    assert apart == [(2400, 2400)]
    assert low(2.4, 2.4) == 0.1


def test_the_heights_of_both_are_the_same() -> None:
    """Edges and hazards in inches are those in millimetres, rounded."""
    rows = (*MILLIMETRES, *BELOW)

    assert max(abs(mm / 1000.0 - inch * INCH_M) for mm, inch in zip(rows, INCHES, strict=True)) < 0.04
    assert max(abs(mm / 1000.0 - inch * INCH_M) for mm, inch in zip(EDGES, BARRICADES_IN, strict=True)) < 0.04


def test_nothing_is_read_between_two_entries() -> None:
    """A fence of 1.9 m is one of 1.8 m; one at 1.5 m asks for the more of 1.4 and 1.6 m."""
    assert low(1.9, 1.8) == low(1.8, 1.8) == 0.6
    assert low(1.7, 1.5) == 0.9
    assert low(1.0, 0.0) == low(1.0, 0.1) == 1.1
    assert low(1.0, 2.45) == 0.1
    assert low(1.0, 2.6) == 0.0


def test_a_low_risk_asks_for_no_more_than_a_high_one() -> None:
    """Wherever both tables stand, a hazard from 2.5 m up left out, which only the high risk counts."""
    for fence in LOW_FENCES_M:
        assert fence in FENCES_M
        for height in LOW_OVER_M:
            assert low(fence, height) <= over_fence_distance_m(fence, low_m=height, top_m=height) + 1e-9


def test_a_fence_below_a_metre_is_refused() -> None:
    """Neither table knows it."""
    with pytest.raises(ValueError, match="1 m and higher"):
        over_fence_low_risk_distance_m(0.9, low_m=0.0, top_m=1.0)
