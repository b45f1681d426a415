"""common_practice: what is said across the table, with no source, and sums that need none."""

import pytest

from tests.checks import OWN, Check, assert_holds

# 60 000, 25 an hour with 32 % on-cost, the whole wage saved, upkeep 3 % of the price a year.
OFFER = {"price_money": 60_000.0, "loaded_wage_money_per_h": 25.0 * 1.32, "upkeep_share": 0.03}
GAP = {"exchange_s": 15.0, "handshake_s": 5.0, "door_s": 3.0, "blow_off_s": 8.0}

CHECKS = [
    Check(  # two shifts of 8 h on 250 days; 'about five and a half months'
        formula="naive_payback_months",
        inputs=OFFER | {"hours_per_y": 2 * 8 * 250},
        printed="5.5",
        key="common_practice",
        seen=OWN,
    ),
    Check(
        formula="naive_payback_months",
        inputs=OFFER | {"hours_per_y": 2 * 8 * 250},
        expected=lambda: 12.0 * 60_000.0 / (132_000.0 - 1_800.0),
        key="common_practice",
        seen=OWN,
    ),
    Check(  # round the clock, 365 days; 'about two and a half months'
        formula="naive_payback_months",
        inputs=OFFER | {"hours_per_y": 24 * 365},
        printed="2.5",
        key="common_practice",
        seen=OWN,
    ),
    Check(
        formula="plain_ratio_y",
        inputs={"price_money": 150_000.0, "saving_money_per_y": 60_000.0},
        printed="2.5",
        exact=True,
        key="common_practice",
        seen=OWN,
    ),
    Check(
        formula="saving_per_y",
        inputs={
            "freed_h_per_y": 2_000.0,
            "loaded_wage_money_per_h": 33.0,
            "usable_share": 0.5,
            "extra_parts_per_y": 1_000.0,
            "contribution_money_per_part": 12.0,
            "upkeep_money_per_y": 4_000.0,
        },
        printed="41000",
        exact=True,
        key="common_practice",
        seen=OWN,
    ),
    Check(
        formula="machine_gap_single_s",
        inputs=GAP | {"away_s": 12.0},
        printed="46",
        exact=True,
        key="common_practice",
        seen=OWN,
    ),
    Check(
        formula="machine_gap_double_s",
        inputs=GAP | {"turn_s": 2.0},
        printed="36",
        exact=True,
        key="common_practice",
        seen=OWN,
    ),
    Check(
        formula="least_limit",
        inputs={"limits_s": (25 * 240.0, 5_400.0, 28_800.0)},
        printed="5400",
        exact=True,
        key="common_practice",
        seen=OWN,
    ),
    Check(  # cell 3 m x 2 m and outfeed 1 m x 1 m, walkway 0.8 m
        formula="floor_area_m2",
        inputs={"lengths_m": (3.0, 1.0), "widths_m": (2.0, 1.0), "walkway_m": 0.8},
        printed="13.88",
        exact=True,
        key="common_practice",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_trade_figures(check: Check) -> None:
    """What the trade says follows from the stated inputs, with nothing tuned."""
    assert_holds(check)
