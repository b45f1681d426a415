"""Stopping, capped moves and guarded floor, each found in a second way."""

import math
from collections.abc import Mapping
from typing import Any

import pytest

from millhand.formulas.guarding import capped_move_s, guarded_area_m2
from millhand.formulas.loads import swing_time_s
from tests.checks import OWN, Check, assert_holds

STEPS = 50_000


def own(formula: str, inputs: Mapping[str, Any], expected: float) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


BRAKED = {"device_s": 0.1, "control_s": 0.2, "speed_m_s": 1.5, "decel_m_s2": 5.0}
CAPPED = {"move_s": 1.6, "distance_m": 2.0, "speed_m_s": 0.25, "ramp_s": 0.6}
BOXES = {"xs_m": (0.0, 3.0), "ys_m": (0.0, 0.5), "lengths_m": (2.0, 1.0), "widths_m": (1.0, 1.0)}

CHECKS = [
    own("overall_stopping_s", BRAKED, 0.6),
    own("rate_change_share", {"rate_parts_per_h": 9.0, "against_parts_per_h": 12.0}, -0.25),
    # 2 m at 0.25 m/s take 8 s; each ramp loses half its length, and there are two.
    own("capped_move_s", CAPPED, 8.0 + 0.6),
    own("capped_move_s", CAPPED | {"speed_m_s": 2.0}, 1.6),
    # A quarter of the hour there is spent on calls, and 40 of 800 hours at changeovers.
    own(
        "inside_share",
        {"calls_share": 0.125, "there_share": 0.5, "changeovers_h_per_y": 40.0, "there_h_per_y": 800.0},
        (200.0 + 40.0) / 800.0,
    ),
    # From x -1 to 3.5 and y -0.5 to 1: 4.5 by 1.5, half a metre round it, and 1.5 m more along 5.5 m.
    own("wider_fence_m", {"out_m": 0.3}, 2 * (7.3 + 0.6 + 3.95 + 0.6) - 2 * (7.3 + 3.95)),
    own("wider_floor_m2", {"out_m": 0.25, "width_m": 7.0, "depth_m": 4.0}, 7.5 * 4.5 - 28.0),
    own("guarded_area_m2", BOXES | {"margin_m": 0.5, "front_m": 2.0}, 5.5 * 2.5 + 1.5 * 5.5),
    own("guarded_area_m2", BOXES | {"margin_m": 0.5, "front_m": 0.2}, 5.5 * 2.5),
    # As printed: 200 mm behind a square of 40 mm, 850 mm behind one of 120 mm, 500 mm for a body; over it, as given.
    own("fence_distance_m", {"over_m": 0.6, "opening_m": 0.04}, 0.6),
    own("fence_distance_m", {"over_m": 0.0, "opening_m": 0.04}, 0.5),
    own("fence_distance_m", {"over_m": 0.6, "opening_m": 0.12}, 0.85),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_second_way(check: Check) -> None:
    """Both ways agree."""
    assert_holds(check)


def stepped(distance: float, speed: float, ramp: float) -> float:
    """The time of a move by small steps: speed rises, stays, and falls so that it ends at rest."""
    accel, step = speed / ramp, (distance / speed + ramp) / STEPS
    gone, now, passed = 0.0, 0.0, 0.0
    while gone < distance:
        braking = now * now / (2.0 * accel)
        now = max(now - accel * step, accel * step) if braking >= distance - gone else min(now + accel * step, speed)
        gone, passed = gone + now * step, passed + step
    return passed


@pytest.mark.parametrize("speed", [0.1, 0.25, 0.5, 1.0, 2.0])
@pytest.mark.parametrize("distance", [0.1, 0.8, 2.5])
def test_a_capped_move_is_the_stepped_one(distance: float, speed: float) -> None:
    """Where the cap binds, the time is that of stepping through the motion."""
    capped = capped_move_s(0.0, distance_m=distance, speed_m_s=speed, ramp_s=0.6)

    assert math.isclose(capped, stepped(distance, speed, 0.6), rel_tol=0.01)


@pytest.mark.parametrize("distance", [0.0, 0.3, 1.4, 6.0])
def test_a_slower_cap_never_shortens_a_move(distance: float) -> None:
    """A lower speed takes as long or longer, and never less than the move at full speed."""
    full = swing_time_s(distance, speed_m_s=2.0, ramp_s=0.6, settle_s=0.0)
    times = [capped_move_s(full, distance_m=distance, speed_m_s=speed / 20.0, ramp_s=0.6) for speed in range(40, 0, -1)]

    assert times == sorted(times)
    assert times[0] >= full


def test_a_deeper_front_takes_more_floor() -> None:
    """Floor grows with the distance in front, and not at all while that lies within the margin."""
    areas = [guarded_area_m2(**BOXES, margin_m=0.5, front_m=front / 4.0) for front in range(9)]

    assert areas == sorted(areas)
    assert areas[0] == areas[2] < areas[3]
