"""What must hold for all numbers: order, symmetry, limits."""

import math

from hypothesis import given
from hypothesis import strategies as st

from millhand.formulas.exchange import machine_gap_double_s, machine_gap_single_s
from millhand.formulas.finite_source import (
    all_busy_share,
    ashcroft_machines_running,
    machines_running,
    machines_waiting,
    probability_wait,
)
from millhand.formulas.money import discounted_payback_y, present_worth, simple_payback_y
from millhand.formulas.motion import cubic_scaling, move_time_s, quintic_scaling, s_curve_move_time_s
from millhand.formulas.packing import rectangle_places, rectangle_places_two_ways, tray_places
from millhand.formulas.rates import internal_rate, sign_changes
from millhand.formulas.saving import naive_payback_months
from millhand.formulas.statistics import (
    lognormal_location,
    lognormal_spread,
    triangular_quantile,
    zero_fault_lower_share,
    zero_fault_runs,
)
from millhand.formulas.unattended import expected_unattended_parts

PRICES = st.floats(1_000.0, 1e6)
SAVINGS = st.lists(st.floats(-2e4, 2e5), min_size=1, max_size=12)
LENGTHS = st.floats(1e-4, 20.0)
SPEEDS = st.floats(0.05, 5.0)
MACHINES = st.integers(1, 30)
TIMES = st.floats(1.0, 5_000.0)


@given(PRICES, st.floats(1.0, 3.0), SAVINGS, st.floats(0.0, 0.3))
def test_a_payback_never_falls_when_the_price_rises(
    price: float, dearer: float, savings: list[float], rate: float
) -> None:
    """A dearer cell is never back sooner, plain or discounted, and discounting never brings it forward."""
    cheap, dear = [-price, *savings], [-price * dearer, *savings]

    assert simple_payback_y(dear) >= simple_payback_y(cheap) - 1e-9
    assert discounted_payback_y(dear, rate=rate) >= discounted_payback_y(cheap, rate=rate) - 1e-9
    if min(savings) >= 0.0:
        assert discounted_payback_y(cheap, rate=rate) >= simple_payback_y(cheap) - 1e-9


@given(PRICES, st.floats(10.0, 80.0), st.floats(1_000.0, 8_760.0), st.floats(1.1, 4.0))
def test_the_naive_ratio_is_linear_in_price_and_falls_with_the_wage(
    price: float, wage: float, hours: float, times: float
) -> None:
    """Without upkeep: twice the price, twice the months; twice the wage, half the months."""

    def months(price_money: float, wage_money_per_h: float) -> float:
        return naive_payback_months(
            price_money, loaded_wage_money_per_h=wage_money_per_h, hours_per_y=hours, upkeep_share=0.0
        )

    assert math.isclose(months(price * times, wage), times * months(price, wage), rel_tol=1e-12)
    assert math.isclose(months(price, wage * times), months(price, wage) / times, rel_tol=1e-12)


@given(LENGTHS, st.floats(1.01, 3.0), SPEEDS, st.floats(0.1, 50.0), st.floats(0.5, 1e4))
def test_moves_take_longer_with_distance_and_with_a_limit_on_jerk(
    distance: float, further: float, speed: float, accel: float, jerk: float
) -> None:
    """Further takes longer, never below the distance at full speed; soft starts cost time."""
    plain = move_time_s(distance, speed_m_s=speed, accel_m_s2=accel)
    soft = s_curve_move_time_s(distance, speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=jerk)

    assert move_time_s(distance * further, speed_m_s=speed, accel_m_s2=accel) > plain >= distance / speed
    assert s_curve_move_time_s(distance * further, speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=jerk) > soft
    assert soft >= plain * (1.0 - 1e-12)


@given(LENGTHS, SPEEDS, st.floats(0.1, 50.0))
def test_a_vanishing_limit_on_jerk_leaves_the_trapezoid(distance: float, speed: float, accel: float) -> None:
    """With nearly unlimited jerk both profiles agree."""
    soft = s_curve_move_time_s(distance, speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=1e12)

    assert math.isclose(soft, move_time_s(distance, speed_m_s=speed, accel_m_s2=accel), rel_tol=1e-5)


@given(st.floats(0.0, 1.0), st.floats(0.1, 20.0))
def test_scalings_are_symmetric(share: float, total: float) -> None:
    """What is done after a time equals what is left that long before the end."""
    for scaling in (cubic_scaling, quintic_scaling):
        done = scaling(share * total, total_s=total)
        left = 1.0 - scaling((1.0 - share) * total, total_s=total)
        assert math.isclose(done, left, abs_tol=1e-9)
        assert -1e-12 <= done <= 1.0 + 1e-12


