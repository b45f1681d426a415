"""iso13857 table 2 (reaching over, high risk), from memory, in millimetres; and how it is read between its entries."""

import pytest

from millhand.formulas.reaching_over import FENCES_M, OVER_M, fence_for_distance_m, over_fence_distance_m
from tests.checks import MEMORY, Check, assert_holds

FENCES = ("1000", "1200", "1400", "1600", "1800", "2000", "2200", "2400", "2500", "2700")
# Height of the hazard: distance behind fences of the heights above, as the table has them.
TABLE = {
    "2700": ("0", "0", "0", "0", "0", "0", "0", "0", "0", "0"),
    "2600": ("900", "800", "700", "600", "600", "500", "400", "300", "100", "0"),
    "2400": ("1100", "1000", "900", "800", "700", "600", "400", "300", "100", "0"),
    "2200": ("1300", "1200", "1000", "900", "800", "600", "400", "300", "0", "0"),
    "2000": ("1400", "1300", "1100", "900", "800", "600", "400", "0", "0", "0"),
    "1800": ("1500", "1400", "1100", "900", "800", "600", "0", "0", "0", "0"),
    "1600": ("1500", "1400", "1100", "900", "800", "500", "0", "0", "0", "0"),
    "1400": ("1500", "1400", "1100", "900", "800", "0", "0", "0", "0", "0"),
    "1200": ("1500", "1400", "1100", "900", "700", "0", "0", "0", "0", "0"),
    "1000": ("1500", "1400", "1000", "800", "0", "0", "0", "0", "0", "0"),
    "800": ("1500", "1300", "900", "600", "0", "0", "0", "0", "0", "0"),
    "600": ("1400", "1300", "800", "0", "0", "0", "0", "0", "0", "0"),
    "400": ("1400", "1200", "400", "0", "0", "0", "0", "0", "0", "0"),
    "200": ("1200", "900", "0", "0", "0", "0", "0", "0", "0", "0"),
    "0": ("1100", "500", "0", "0", "0", "0", "0", "0", "0", "0"),
}


def millimetres(distance_m: float) -> float:
    """Metres as the table has them."""
    return distance_m * 1000.0


CHECKS = [
    Check(
        formula="over_fence_distance_m",
        inputs={"fence_m": float(fence) / 1000.0, "low_m": float(height) / 1000.0, "top_m": float(height) / 1000.0},
        printed=printed,
        exact=True,
        pick=millimetres,
        key="iso13857_over",
        seen=MEMORY,
        beyond="the table has them; lower fences want further measures" if float(fence) < 1400.0 else "",
    )
    for height, row in TABLE.items()
    for fence, printed in zip(FENCES, row, strict=True)
] + [
    Check(
        formula="fence_for_distance_m",
        inputs={"distance_m": distance_m, "low_m": top_m, "top_m": top_m},
        printed=printed,
        exact=True,
        pick=millimetres,
        key="iso13857_over",
        seen=MEMORY,
    )
    for distance_m, top_m, printed in ((0.5, 1.6, "2000"), (0.3, 2.2, "2400"), (0.05, 2.4, "2700"), (0.9, 2.0, "1600"))
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_table(check: Check) -> None:
    """Each entry comes out."""
    assert_holds(check)


def test_a_higher_fence_never_asks_for_more() -> None:
    """Along each row; and from some height on a lower hazard asks for less than a higher one, and back."""
    for row in OVER_M.values():
        assert list(row) == sorted(row, reverse=True)
    for column in range(len(FENCES_M)):
        heights = [row[column] for row in OVER_M.values()]
        most = heights.index(max(heights))
        assert heights[: most + 1] == sorted(heights[: most + 1])
        assert heights[most:][::-1] == sorted(heights[most:])


def test_between_two_entries_the_more_careful_one_counts() -> None:
    """A fence of 1.95 m is one of 1.8 m; a hazard at 1.5 m asks for what 1.4 and 1.6 m ask for, the greater of them."""
    assert over_fence_distance_m(1.95, low_m=1.4, top_m=1.4) == 0.8
    assert over_fence_distance_m(2.0, low_m=1.5, top_m=1.5) == 0.5
    assert over_fence_distance_m(3.0, low_m=0.0, top_m=5.0) == 0.0


def test_of_all_heights_that_an_arm_meets_the_worst_counts() -> None:
    """Behind 2 m it lies between 1.8 and 2.4 m, whatever the arm does above and below."""
    assert over_fence_distance_m(2.0, low_m=0.0, top_m=3.0) == 0.6
    assert over_fence_distance_m(2.0, low_m=0.0, top_m=1.4) == 0.0


def test_a_fence_that_the_table_lacks_is_refused() -> None:
    """Below a metre nothing is read off."""
    with pytest.raises(ValueError, match="fences of 1 m and higher"):
        over_fence_distance_m(0.9, low_m=0.0, top_m=1.0)


def test_the_fence_for_a_distance_is_the_lowest_that_asks_for_no_more() -> None:
    """For any distance and any reach upwards: the fence does, and the next lower one of the table does not."""
    for tenths in range(13):
        for top_m in (0.6, 1.4, 2.0, 2.4, 3.0):
            fence = fence_for_distance_m(tenths / 10.0, low_m=0.0, top_m=top_m)
            lower = max((each for each in FENCES_M if 1.4 <= each < fence), default=None)

            assert over_fence_distance_m(fence, low_m=0.0, top_m=top_m) <= tenths / 10.0 + 1e-9
            assert lower is None or over_fence_distance_m(lower, low_m=0.0, top_m=top_m) > tenths / 10.0
