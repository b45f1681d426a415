"""What presenters hold and what ends a run alone, by putting parts in one after the other."""

import cmath
import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import pytest

from millhand.formulas.presenters import pallet_parts, queue_force_n
from millhand.solvers.packing.first_limit import Limit, first_limit
from tests.checks import OWN, Check, assert_holds


def own(formula: str, inputs: Mapping[str, Any], expected: float) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def loaded(layers: int, places: int, part: str, interleaf: str, most: str) -> float:
    """Parts put on a pallet one by one, an interleaf before each further layer, until the mass is too much."""
    mass, parts = Fraction(0), 0
    while parts < layers * places:
        step = Fraction(part) + (Fraction(interleaf) if parts and parts % places == 0 else 0)
        if mass + step > Fraction(most):
            break
        mass, parts = mass + step, parts + 1
    return float(parts)


def placed(belt: str, part: str, pitch: str) -> float:
    """Parts put on a belt one by one, a pitch from front to front, until one would stand over its end."""
    parts = 0
    while parts * Fraction(pitch) + Fraction(part) <= Fraction(belt):
        parts += 1
    return float(parts)


def hung(drawers: int, places: int, drawer_max: int, stand_max: int) -> float:
    """Parts of 0.8 kg in drawers with 3 kg trays: as many as each takes, then taken out until the stand bears them."""
    each = 0
    while each < places and Fraction(3) + (each + 1) * Fraction("0.8") <= drawer_max:
        each += 1
    parts = drawers * each
    while drawers * 3 + parts * Fraction("0.8") > stand_max:
        parts -= 1
    return float(parts)


DRAWERS = {"places": 60.0, "part_kg": 0.8, "tray_kg": 3.0}
PALLET = {"layers": 5.0, "places": 20.0, "part_kg": 2.0, "interleaf_kg": 1.0}
SLOPE = math.radians(30.0)