@given(MACHINES, st.integers(1, 5), TIMES, TIMES)
def test_machines_are_running_waiting_or_served(machines: int, attendants: int, run_s: float, service_s: float) -> None:
    """The three add up; a caller waits no more often than all are busy by the clock."""
    shop = {"attendants": attendants, "run_s": run_s, "service_s": service_s}
    running = machines_running(machines, **shop)
    served = running * service_s / run_s  # calls an hour times service time

    assert math.isclose(running + served + machines_waiting(machines, **shop), machines, rel_tol=1e-9)
    assert probability_wait(machines, **shop) <= all_busy_share(machines, **shop) + 1e-12


@given(MACHINES, TIMES, TIMES)
def test_constant_service_keeps_more_machines_running(machines: int, run_s: float, service_s: float) -> None:
    """Less chance, less waiting; and one attendant never serves more than all his time allows."""
    steady = ashcroft_machines_running(machines, run_s=run_s, service_s=service_s)

    assert steady >= machines_running(machines, attendants=1, run_s=run_s, service_s=service_s) * (1.0 - 1e-9)
    assert steady <= min(machines, run_s / service_s) * (1.0 + 1e-12)


@given(st.floats(0.0, 1.0), st.integers(0, 500), st.integers(0, 500))
def test_unattended_parts_grow_with_pockets_and_stay_below_both_limits(fault: float, pockets: int, more: int) -> None:
    """Never above the pockets, never above (1 - q) / q, never fewer with more pockets."""
    parts = expected_unattended_parts(fault, pockets=pockets)

    assert 0.0 <= parts <= pockets * (1.0 + 1e-12)
    assert parts * fault <= (1.0 - fault) * (1.0 + 1e-12)
    assert expected_unattended_parts(fault, pockets=pockets + more) >= parts * (1.0 - 1e-12)


@given(PRICES, SAVINGS)
def test_an_internal_rate_brings_the_present_worth_to_zero(price: float, savings: list[float]) -> None:
    """Whatever rate is found is a root; with one sign change and enough savings there is a positive one."""
    flows = [-price, *savings]
    rate = internal_rate(flows)

    if rate is not None:
        size = present_worth([abs(amount) for amount in flows], rate=rate)
        assert abs(present_worth(flows, rate=rate)) <= 1e-9 * size
    if sign_changes(flows) == 1 and sum(flows) > 0.0:
        assert rate is not None
        assert rate > 0.0


@given(st.floats(0.2, 2.0), st.floats(0.2, 2.0), st.floats(0.02, 0.5), st.floats(0.02, 0.5), st.floats(0.0, 0.05))
def test_trays_hold_no_more_with_gaps_and_no_less_with_two_ways(
    length: float, width: float, part_length: float, part_width: float, gap: float
) -> None:
    """Gaps cost places, a second block never does, and the area is never exceeded."""
    part = {"width_m": width, "part_length_m": part_length, "part_width_m": part_width}
    one = rectangle_places(length, **part)
    two = rectangle_places_two_ways(length, **part)

    assert tray_places(length, **part, grip_gap_m=gap, other_gap_m=gap / 2.0) <= one <= two
    assert two * part_length * part_width <= length * width * (1.0 + 1e-6)


@given(st.floats(1.0, 100.0), st.floats(0.0, 50.0), st.floats(0.0, 20.0))
def test_the_second_gripper_gains_the_difference_of_the_gaps(exchange: float, away: float, turn: float) -> None:
    """Not more: what the arm does elsewhere is not the machine's gap."""
    rest = {"handshake_s": 5.0, "door_s": 3.0, "blow_off_s": 3.0}
    single = machine_gap_single_s(exchange, away_s=away, **rest)

    assert math.isclose(single - machine_gap_double_s(exchange, turn_s=turn, **rest), away - turn, abs_tol=1e-9)


@given(st.floats(0.5, 0.999), st.floats(0.5, 0.99))
def test_enough_runs_without_a_fault_show_what_was_asked(reliability: float, confidence: float) -> None:
    """After the runs that the formula asks for, the lower bound reaches the reliability; one run fewer falls short."""
    runs = zero_fault_runs(reliability, confidence=confidence)

    assert zero_fault_lower_share(runs, confidence=confidence) >= reliability * (1.0 - 1e-9)
    if runs > 1:
        assert zero_fault_lower_share(runs - 1, confidence=confidence) < reliability * (1.0 + 1e-9)


@given(st.floats(0.1, 1e3), st.floats(1.0, 10.0), st.floats(0.0, 1.0))
def test_quantiles_stay_between_the_ends(low: float, ratio: float, share: float) -> None:
    """A triangle's quantile lies between its ends; a lognormal's ten per cent points come back."""
    high = low * (ratio + 0.5)
    middle = low * (1.0 + (ratio - 0.5) / 3.0) if ratio > 0.5 else low
    value = triangular_quantile(share, low=low, likely=min(middle, high), high=high)
    spread = lognormal_spread(low, p90=high)

    assert low * (1.0 - 1e-9) <= value <= high * (1.0 + 1e-9)
    assert math.isclose(math.exp(lognormal_location(low, p90=high) - 1.2815515655446 * spread), low, rel_tol=1e-9)
