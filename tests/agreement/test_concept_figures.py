"""Figures of layouts and checks by a second way: counting, stepping through time, exact fractions, complex numbers."""

import math
from fractions import Fraction
from itertools import count

import pytest

from tests.checks import OWN, Check, assert_holds


def own(formula: str, expected: float, **inputs: object) -> Check:
    """A value found in a second way, here in this file."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def counted(room_mm: int, pitch_mm: int) -> int:
    """How many pitches go into a room, by laying them one after the other."""
    return next(number for number in count() if (number + 1) * pitch_mm > room_mm)


def stepped_parts_per_h(machines: int, machine_s: int, attendant_s: int) -> float:
    """Parts an hour of equal machines with one attendant, second by second, after a long run.

    Each machine needs machine_s in all for a part, of which the attendant's own time is left out: the bound supposes
    that he never keeps a machine waiting, so the two resources are stepped through apart and the slower one counts.
    """
    seconds = 3_600_000
    by_machines = sum(seconds // machine_s for _ in range(machines))
    by_attendant = seconds // attendant_s
    return min(by_machines, by_attendant) * 3600 / seconds


CHECKS = [
    own("sum_of_lengths_m", float(Fraction(33, 10)), lengths_m=(1.2, 0.85, 1.25)),
    own("sum_of_lengths_m", 0.0, lengths_m=()),
    own(
        "sill_height_m",
        float(Fraction(11, 10) - Fraction(2, 5) * Fraction(9, 10)),
        load_height_m=1.1,
        opening_m=0.9,
        sill_share=0.4,
    ),
    own("sill_height_m", 0.0, load_height_m=0.3, opening_m=1.0, sill_share=0.5),
    own(  # a 1 m x 2 m rectangle at the origin, a door at (3, 2): 3.5 m by 3 m, half a metre all round
        "enclosed_area_m2",
        4.5 * 4.0,
        xs_m=(0.0, 3.0),
        ys_m=(0.0, 2.0),
        lengths_m=(1.0, 0.0),
        widths_m=(2.0, 0.0),
        margin_m=0.5,
    ),
    own("outline_m", float(Fraction(21, 4)), middles_m=(0.5, -1.0, 3.0), lengths_m=(1.0, 1.5, 1.0)),
    own("outline_m", 4.0, middles_m=(-1.0, 3.0), lengths_m=(0.0, 0.0)),
    own("area_inside_m2", float(Fraction(18) - Fraction(9, 4)), whole_m2=18.0, outside_m2=2.25),
    own("area_inside_m2", 0.0, whole_m2=1.0, outside_m2=1.5),
    own("difference_m", float(Fraction(-7, 20)), length_m=0.85, less_m=1.2),
    own("mean_of_lengths_m", float(Fraction(16, 10)), lengths_m=(0.0, 3.2, 1.6)),
    own("greatest_of_lengths_m", sorted((0.95, 1.84, 1.01))[-1], lengths_m=(0.95, 1.84, 1.01)),
    own("plan_distance_m", abs(complex(1.6, -1.45) - complex(0.0, 0.5)), x_m=0.0, y_m=0.5, to_x_m=1.6, to_y_m=-1.45),
    own("walked_m", float(Fraction(5) * Fraction(6, 5)), time_s=5.0, speed_m_s=1.2),
    own("margin_share", float(1 - Fraction(15, 20)), demand=15.0, limit=20.0),
    own("margin_share", float(1 - Fraction(30, 20)), demand=30.0, limit=20.0),
    own("margin_share", -1.0, demand=3.0, limit=0.0),
    own("margin_share", 0.0, demand=0.0, limit=0.0),
    own(
        "stack_layers", float(counted(1200, 45 + 60)), stand_height_m=1.2, part_height_m=0.045, extra_m=0.06, most=20.0
    ),
    own("stack_layers", 8.0, stand_height_m=1.2, part_height_m=0.045, extra_m=0.06, most=8.0),
    own("stack_layers", float(counted(1200, 100)), stand_height_m=1.2, part_height_m=0.04, extra_m=0.06, most=20.0),
    own("places_by_mass", float(counted(57_000, 1_170)), mass_max_kg=60.0, tray_kg=3.0, part_kg=1.17),
    own("places_by_mass", 0.0, mass_max_kg=2.0, tray_kg=3.0, part_kg=1.0),
    own(
        "places_by_volume",
        float(counted(120_000_000 // 2, 120 * 80 * 45)),
        volume_m3=0.12,
        fill_share=0.5,
        length_m=0.12,
        width_m=0.08,
        height_m=0.045,
    ),
    own("layered_parts", float(sum(33 for _ in range(11))), layers=11.0, places=(33.0, 48.0)),
    own("limit_of_machines_parts", 150.0 + 150.0, each_parts=150.0, machines=2.0),
    own("mass_of_hands_kg", 0.7 + 0.7, each_kg=0.7, hands=2.0),
    own(
        "machine_time_per_part_s",
        float(Fraction(330 + 40, 2) + Fraction(90 + 20)),
        processes_s=(330.0, 90.0),
        gaps_s=(40.0, 20.0),
        parts_per_load=(2.0, 1.0),
    ),
    own("attendant_time_per_part_s", float(Fraction(60, 2) + 40), works_s=(60.0, 40.0), parts_per_load=(2.0, 1.0)),
    own("machines_time_per_part_s", float(Fraction(370, 2)), times_s=(370.0, 120.0), machines=(2.0, 1.0)),
    own("steady_rate_parts_per_h", stepped_parts_per_h(2, 300, 60), machines_s=150.0, attendant_s=60.0),
    own("steady_rate_parts_per_h", stepped_parts_per_h(3, 120, 60), machines_s=40.0, attendant_s=60.0),
    own("parts_in_time", float(sum(1 for second in range(0, 28_800, 180))), rate_parts_per_h=20.0, time_s=28_800.0),
    own("time_of_parts_s", float(sum(180 for _ in range(40))), parts=40.0, rate_parts_per_h=20.0),
    own("mean_lifts_per_min", float(Fraction(2 * 39, 60)), rate_parts_per_h=39.0, lifts_per_part=2.0),
    own("count_of_all", 2.0 + 1.0, counts=(2.0, 1.0)),
    own("length_h", 8.5, length_s=float(8 * 3600 + 30 * 60)),
    own(
        "jaw_travel_m",
        float(Fraction(4 + 1 + 6, 1000)),
        raw_m=0.080,
        finished_m=0.076,
        tolerance_m=0.001,
        clearance_m=0.006,
    ),
    own(
        "jaw_travel_m",
        float(Fraction(4 + 1 + 6, 1000)),
        raw_m=0.076,
        finished_m=0.080,
        tolerance_m=0.001,
        clearance_m=0.006,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_a_figure_agrees_with_its_second_way(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)


def test_counting_counts() -> None:
    """The counted oracle takes a pitch that fits exactly, and refuses one a millimetre too long."""
    assert (counted(1200, 100), counted(1199, 100)) == (12, 11)
    assert math.isclose(stepped_parts_per_h(1, 180, 60), 20.0)
