"""park2007 (payback), sullivan2015 (simple and discounted payback), blank2018 (two robots)."""

import math
from collections.abc import Sequence

import pytest

from tests.checks import OWN, SEEN, Check, assert_holds

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


CHECKS = [
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
