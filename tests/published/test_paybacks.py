"""park2007 (payback), sullivan2015 (simple and discounted payback), blank2018 (two robots)."""

import math
from collections.abc import Sequence
from typing import Any

import pytest

from tests.checks import MEMORY, OWN, SEEN, Check, assert_holds

PARK = (-85_000, 35_000, 45_000, 50_000, 50_000, 45_000, 35_000)
SLIDES = (-42_000, 12_000, 11_000, 10_000, 10_000, 9_000)
DISCOUNTED = tuple(amount / 1.06**year for year, amount in enumerate(SLIDES))
RUNNING = {1: "-30679", 2: "-20889", 3: "-12493", 4: "-4572", 5: "2153"}
# Equipment of 1 000 000, 350 000 a year before tax, 34 % tax, five-year declining balance, ten years.
AFTER_TAX = (-1e6, 299_000, 339_800, 296_280, 270_168, 270_168, 250_584, 231_000, 231_000, 231_000, 231_000)
ROBOT_X = (-84, 65, 65, 105)
ROBOT_Y = (-146, 91, 91, 138)
INCREMENT = tuple(y - x for x, y in zip(ROBOT_X, ROBOT_Y, strict=True))


def total(year: int) -> Check:
    """The running total of the discounted flows at the end of one year."""
    return Check(
        formula="cumulative",
        inputs={"flows_money": DISCOUNTED},
        printed=RUNNING[year],
        pick=lambda totals: float(totals[year]),
        key="sullivan2015",
        seen=SEEN,
    )


def rate_of(flows: Sequence[float], printed: str) -> Check:
    """An internal rate of the robot problem."""
    return Check(formula="internal_rate", inputs={"flows_money": flows}, printed=printed, key="blank2018", seen=SEEN)


def left(before: float, tax_share: float, depreciation: float, printed: str, **about: Any) -> Check:
    """What tax leaves of one year's flow."""
    inputs = {"flow_money": before, "depreciation_money": depreciation, "tax_share": tax_share}
    return Check(formula="after_tax_money", inputs=inputs, printed=printed, **about)


CHECKS = [
    left(40_000.0, 0.5, 21_000.0, "30500", key="sullivan2015", seen=MEMORY),
    *(  # the three-year tables of irs946 on 84 000
        left(40_000.0, 0.5, 84_000.0 * percent / 100.0, printed, key="own_computation", seen=OWN)
        for percent, printed in ((33.33, "33998.6"), (44.45, "38669.0"), (14.81, "26220.2"), (7.41, "23112.2"))
    ),
    *(  # the five-year table on 1 000 000
        left(350_000.0, 0.34, 10_000.0 * percent, printed, key="own_computation", seen=OWN)
        for percent, printed in (
            (20.0, "299000"),
            (32.0, "339800"),
            (19.2, "296280"),
            (11.52, "270168"),
            (5.76, "250584"),
        )
    ),
    Check(
        formula="annual_worth",
        inputs={"flows_money": (-84_000.0, *(30_500.0,) * 4), "rate": 0.12},
        printed="2847",
        expected=30_500.0 - 84_000.0 * 0.12 * 1.12**4 / (1.12**4 - 1.0),
        erratum="the printed figure takes the factor A/P from a table, as 0.3292",
        key="sullivan2015",
        seen=MEMORY,
    ),
    Check(
        formula="profitability_index",
        inputs={"flows_money": (-100_000.0, *(26_000.0,) * 5), "rate": 0.08},
        printed="1.0381",
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="simple_payback_y", inputs={"flows_money": PARK}, printed="2.1", exact=True, key="park2007", seen=SEEN
    ),
    Check(
        formula="cumulative",
        inputs={"flows_money": PARK},
        printed="-5000",
        exact=True,
        pick=lambda totals: float(totals[2]),
        key="park2007",
        seen=SEEN,
    ),
    Check(
        formula="simple_payback_y",
        inputs={"flows_money": SLIDES},
        printed="4",
        pick=math.ceil,
        key="sullivan2015",
        seen=SEEN,
    ),
    Check(
        formula="discounted_payback_y",
        inputs={"flows_money": SLIDES, "rate": 0.06},
        printed="5",
        pick=math.ceil,
        key="sullivan2015",
        seen=SEEN,
    ),
    *(total(year) for year in RUNNING),
    Check(
        formula="simple_payback_y",
        inputs={"flows_money": AFTER_TAX},
        printed="3.24029",
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="discounted_payback_y",
        inputs={"flows_money": AFTER_TAX, "rate": 0.05},
        printed="3.67977",
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="internal_rate", inputs={"flows_money": AFTER_TAX}, printed="0.25575", key="own_computation", seen=OWN
    ),
    Check(
        formula="internal_rate",
        inputs={"flows_money": ROBOT_X},
        printed="0.679",
        expected=0.6784997028224888,
        key="blank2018",
        seen=SEEN,
        erratum="67.85 % rounded once more; the rate is 67.84997 %",
    ),
    rate_of(ROBOT_Y, "0.478"),
    rate_of(INCREMENT, "0.1683"),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_paybacks_and_rates(check: Check) -> None:
    """Each figure comes out; the slides count whole years begun."""
    assert_holds(check)
