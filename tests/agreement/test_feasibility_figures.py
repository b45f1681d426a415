"""What a concept is asked for and offers, by counting piece by piece, and plan geometry by other ways."""

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import pytest

from millhand.formulas.feasibility import margin_share
from tests.checks import OWN, Check, assert_holds


def own(formula: str, inputs: Mapping[str, Any], expected: float) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def counted(room: Fraction, piece: Fraction, most: int = 10**6) -> float:
    """How many pieces fit, put in one after the other, in exact fractions."""
    pieces = 0
    while pieces < most and (pieces + 1) * piece <= room:
        pieces += 1
    return float(pieces)


def made_one_by_one(processes: list[int], gaps: list[int], parts: list[int]) -> float:
    """Seconds that a machine gives to one part: many loads run through, divided by the parts made."""
    total = sum(Fraction(process + gap, count) for process, gap, count in zip(processes, gaps, parts, strict=True))
    return float(total)


CHECKS = [
    own("time_of_parts_s", {"parts": 40.0, "rate_parts_per_h": 22.5}, 40.0 * 160.0),
    own(  # from 62 mm raw down to 55 mm finished, 1 mm of scatter, 4 mm to let go
        "jaw_travel_m",
        {"raw_m": 0.062, "finished_m": 0.055, "tolerance_m": 0.001, "clearance_m": 0.004},
        0.012,
    ),
    own("margin_share", {"demand": 15.0, "limit": 20.0}, 0.25),
    own("margin_share", {"demand": 30.0, "limit": 20.0}, -0.5),
    own(
        "stack_layers",
        {"stand_height_m": 1.2, "part_height_m": 0.04, "extra_m": 0.06, "most": 14.0},
        counted(Fraction("1.2"), Fraction("0.10"), most=14),
    ),
    own(
        "stack_layers",
        {"stand_height_m": 1.2, "part_height_m": 0.02, "extra_m": 0.05, "most": 14.0},
        counted(Fraction("1.2"), Fraction("0.07"), most=14),
    ),
    own(
        "places_by_mass",
        {"mass_max_kg": 60.0, "part_kg": 0.3, "tray_kg": 3.0},
        counted(Fraction(57), Fraction("0.3")),
    ),
    own(
        "places_by_volume",
        {"volume_m3": 0.06, "fill_share": 0.5, "length_m": 0.04, "width_m": 0.03, "height_m": 0.05},
        counted(Fraction("0.03"), Fraction("0.00006")),
    ),
    own("layered_parts", {"layers": 10.0, "places": (12.0, 15.0)}, float(sum(12 for _ in range(10)))),
    own("least", {"values": (96.0, 40.0, 55.0)}, sorted((96.0, 40.0, 55.0))[0]),
    own("limit_of_machines_parts", {"each_parts": 180.0, "machines": 3.0}, 180.0 + 180.0 + 180.0),
    own("mass_of_hands_kg", {"each_kg": 0.6, "hands": 2.0}, 1.2),
    own(
        "machine_time_per_part_s",
        {"processes_s": (300.0, 95.0), "gaps_s": (40.0, 25.0), "parts_per_load": (2.0, 1.0)},
        made_one_by_one([300, 95], [40, 25], [2, 1]),
    ),
    own(
        "attendant_time_per_part_s",
        {"works_s": (60.0, 40.0), "parts_per_load": (2.0, 1.0)},
        made_one_by_one([60, 40], [0, 0], [2, 1]),
    ),
    own("machines_time_per_part_s", {"times_s": (300.0, 120.0), "machines": (2.0, 1.0)}, 150.0),
    own("shared_time_per_part_s", {"time_s": 35.0, "attendants": 2.0}, float(Fraction(3500, 200))),
    own("machines_time_per_part_s", {"times_s": (300.0, 120.0), "machines": (3.0, 1.0)}, 120.0),
    own("steady_rate_parts_per_h", {"machines_s": 180.0, "attendant_s": 60.0}, 20.0),
    own("steady_rate_parts_per_h", {"machines_s": 45.0, "attendant_s": 60.0}, 60.0),
    own("parts_in_time", {"rate_parts_per_h": 22.5, "time_s": 8.0 * 3600.0}, 180.0),
    own("mean_lifts_per_min", {"rate_parts_per_h": 45.0, "lifts_per_part": 2.0}, 90.0 / 60.0),
    own("count_of_all", {"counts": (2.0, 1.0, 4.0)}, 7.0),
    own("length_h", {"length_s": 27_000.0}, 7.5),
    own("sum_of_lengths_m", {"lengths_m": (1.5, 2.0, 0.75)}, 4.25),
    own("difference_m", {"length_m": 0.9, "less_m": 1.25}, -0.35),
    own("mean_of_lengths_m", {"lengths_m": (0.0, 3.0, 4.5)}, 2.5),
    own("greatest_of_lengths_m", {"lengths_m": (0.9, 1.4, 1.1)}, 1.4),
    own(
        "plan_distance_m",
        {"x_m": 1.0, "y_m": -2.0, "to_x_m": 4.0, "to_y_m": 2.5},
        abs(complex(4.0, 2.5) - complex(1.0, -2.0)),
    ),
    own("walked_m", {"time_s": 5.0, "speed_m_s": 1.2}, 6.0),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)


def test_nothing_on_offer_leaves_no_margin() -> None:
    """A limit of nothing is missed by the whole demand, and just met by no demand."""
    assert margin_share(5.0, limit=0.0) == -1.0
    assert margin_share(0.0, limit=0.0) == 0.0
    assert math.isclose(margin_share(0.0, limit=7.0), 1.0)
