"""iso13855_2010 and iso13855_2024: distances by approach speed, printed in millimetres."""

import pytest

from millhand.formulas.separation import (
    separation_2010_curtain_m,
    separation_2010_scanner_m,
    separation_2024_curtain_m,
)
from tests.checks import MEMORY, OWN, SEEN, Check, Seen, assert_holds

OLD, NEW = "iso13855_2010", "iso13855_2024"


def millimetres(distance_m: float) -> float:
    """Metres as the standard prints them."""
    return distance_m * 1000.0


def distance(formula: str, printed: str, *, key: str, seen: Seen, **inputs: float) -> Check:
    """One distance; the printed millimetres are exact, as the inputs are round."""
    return Check(formula=formula, inputs=inputs, printed=printed, exact=True, pick=millimetres, key=key, seen=seen)


CHECKS = [
    distance("separation_2010_curtain_m", "512", key=OLD, seen=SEEN, stopping_s=0.32, resolution_m=0.014),
    distance("separation_2010_curtain_m", "328", key=OLD, seen=OWN, stopping_s=0.10, resolution_m=0.030),
    distance("separation_2010_curtain_m", "500", key=OLD, seen=OWN, stopping_s=0.20, resolution_m=0.030),
    distance("separation_2010_curtain_m", "100", key=OLD, seen=OWN, stopping_s=0.03, resolution_m=0.014),
    distance("separation_2010_curtain_m", "608", key=OLD, seen=OWN, stopping_s=0.30, resolution_m=0.030),
    distance("separation_2010_curtain_m", "308", key=OLD, seen=OWN, stopping_s=0.05, resolution_m=0.040),
    distance("separation_2010_curtain_m", "500", key=OLD, seen=OWN, stopping_s=0.252, resolution_m=0.014),
    distance("separation_2024_curtain_m", "308", key=NEW, seen=OWN, stopping_s=0.05, resolution_m=0.040),
    distance("separation_2010_beam_m", "1840", key=OLD, seen=SEEN, stopping_s=0.4),
    distance("separation_2010_coarse_curtain_m", "1250", key=OLD, seen=MEMORY, stopping_s=0.25),
    distance("separation_2010_scanner_m", "1880", key=OLD, seen=SEEN, stopping_s=0.5, height_m=0.3),
    distance("separation_2010_scanner_m", "1680", key=OLD, seen=OWN, stopping_s=0.3, height_m=0.0),
    distance("separation_2010_scanner_m", "1650", key=OLD, seen=OWN, stopping_s=0.5, height_m=1.0),
    distance("separation_2010_two_hand_m", "650", key=OLD, seen=MEMORY, stopping_s=0.25, covered=False),
    distance("separation_2010_two_hand_m", "100", key=OLD, seen=MEMORY, stopping_s=0.04, covered=True),
    distance("separation_2024_curtain_m", "512", key=NEW, seen=MEMORY, stopping_s=0.32, resolution_m=0.014),
    distance("separation_2024_two_hand_m", "950", key=NEW, seen=SEEN, stopping_s=0.25, covered=False),
    distance("separation_2024_two_hand_m", "100", key=NEW, seen=OWN, stopping_s=0.04, covered=True),
    distance("separation_2024_scanner_m", "2000", key=NEW, seen=OWN, stopping_s=0.5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_distance_by_approach_speed(check: Check) -> None:
    """Each distance comes out to the millimetre, in its edition."""
    assert_holds(check)


def test_what_the_formulas_do_not_cover_is_refused() -> None:
    """A coarse curtain, and a field too high, give no distance that may be too short."""
    with pytest.raises(ValueError, match="separation_2010_coarse_curtain_m"):
        separation_2010_curtain_m(0.2, resolution_m=0.0401)
    with pytest.raises(ValueError, match="not held here"):
        separation_2024_curtain_m(0.2, resolution_m=0.0401)
    with pytest.raises(ValueError, match="from the floor to 1 m"):
        separation_2010_scanner_m(0.2, height_m=1.005)


def test_the_parallel_approach_grew_with_the_edition() -> None:
    """A field at 0.3 m lies 120 mm further out by the later edition, so the edition must be named."""
    later = Check(
        formula="separation_2024_scanner_m",
        inputs={"stopping_s": 0.5},
        printed="120",
        exact=True,
        pick=lambda later_m: millimetres(later_m - separation_2010_scanner_m(0.5, height_m=0.3)),
        key=NEW,
        seen=OWN,
    )

    assert_holds(later)