CHECKS = [
    own("drawer_pitch_m", {"part_height_m": 0.04, "extra_m": 0.035, "step_m": 0.025}, 0.075),
    own("drawer_pitch_m", {"part_height_m": 0.041, "extra_m": 0.035, "step_m": 0.025}, 0.1),
    own(
        "drawer_parts", DRAWERS | {"drawers": 12.0, "drawer_max_kg": 40.0, "stand_max_kg": 1e4}, hung(12, 60, 40, 10000)
    ),
    own(
        "drawer_parts", DRAWERS | {"drawers": 12.0, "drawer_max_kg": 40.0, "stand_max_kg": 400.0}, hung(12, 60, 40, 400)
    ),
    own(
        "drawer_parts", DRAWERS | {"drawers": 12.0, "drawer_max_kg": 80.0, "stand_max_kg": 1e4}, hung(12, 60, 80, 10000)
    ),
    own("sliding_angle_rad", {"friction": 0.61}, cmath.phase(complex(1.0, 0.61))),
    own("slope_length_m", {"drop_m": 0.6, "angle_rad": SLOPE}, 1.2),
    own("chute_parts", {"slope_m": 1.5, "part_m": 0.06, "lanes": 2.0}, 2 * placed("1.5", "0.06", "0.06")),
    own("chute_parts", {"slope_m": 1.49, "part_m": 0.06, "lanes": 2.0}, 2 * placed("1.49", "0.06", "0.06")),
    own(  # along the slope half the weight, less 0.2 of what presses on it
        "queue_force_n",
        {"parts": 20.0, "part_kg": 0.5, "friction": 0.2, "angle_rad": SLOPE, "gravity_m_s2": 10.0},
        100.0 * (0.5 - 0.2 * math.sqrt(0.75)),
    ),
    own("step_feeder_parts", {"slope_m": 0.95, "step_m": 0.15, "per_step": 8.0, "fill_share": 0.75}, 6 * 6.0),
    own(
        "step_feeder_rate_parts_per_h",
        {"strokes_per_min": 10.0, "per_step": 8.0, "fill_share": 0.75, "right_share": 0.5},
        600.0 * 3.0,
    ),
    own("conveyor_parts", {"belt_m": 2.0, "part_m": 0.1, "pitch_m": 0.25, "lanes": 1.0}, placed("2", "0.1", "0.25")),
    own(
        "conveyor_parts",
        {"belt_m": 2.1, "part_m": 0.1, "pitch_m": 0.25, "lanes": 3.0},
        3 * placed("2.1", "0.1", "0.25"),
    ),
    own("conveyor_parts", {"belt_m": 0.09, "part_m": 0.1, "pitch_m": 0.25, "lanes": 3.0}, 0.0),
    own("conveyor_rate_parts_per_h", {"speed_m_s": 0.05, "pitch_m": 0.25, "lanes": 2.0}, 2 * 3600.0 / 5.0),
    own("stacked_layers", {"stack_m": 1.2, "part_height_m": 0.1, "interleaf_m": 0.005, "base_m": 0.15}, 10.0),
    own("stacked_layers", {"stack_m": 1.194, "part_height_m": 0.1, "interleaf_m": 0.005, "base_m": 0.15}, 9.0),
    *(
        own("pallet_parts", PALLET | {"load_max_kg": most}, loaded(5, 20, "2", "1", str(most)))
        for most in (0.0, 1.0, 40.0, 41.0, 43.0, 130.0, 203.9, 204.0, 500.0)
    ),
    own("loose_parts", {"volume_m3": 0.06, "fill_share": 0.8, "solid_share": 0.55, "part_m3": 4.2e-5}, 628.0),
    own("pickable_parts", {"parts": 628.0, "usable_share": 0.95, "residue_parts": 12.0}, 584.0),
    own(  # tries until the first success: the sum of k p (1 - p)^(k - 1)
        "pick_rate_parts_per_h",
        {"try_s": 6.0, "success_share": 0.9},
        3600.0 / (6.0 * math.fsum(k * 0.9 * 0.1 ** (k - 1) for k in range(1, 60))),
    ),
    own("finished_alone_parts", {"infeed": 60.0, "outfeed": 48.0, "in_work": 2.0}, 50.0),
    own("tool_life_limit_parts", {"life_parts": 150.0, "sisters": 2.0, "used_share": 0.4}, 90.0 + 150.0 + 150.0),
    own("chip_box_limit_parts", {"box_m3": 0.2, "fill_share": 0.8, "cut_m3": 1e-4, "bulk": 8.0}, 200.0),
    own("coolant_limit_s", {"usable_m3": 0.12, "loss_m3_per_h": 0.008}, 15 * 3600.0),
    own(
        "gauge_limit_parts",
        {"every_n": 25.0, "since": 10.0, "waiting_places": 1.0},
        float([made for made in range(1, 100) if (10 + made) % 25 == 0][1]),
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)


def test_the_least_limit_is_named_and_the_next_one_too() -> None:
    """At 15 parts an hour: infeed 4 h, outfeed 3.2 h, tools 10 h, coolant 3.5 h; the outfeed ends it, then coolant."""
    limits = [
        Limit(kind="infeed", parts=60.0),
        Limit(kind="outfeed", parts=48.0),
        Limit(kind="tools", parts=150.0),
        Limit(kind="coolant", time_s=3.5 * 3600.0),
    ]
    ending = first_limit(limits, rate_parts_per_h=15.0)

    assert (ending.kind, ending.next_kind) == ("outfeed", "coolant")
    assert math.isclose(ending.time_s, 3.2 * 3600.0)
    assert math.isclose(ending.parts, 48.0)
    assert math.isclose(ending.next_s, 3.5 * 3600.0)


def test_a_limit_alone_has_no_next() -> None:
    """Nothing else ends the run; of two equal limits the first in the list is named."""
    alone = first_limit([Limit(kind="lot", parts=10.0)], rate_parts_per_h=10.0)
    equal = first_limit([Limit(kind="lot", parts=10.0), Limit(kind="hopper", time_s=3600.0)], rate_parts_per_h=10.0)

    assert (alone.next_kind, alone.next_s) == (None, math.inf)
    assert (equal.kind, equal.next_kind) == ("lot", "hopper")


def test_a_limit_without_a_figure_is_refused() -> None:
    """Neither parts nor time, both at once, or no limit at all: each is told with what to give."""
    with pytest.raises(ValueError, match="either in parts or in time"):
        first_limit([Limit(kind="chips")], rate_parts_per_h=10.0)
    with pytest.raises(ValueError, match="either in parts or in time"):
        first_limit([Limit(kind="chips", parts=1.0, time_s=1.0)], rate_parts_per_h=10.0)
    with pytest.raises(ValueError, match="at least one limit"):
        first_limit([], rate_parts_per_h=10.0)


def test_a_queue_on_a_flat_slope_presses_on_nothing() -> None:
    """Below the sliding angle friction holds every part by itself."""
    assert queue_force_n(50.0, part_kg=1.0, friction=0.6, angle_rad=math.radians(30.0)) == 0.0


def test_a_pallet_too_weak_for_a_part_carries_none() -> None:
    """No layers, no parts; a load below one part, no parts."""
    assert pallet_parts(0.0, places=20.0, part_kg=2.0, interleaf_kg=1.0, load_max_kg=500.0) == 0.0
    assert pallet_parts(5.0, places=20.0, part_kg=2.0, interleaf_kg=1.0, load_max_kg=1.9) == 0.0
