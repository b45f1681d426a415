"""iso13857 table 4 (reach through regular openings) and iso13854 (gaps that do not crush), in millimetres."""

import pytest

from millhand.formulas.separation import opening_distance_m
from tests.checks import SEEN, Check, assert_holds

# Opening up to: slot, square, round.
OPENINGS = {
    4: ("2", "2", "2"),
    6: ("10", "5", "5"),
    8: ("20", "15", "5"),
    10: ("80", "25", "20"),
    12: ("100", "80", "80"),
    20: ("120", "120", "120"),
    30: ("850", "120", "120"),
    40: ("850", "200", "120"),
    120: ("850", "850", "850"),
}
GAPS = {
    "body": "500",
    "head": "300",
    "leg": "180",
    "foot": "120",
    "toes": "50",
    "arm": "120",
    "hand": "100",
    "finger": "25",
}


def millimetres(distance_m: float) -> float:
    """Metres as the standards print them."""
    return distance_m * 1000.0


CHECKS = [
    Check(
        formula="opening_distance_m",
        inputs={"opening_m": opening / 1000.0, "shape": shape},
        printed=printed,
        exact=True,
        pick=millimetres,
        key="iso13857",
        seen=SEEN,
    )
    for opening, row in OPENINGS.items()
    for shape, printed in zip(("slot", "square", "round"), row, strict=True)
] + [
    Check(
        formula="crush_gap_m",
        inputs={"body_part": part},
        printed=printed,
        exact=True,
        pick=millimetres,
        key="iso13854",
        seen=SEEN,
    )
    for part, printed in GAPS.items()
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_tables(check: Check) -> None:
    """Each entry of the two tables comes out."""
    assert_holds(check)


@pytest.mark.parametrize("opening_m", [0.0, 0.1201, 0.3])
def test_an_opening_that_the_table_lacks_is_refused(opening_m: float) -> None:
    """Nothing is read off beyond 120 mm, where a body may follow the arm."""
    with pytest.raises(ValueError, match="up to 120 mm"):
        opening_distance_m(opening_m, shape="slot")
