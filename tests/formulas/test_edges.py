"""What the formulas give at the ends of their ranges, where no source prints a value."""

import math

import pytest

from millhand.formulas import REGISTER
from millhand.formulas.contact import contact_speed_m_s
from millhand.formulas.depreciation import macrs_share
from millhand.formulas.exchange import cell_rate_per_h
from millhand.formulas.finite_source import ashcroft_machines_running, state_shares
from millhand.formulas.lifting import coupling_multiplier, recommended_weight_limit_kg
from millhand.formulas.lifting_frequency import frequency_multiplier
from millhand.formulas.money import discounted_payback_y, simple_payback_y
from millhand.formulas.motion import move_time_s, s_curve_move_time_s
from millhand.formulas.packing import hexagonal_places, tray_places
from millhand.formulas.reach import horizontal_reach_m
from millhand.formulas.saving import break_even_volume, naive_payback_months, plain_ratio_y
from millhand.formulas.unattended import expected_unattended_parts, unattended_ceiling_parts
from millhand.formulas.worker_machine import binomial_lost_share


def test_no_distance_takes_no_time() -> None:
    """A move of nothing is over at once, with or without a limit on jerk."""
    assert move_time_s(0.0, speed_m_s=1.0, accel_m_s2=1.0) == 0.0
    assert s_curve_move_time_s(0.0, speed_m_s=1.0, accel_m_s2=1.0, jerk_m_s3=1.0) == 0.0


def test_a_payback_that_never_comes_is_infinite() -> None:
    """Infinite sorts last, which is where a never belongs; nothing to pay back is back at once."""
    assert simple_payback_y([-100.0, 10.0, 10.0]) == math.inf
    assert discounted_payback_y([-100.0, 60.0, 45.0], rate=0.1) == math.inf
    assert simple_payback_y([0.0, 10.0]) == 0.0
    assert plain_ratio_y(100.0, saving_money_per_y=0.0) == math.inf
    assert break_even_volume(100.0, price_money_per_part=5.0, variable_money_per_part=5.0) == math.inf
    assert (
        naive_payback_months(100_000.0, loaded_wage_money_per_h=1.0, hours_per_y=3000.0, upkeep_share=0.03) == math.inf
    )


def test_a_refund_of_depreciation_ends_with_the_life() -> None:
    """The shares of all years make one; later years take nothing."""
    for life, first in ((5, 0.5), (7, 0.125), (10, 0.875)):
        shares = [macrs_share(year, life_y=life, first_year_share=first) for year in range(1, 15)]
        assert math.fsum(shares) == pytest.approx(1.0, abs=1e-12)
        assert shares[life + 1 :] == [0.0] * (13 - life)


def test_faults_always_or_never() -> None:
    """Without faults the presenter is emptied; with certain faults nothing is made."""
    assert expected_unattended_parts(0.0, pockets=40) == 40.0
    assert expected_unattended_parts(1.0, pockets=40) == 0.0
    assert expected_unattended_parts(1e-12, pockets=40) == pytest.approx(40.0, rel=1e-9)


def test_a_greater_presenter_never_passes_the_ceiling() -> None:
    """Ten times the pockets change nothing where faults end the run; ten times the faults cost most of it."""
    ceiling = unattended_ceiling_parts(0.01)

    assert expected_unattended_parts(0.01, pockets=5_000) == pytest.approx(ceiling)
    assert expected_unattended_parts(0.1, pockets=5_000) < ceiling / 10.0


def test_contact_with_the_head_has_no_speed() -> None:
    """Skull and face: no contact is allowed at any speed."""
    assert contact_speed_m_s("skull_forehead", moving_kg=20.0, payload_kg=3.0) == 0.0


def test_words_that_a_table_lacks_are_refused() -> None:
    """No nearest region or coupling is guessed."""
    with pytest.raises(KeyError):
        contact_speed_m_s("elbow", moving_kg=20.0, payload_kg=3.0)
    with pytest.raises(KeyError):
        coupling_multiplier("middling", vertical_m=0.5)


def test_more_than_fifteen_lifts_a_minute_allow_nothing() -> None:
    """The table ends, and so does what may be lifted."""
    assert frequency_multiplier(16.0, vertical_m=0.75, duration_h=1.0) == 0.0


def test_a_longer_day_is_taken_at_the_last_column_and_flagged() -> None:
    """Over eight hours the equation says nothing: the least column is used, and the valid range tells."""
    long = frequency_multiplier(4.0, vertical_m=0.75, duration_h=12.0)

    assert long == frequency_multiplier(4.0, vertical_m=0.75, duration_h=8.0) == 0.45
    assert REGISTER["frequency_multiplier"].outside({"duration_h": 12.0}) == ("duration_h = 12, valid from 0 to 8",)


def test_a_lift_in_the_best_place_allows_the_load_constant() -> None:
    """Close, at knuckle height, short, straight, seldom, with good handles: 23 kg."""
    limit_kg = recommended_weight_limit_kg(
        0.25, vertical_m=0.75, travel_m=0.25, twist_rad=0.0, frequency=1.0, coupling=1.0
    )

    assert limit_kg == pytest.approx(23.0)


def test_counts_may_come_as_fractions_of_the_machine() -> None:
    """Facts hold floats: 4.0 machines are four."""
    assert binomial_lost_share(4.0, down_share=0.2, operators=1.0) == binomial_lost_share(
        4, down_share=0.2, operators=1
    )
    assert len(state_shares(4.0, attendants=1.0, run_s=10.0, service_s=1.0)) == 5


def test_many_machines_do_not_overflow() -> None:
    """With hundreds of machines the attendant is always busy, and the numbers stay numbers."""
    assert ashcroft_machines_running(2000, run_s=1.0, service_s=5.0) == pytest.approx(0.2)
    assert math.fsum(state_shares(800, attendants=3, run_s=1.0, service_s=1.0)) == pytest.approx(1.0)


def test_an_attendant_without_work_leaves_the_pace_to_the_machines() -> None:
    """No division by nothing."""
    assert cell_rate_per_h(60.0, work_s=0.0, machines=2, parts_per_load=1) == 120.0


def test_what_does_not_fit_has_no_place() -> None:
    """A part larger than the tray, and gaps that eat the tray, leave nothing."""
    assert hexagonal_places(0.3, width_m=0.05, diameter_m=0.06) == 0
    assert tray_places(0.1, width_m=0.1, part_length_m=0.09, part_width_m=0.09, grip_gap_m=0.02, other_gap_m=0.005) == 0


def test_a_place_too_high_is_out_of_reach() -> None:
    """Above the arm's own length nothing is left in plan."""
    assert horizontal_reach_m(0.9, height_difference_m=1.0) == 0.0
