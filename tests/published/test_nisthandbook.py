"""nisthandbook, 7.1.6: quartiles and inner fences of ninety ordered values; molin2007: limits of a distance."""

import pytest

from tests.checks import MEMORY, SEEN, Check, assert_holds

NINETY = [
    30, 171, 184, 201, 212, 250, 265, 270, 272, 289, 305, 306, 322, 322, 336, 346, 351, 370, 390, 404, 409, 411, 436,
    437, 439, 441, 444, 448, 451, 453, 470, 480, 482, 487, 494, 495, 499, 503, 514, 521, 522, 527, 548, 550, 559, 560,
    570, 572, 574, 578, 585, 592, 592, 607, 616, 618, 621, 629, 637, 638, 640, 656, 668, 707, 709, 719, 737, 739, 752,
    758, 766, 792, 792, 794, 802, 818, 830, 832, 843, 858, 860, 869, 918, 925, 953, 991, 1000, 1005, 1068, 1441,
]  # fmt: skip

CHECKS = [
    Check(
        formula="inner_fences_s",
        inputs={"readings_s": NINETY},
        printed="-39.0",
        pick=lambda fences: fences[0],
        key="nisthandbook",
        seen=SEEN,
    ),
    Check(
        formula="inner_fences_s",
        inputs={"readings_s": NINETY},
        printed="1211.0",
        pick=lambda fences: fences[1],
        key="nisthandbook",
        seen=SEEN,
    ),
    Check(formula="distance_limit", inputs={"readings": 20}, printed="0.192", key="molin2007", seen=MEMORY),
    Check(formula="distance_limit", inputs={"readings": 10}, printed="0.262", key="molin2007", seen=MEMORY),
    Check(formula="distance_limit", inputs={"readings": 30}, printed="0.159", key="molin2007", seen=MEMORY),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_fences_and_limits(check: Check) -> None:
    """The printed fences and limits come out."""
    assert_holds(check)


def test_one_of_the_ninety_lies_beyond_a_fence() -> None:
    """1441, as the handbook says, and no other."""
    from millhand.formulas.timestudy import inner_fences_s

    low, high = inner_fences_s(NINETY)

    assert [value for value in NINETY if not low <= value <= high] == [1441]
