"""From shift pattern to parts a year: each formula against a second way of counting."""

import math
import statistics

import pytest

from millhand.formulas.loads import swing_time_s
from tests.checks import OWN, Check, assert_holds


def covered_by_minutes(starts: list[float], lengths: list[float], days: list[float]) -> float:
    """Hours of a week with somebody there, counted minute by minute."""
    minutes = {
        day * 1440 + int(start // 60) + minute
        for start, length, count in zip(starts, lengths, days, strict=True)
        for day in range(round(count))
        for minute in range(int(length // 60))
    }
    return len(minutes) / 60


def series(share: float, cycles: int) -> float:
    """Up time over all time of a machine that runs `share` long and stands one long, cycle by cycle."""
    up = sum(share for _ in range(cycles))
    return up / (up + cycles)


def moved_in_slices(distance: float, speed: float, ramp: float) -> float:
    """Time of a move: distance covered with the trapezoid, integrated in small slices up to half way, doubled."""
    acceleration, covered, time, step = speed / ramp, 0.0, 0.0, 1e-6
    velocity = 0.0
    while covered + velocity * step + 0.5 * acceleration * step * step < distance / 2 and velocity < speed:
        velocity = min(speed, acceleration * (time + step))
        covered += velocity * step
        time += step
    return 2 * (time + max(0.0, distance / 2 - covered) / max(velocity, 1e-9))


CHECKS = [
    Check(
        formula="covered_h_per_week",
        inputs={"starts_s": [21600.0, 50400.0, 43200.0], "lengths_s": [30600.0, 28800.0, 14400.0], "days": [5, 5, 2]},
        key="own_computation",
        seen=OWN,
        expected=lambda: covered_by_minutes([21600, 50400, 43200], [30600, 28800, 14400], [5, 5, 2]),
    ),
    Check(
        formula="covered_h_per_week",
        inputs={"starts_s": [21600.0, 64800.0], "lengths_s": [43200.0, 43200.0], "days": [3.5, 0.25]},
        key="own_computation",
        seen=OWN,
        expected=lambda: 3 * 12.0 + covered_by_minutes([21600, 64800], [21600, 10800], [1, 1]),
    ),
    Check(
        formula="worked_h_per_week",
        inputs={"lengths_s": [28800.0, 43200.0], "breaks_s": [1800.0, 3600.0], "days": [5.0, 4.0]},
        key="common_practice",
        seen=OWN,
        expected=5 * 7.5 + 4 * 11.0,
    ),
    Check(
        formula="yearly_h_per_y",
        inputs={"h_per_week": 80.0, "work_days": 250.0, "days_per_week": 5.0},
        key="common_practice",
        seen=OWN,
        expected=80.0 * 50,
    ),
    Check(
        formula="assigned_heads",
        inputs={"machines": 3.0, "machines_per_operator": 2.0},
        key="common_practice",
        seen=OWN,
        expected=1.5,
    ),
    Check(
        formula="mean_heads",
        inputs={"heads": [2.0, 1.0], "lengths_s": [30600.0, 27000.0], "breaks_s": [1800.0] * 2, "days": [5.0, 4.0]},
        key="own_computation",
        seen=OWN,
        expected=(2 * 8.0 * 5 + 1 * 7.0 * 4) / (8.0 * 5 + 7.0 * 4),
    ),
    Check(
        formula="assigned_h_per_y",
        inputs={"heads": 1.5, "worked_h_per_y": 1750.0},
        key="common_practice",
        seen=OWN,
        expected=1750 + 875,
    ),
    Check(formula="alone_h", inputs={"unattended_s": 27000.0}, key="common_practice", seen=OWN, expected=7.5),
    Check(
        formula="spread_h_per_y",
        inputs={"assigned_h": 3600.0, "factor": 1.5, "work_h": 2200.0},
        key="common_practice",
        seen=OWN,
        expected=2400.0,
    ),
    Check(
        formula="spread_h_per_y",
        inputs={"assigned_h": 3600.0, "factor": 1.5, "work_h": 2900.0},
        key="common_practice",
        seen=OWN,
        expected=2900.0,
    ),
    Check(
        formula="element_sum_s",
        inputs={"times_s": [18.0, 27.0, 60.0], "every_n": [1.0, 1.0, 10.0], "allowances": [0.12, 0.12, 0.25]},
        key="groover2007",
        seen=OWN,
        expected=lambda: (sum([18.0] * 10 + [27.0] * 10) * 1.12 + 60.0 / (1.0 - 0.2)) / 10,
    ),
    Check(
        formula="cutting_time_s",
        inputs={"floor_to_floor_s": 425.0, "outside_s": 45.0},
        key="common_practice",
        seen=OWN,
        expected=380.0,
    ),
    Check(
        formula="load_exchange_s",
        inputs={"exchange_s": 15.0, "grips": 3.0, "round_s": 12.0, "vises": 2.0, "turn_s": 14.0},
        key="own_computation",
        seen=OWN,
        expected=lambda: sum([15, 14, 15, 12, 15, 14, 15, 12, 15, 14, 15]),
    ),
    Check(formula="half_exchange_s", inputs={"exchange_s": 15.0}, key="own_computation", seen=OWN, expected=7.5),
    Check(
        formula="rate_with_changeovers_per_h",
        inputs={"rate_per_h": 12.0, "changeover_s": 1200.0, "lot": 40.0, "machines": 2.0},
        key="own_computation",
        seen=OWN,
        expected=lambda: 80 / (80 / 12 + 1200 / 3600),  # two lots on two machines: 80 parts, then 20 min of both
    ),
    Check(
        formula="changeover_h_per_y",
        inputs={"parts_per_y": 12000.0, "lot": 50.0, "changeover_s": 1200.0},
        key="own_computation",
        seen=OWN,
        expected=80.0,
    ),
    Check(
        formula="changeovers_per_y",
        inputs={"parts_per_y": 12000.0, "lot": 50.0},
        key="own_computation",
        seen=OWN,
        expected=240.0,
    ),
    Check(
        formula="work_h_per_y",  # 100 of which 96 are good, each of them and of the others 36 s: an hour
        inputs={"parts_per_y": 96.0, "good_share": 0.96, "work_s_per_part": 36.0},
        key="own_computation",
        seen=OWN,
        expected=1.0,
    ),
    Check(
        formula="changed_time_s", inputs={"time_s": 45.0, "factor": 0.6}, key="common_practice", seen=OWN, expected=27.0
    ),
    Check(
        formula="swing_time_s",
        inputs={"distance_m": 1.5, "speed_m_s": 2.0, "ramp_s": 0.5, "settle_s": 0.2},
        key="siciliano2009",
        seen=OWN,
        expected=0.5 + 0.5 + (1.5 - 1.0) / 2.0 + 0.2,
    ),
    Check(
        formula="swing_time_s",
        inputs={"distance_m": 0.5, "speed_m_s": 2.0, "ramp_s": 0.5, "settle_s": 0.0},
        key="siciliano2009",
        seen=OWN,
        expected=lambda: 2.0 * math.sqrt(0.5 / 4.0),
    ),
    Check(
        formula="ramp_s", inputs={"speed_m_s": 1.2, "accel_m_s2": 0.8}, key="own_computation", seen=OWN, expected=1.5
    ),
    Check(
        formula="time_a_part_s",
        inputs={"load_s": 90.0, "parts_per_load": 4.0},
        key="own_computation",
        seen=OWN,
        expected=22.5,
    ),
    Check(
        formula="mean_time_s",
        inputs={"times_s": [2.0, 3.5, 6.5]},
        key="own_computation",
        seen=OWN,
        expected=lambda: statistics.fmean([2.0, 3.5, 6.5]),
    ),
    Check(
        formula="achieved_parts_per_h",
        inputs={"bound_loads_per_h": 17.5, "achieved": 0.9, "parts_per_load": 2.0},
        key="own_computation",
        seen=OWN,
        expected=31.5,
    ),
    Check(
        formula="unexplained_loss_share",
        inputs={"shipped_parts": 75.0, "modelled_parts": 100.0},
        key="own_computation",
        seen=OWN,
        expected=0.25,
    ),
    Check(
        formula="net_parts_per_h",
        inputs={
            "rate_parts_per_h": 10.0,
            "loss_share": 0.2,
            "kept_share": 0.5,
            "available_share": 0.9,
            "good_share": 0.5,
            "most_parts_per_h": [],
        },
        key="own_computation",
        seen=OWN,
        expected=4.05,
    ),
    Check(
        formula="net_parts_per_h",
        inputs={
            "rate_parts_per_h": 10.0,
            "loss_share": -0.2,
            "kept_share": 0.5,
            "available_share": 1.0,
            "good_share": 1.0,
            "most_parts_per_h": [12.5],
        },
        key="own_computation",
        seen=OWN,
        expected=12.0,
        beyond="a negative loss is flagged and kept whole",
    ),
    Check(
        formula="net_parts_per_h",
        inputs={
            "rate_parts_per_h": 10.0,
            "loss_share": -0.2,
            "kept_share": 0.5,
            "available_share": 0.5,
            "good_share": 0.5,
            "most_parts_per_h": [11.0, 14.0],
        },
        key="own_computation",
        seen=OWN,
        expected=2.75,
        beyond="a negative loss is flagged and kept as far as the machines go",
    ),
    Check(
        formula="set_up_share",
        inputs={"shipped_parts_per_h": 12.0, "set_up_s": 3000.0, "lot": 150.0, "machines": 2.0},
        key="common_practice",
        seen=OWN,
        expected=lambda: (8 * 12 / 150 * 50) / (2 * 8 * 60),  # minutes of a shift's set-ups over those of two machines
    ),
    Check(
        formula="set_up_share",
        inputs={"shipped_parts_per_h": 12.0, "set_up_s": 7200.0, "lot": 12.0, "machines": 1.0},
        key="common_practice",
        seen=OWN,
        expected=1.0,
    ),
    Check(
        formula="between_set_ups_parts_per_h",
        inputs={"rate_parts_per_h": 16.0, "set_up_share": 0.125},
        key="own_computation",
        seen=OWN,
        expected=lambda: 7 * 16 / 8,  # seven hours of eight
    ),
    Check(
        formula="machines_parts_per_h",
        inputs={"machines": 2.0, "process_s": 380.0, "parts_per_load": 4.0},
        key="own_computation",
        seen=OWN,
        expected=lambda: sum(4.0 for _ in range(2) for end in range(380, 19 * 3600 + 1, 380)) / 19.0,
    ),
    Check(
        formula="joint_availability",
        inputs={"every_s": [800.0], "takes_s": [8.0]},
        key="own_computation",
        seen=OWN,
        expected=lambda: series(100.0, 50),
    ),
    Check(
        formula="mean_parts_per_shift",
        inputs={"rate_parts_per_h": 9.0, "covered_h": 80.0, "shifts": 10.0},
        key="common_practice",
        seen=OWN,
        expected=72.0,
    ),
    Check(
        formula="unattended_parts",
        inputs={
            "expected_parts": 50.0,
            "factor": 0.8,
            "bound_parts": 60.0,
            "available_share": 0.95,
            "good_share": 0.5,
        },
        key="own_computation",
        seen=OWN,
        expected=19.0,
    ),
    Check(
        formula="unattended_parts",
        inputs={
            "expected_parts": 50.0,
            "factor": 1.4,
            "bound_parts": 60.0,
            "available_share": 0.95,
            "good_share": 0.5,
        },
        key="own_computation",
        seen=OWN,
        expected=28.5,
    ),
    # 200 nights of 60 parts are 12 000 parts and 50 lots of 240, each of which ends once.
    Check(
        formula="lot_ends_share",
        inputs={"run_parts": 60.0, "lot": 240.0},
        key="own_computation",
        seen=OWN,
        expected=50.0 / 200.0,
    ),
    # 48 minutes of 8 hours at 10 an hour less.
    Check(
        formula="parts_with_stands",
        inputs={"parts_per_shift": 80.0, "stands_h": 0.8, "covered_h": 80.0, "shifts": 10.0},
        key="own_computation",
        seen=OWN,
        expected=(8.0 - 0.8) * 10.0,
    ),
    Check(
        formula="alone_limit_parts",
        inputs={"rate_parts_per_h": 10.0, "alone_h": 6.0, "limits_parts": [80.0, 55.0]},
        key="own_computation",
        seen=OWN,
        expected=55.0,
    ),
    Check(
        formula="alone_limit_parts",
        inputs={"rate_parts_per_h": 10.0, "alone_h": 4.0, "limits_parts": [80.0, 55.0]},
        key="own_computation",
        seen=OWN,
        expected=40.0,
    ),
    Check(
        formula="capacity_parts_per_y",
        inputs={"attended_parts_per_h": 10.0, "attended_h_per_y": 4000.0, "alone_parts": 40.0, "runs_per_y": 250.0},
        key="own_computation",
        seen=OWN,
        expected=50_000.0,
    ),
    Check(
        formula="tended_parts_per_y",
        inputs={
            "capacity_parts_per_y": 50_000.0,
            "orders_parts_per_y": [30_000.0, 12_000.0],
            "today_parts_per_y": 40_000.0,
        },
        key="common_practice",
        seen=OWN,
        expected=42_000.0,
    ),
    Check(
        formula="tended_parts_per_y",
        inputs={
            "capacity_parts_per_y": 50_000.0,
            "orders_parts_per_y": [30_000.0, 32_000.0],
            "today_parts_per_y": 40_000.0,
        },
        key="common_practice",
        seen=OWN,
        expected=50_000.0,
    ),
    Check(
        formula="tended_parts_per_y",
        inputs={"capacity_parts_per_y": 50_000.0, "orders_parts_per_y": [30_000.0], "today_parts_per_y": 40_000.0},
        key="common_practice",
        seen=OWN,
        expected=30_000.0,
    ),
    Check(
        formula="tended_parts_per_y",
        inputs={"capacity_parts_per_y": 35_000.0, "orders_parts_per_y": [60_000.0], "today_parts_per_y": 40_000.0},
        key="common_practice",
        seen=OWN,
        expected=40_000.0,
    ),
    Check(  # 13 parts an hour: 23 000 of them take 10 h a week less than 26 000
        formula="ordered_h_per_y",
        inputs={
            "full_h": 2000.0,
            "orders_parts_per_y": [13_000.0, 10_000.0],
            "capacity_parts_per_y": 40_000.0,
            "today_parts_per_y": 26_000.0,
        },
        key="own_computation",
        seen=OWN,
        expected=lambda: 23_000.0 / (26_000.0 / 2000.0),
    ),
    Check(
        formula="ordered_h_per_y",
        inputs={
            "full_h": 2000.0,
            "orders_parts_per_y": [13_000.0],
            "capacity_parts_per_y": 12_000.0,
            "today_parts_per_y": 26_000.0,
        },
        key="own_computation",
        seen=OWN,
        expected=2000.0,
    ),
    Check(
        formula="joint_good_share",
        inputs={"good_shares": [0.98, 0.95, 0.99]},
        key="own_computation",
        seen=OWN,
        expected=lambda: math.exp(math.log(0.98) + math.log(0.95) + math.log(0.99)),
    ),
    Check(
        formula="operator_h_per_y",
        inputs={
            "parts_per_y": 36_000.0,
            "good_share": 0.96,
            "work_s_per_part": [20.0, 10.0],
            "changeovers_h_per_y": 50.0,
            "most_h_per_y": 2000.0,
        },
        key="own_computation",
        seen=OWN,
        expected=lambda: 37_500 * 30 / 3600 + 50,
    ),
    Check(
        formula="shipped_parts_per_h",
        inputs={"parts_per_shift": 75.0, "shifts": 10.0, "covered_h": 80.0},
        key="common_practice",
        seen=OWN,
        expected=9.375,
    ),
    Check(formula="shifts_per_week", inputs={"days": [5.0, 5.0, 1.0]}, key="common_practice", seen=OWN, expected=11.0),
    Check(
        formula="load_fault_share",
        inputs={"fault_shares": [0.01, 0.02], "parts": 2.0},
        key="own_computation",
        seen=OWN,
        expected=lambda: 1 - statistics.fmean([0.99 * 0.98]) ** 2,
    ),
    Check(
        formula="stop_share_alone",
        inputs={"fault_share": 0.01, "processes_s": [200.0, 50.0], "stops_every_s": [72_000.0, 36_000.0]},
        key="own_computation",
        seen=OWN,
        expected=lambda: 1 - 0.99 * sum((-300 / 72_000) ** n / math.factorial(n) for n in range(12)),
    ),
    Check(
        formula="loads_alone",
        inputs={"limit_parts": 96.0, "parts_per_load": 4.0},
        key="own_computation",
        seen=OWN,
        expected=24.0,
    ),
    Check(
        formula="parts_of_loads",
        inputs={"loads": 24.0, "parts_per_load": 4.0},
        key="own_computation",
        seen=OWN,
        expected=96.0,
    ),
    Check(
        formula="parts_of_loads_per_h",
        inputs={"loads_per_h": 6.0, "parts_per_load": 4.0},
        key="own_computation",
        seen=OWN,
        expected=24.0,
    ),
    Check(
        formula="alone_parts_per_h",
        inputs={"parts": 45.0, "alone_h": 7.5},
        key="own_computation",
        seen=OWN,
        expected=6.0,
    ),
    Check(
        formula="alone_bound_parts",
        inputs={
            "limit_parts": 60.0,
            "rate_parts_per_h": 20.0,
            "alone_h": 4.0,
            "machines": 3.0,
            "parts_per_load": 2.0,
        },
        key="own_computation",
        seen=OWN,
        expected=66.0,
    ),
    Check(  # the hours end it: as many loads are in the machines then as were when people left
        formula="alone_bound_parts",
        inputs={
            "limit_parts": 80.0,
            "rate_parts_per_h": 20.0,
            "alone_h": 4.0,
            "machines": 3.0,
            "parts_per_load": 2.0,
        },
        key="own_computation",
        seen=OWN,
        expected=80.0,
    ),
    Check(
        formula="alone_h_per_y",
        inputs={"alone_h": 7.5, "runs_per_y": 250.0},
        key="common_practice",
        seen=OWN,
        expected=1875.0,
    ),
    Check(
        formula="rack_walk_s",
        inputs={"walk_s": 7.0, "machines_per_operator": 3.0},
        key="own_computation",
        seen=OWN,
        expected=3.5,
    ),
    Check(
        formula="machines_a_head",
        inputs={"machines_per_operator": 2.0, "factor": 1.5},
        key="own_computation",
        seen=OWN,
        expected=3.0,
    ),
    Check(formula="all_machines", inputs={"counts": [2.0, 3.0]}, key="own_computation", seen=OWN, expected=5.0),
    Check(
        formula="autonomy_time_s",
        inputs={"limits_parts": [60.0, 45.0], "rate_parts_per_h": 9.0},
        key="common_practice",
        seen=OWN,
        expected=5 * 3600.0,
    ),
    Check(
        formula="refill_parts", inputs={"pockets": 80.0, "share": 0.25}, key="own_computation", seen=OWN, expected=60.0
    ),
    Check(
        formula="refill_visit_s",
        inputs={"walk_s": 240.0, "part_s": 6.0, "parts": 60.0},
        key="common_practice",
        seen=OWN,
        expected=600.0,
    ),
    Check(
        formula="duty_s",
        inputs={"work_share": 0.05, "loads_per_h": 6.0, "parts_per_load": 2.0},
        key="own_computation",
        seen=OWN,
        expected=15.0,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_second_way_agrees(check: Check) -> None:
    """The registered formula gives what counting another way gives."""
    assert_holds(check)


def test_swing_agrees_with_integration() -> None:
    """The trapezoid's time is what integrating its speed gives, long move and short."""
    for distance, speed, ramp in ((1.5, 2.0, 0.5), (0.3, 2.0, 0.5)):
        time = swing_time_s(distance, speed_m_s=speed, ramp_s=ramp, settle_s=0.0)

        assert time == pytest.approx(moved_in_slices(distance, speed, ramp), rel=1e-4)
