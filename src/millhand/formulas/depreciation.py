"""How the price of equipment is spread over the years for the books and for tax, and what tax leaves of a flow.

Which way may be taken where, and for which property, the local tax code and an adviser say.
"""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

FIRST_YEAR_SHARES = {"half_year": 0.5, "quarter_1": 0.875, "quarter_2": 0.625, "quarter_3": 0.375, "quarter_4": 0.125}
FORTY_PERCENT = 0.4


@formula(
    source="newnan2004, ch. 11, straight line",
    unit="money/y",
    valid={"cost_money": NOT_NEGATIVE, "salvage_money": NOT_NEGATIVE, "years": POSITIVE},
)
def straight_line_depreciation(cost_money: float, *, salvage_money: float, years: float) -> float:
    """Equal yearly depreciation from cost down to salvage value [money/y].

    Source: newnan2004, ch. 11.  Valid for a life above zero.
    """
    return (cost_money - salvage_money) / years


@formula(
    source="irs946, appendix A, tables A-1 to A-5",
    unit="1",
    valid={"year": FROM_ONE, "life_y": (3.0, 10.0), "first_year_share": (0.125, 0.875)},
)
def macrs_share(year: float, *, life_y: float, first_year_share: float) -> float:
    """Share of the depreciable basis taken in one recovery year, computed by the rule [0..1].

    200 % declining balance, changing to straight line in the first year in which that gives as much. first_year_share:
    0.5 half-year; 0.875, 0.625, 0.375, 0.125 mid-quarter of quarters 1 to 4 (FIRST_YEAR_SHARES). The printed tables
    round so that a column adds to 100 %, so single entries differ in the last digit.
    Source: irs946, appendix A.  Valid for 3, 5, 7 and 10 year property; no tax advice.
    """
    left, elapsed, share = 1.0, 0.0, 0.0
    for number in range(1, round(year) + 1):
        held = first_year_share if number == 1 else min(1.0, life_y - elapsed)
        if held <= 0.0:
            return 0.0
        share = max(left * 2.0 / life_y * held, left * held / (life_y - elapsed))
        left, elapsed = left - share, elapsed + held
    return share


@formula(
    source="spreadsheet, declining balance",
    unit="money",
    valid={
        "cost_money": NOT_NEGATIVE, "salvage_money": NOT_NEGATIVE, "life_y": FROM_ONE, "year": FROM_ONE,
        "factor": (1.0, 3.0),
    },
)  # fmt: skip
def declining_balance_depreciation(
    cost_money: float, *, salvage_money: float, life_y: float, year: float, factor: float
) -> float:
    """Depreciation of one year at factor / life of what is left, but not below the salvage value [money].

    A factor of 2 is the double-declining balance.
    Source: spreadsheet, DDB.  Valid for whole years of the life.
    """
    kept = 1.0 - min(1.0, factor / life_y)
    before, after = (float(cost_money * kept**years) for years in (year - 1.0, year))
    return max(salvage_money, before) - max(salvage_money, after)


@formula(
    source="spreadsheet, sum of years' digits",
    unit="money",
    valid={"cost_money": NOT_NEGATIVE, "salvage_money": NOT_NEGATIVE, "life_y": FROM_ONE, "year": FROM_ONE},
)
def sum_of_years_depreciation(cost_money: float, *, salvage_money: float, life_y: float, year: float) -> float:
    """Depreciation of one year in the ratio of the years that are left to the sum of all of them [money].

    Source: spreadsheet, SYD.  Valid for whole years of the life.
    """
    return (cost_money - salvage_money) * (life_y + 1.0 - year) * 2.0 / (life_y * (life_y + 1.0))


@formula(
    source="irs946, ch. 4, mid-quarter convention",
    unit="1",
    valid={"last_quarter_money": NOT_NEGATIVE, "whole_year_money": POSITIVE},
)
def mid_quarter_applies(last_quarter_money: float, *, whole_year_money: float) -> float:
    """1 where more than 40 % of the year's personal property went into service in its last quarter, else 0 [1].

    Then the mid-quarter tables hold for all of it, also for what came before; real property counts in neither sum.
    Source: irs946, ch. 4.  Valid for depreciable bases of one tax year; no tax advice.

    >>> mid_quarter_applies(5000.0, whole_year_money=10000.0), mid_quarter_applies(4000.0, whole_year_money=10000.0)
    (1.0, 0.0)
    """
    return 1.0 if last_quarter_money > FORTY_PERCENT * whole_year_money else 0.0


@formula(
    source="newnan2004, ch. 12, after-tax cash flow", unit="money", valid={"tax_share": (0.0, 1.0)},
)  # fmt: skip
def after_tax_money(flow_money: float, *, depreciation_money: float, tax_share: float) -> float:
    """What is left of a year's flow after tax on it less the depreciation; a loss saves tax elsewhere [money].

    Source: newnan2004, ch. 12.  Valid for a shop that pays tax on other gains too; no tax advice.
    """
    return flow_money - tax_share * (flow_money - depreciation_money)


@formula(
    source="newnan2004, ch. 11, what is written off in one year",
    unit="money",
    valid={"cost_money": NOT_NEGATIVE, "year": FROM_ONE, "years": FROM_ONE},
)
def straight_line_of_year_money(cost_money: float, *, years: float, year: float) -> float:
    """Straight line: the same every year of the life, nothing after it [money].

    Source: newnan2004, ch. 11.  Valid for whole years and nothing left at the end.

    >>> straight_line_of_year_money(100.0, years=4.0, year=4.0), straight_line_of_year_money(100.0, years=4.0, year=5.0)
    (25.0, 0.0)
    """
    return straight_line_depreciation(cost_money, salvage_money=0.0, years=years) if year <= years else 0.0


@formula(
    source="newnan2004, ch. 11, declining balance with change to straight line",
    unit="money",
    valid={"cost_money": NOT_NEGATIVE, "years": FROM_ONE, "year": FROM_ONE},
)
def declining_of_year_money(cost_money: float, *, years: float, year: float) -> float:
    """Double declining balance, changing to straight line in the first year in which that gives as much [money].

    Source: newnan2004, ch. 11.  Valid for whole years and nothing left at the end.

    >>> [declining_of_year_money(1000.0, years=5.0, year=year) for year in (1.0, 2.0, 6.0)]
    [400.0, 240.0, 0.0]
    """
    left = cost_money
    written = 0.0
    for number in range(1, round(year) + 1):
        rest = years - number + 1.0
        written = 0.0 if rest <= 0.0 else min(left, max(left * 2.0 / years, left / rest))
        left -= written
    return written


@formula(
    source="spreadsheet, sum of years' digits",
    unit="money",
    valid={"cost_money": NOT_NEGATIVE, "years": FROM_ONE, "year": FROM_ONE},
)
def digits_of_year_money(cost_money: float, *, years: float, year: float) -> float:
    """Sum of the years' digits, nothing after the life [money].

    Source: spreadsheet, SYD.  Valid for whole years and nothing left at the end.
    """
    if year > years:
        return 0.0
    return sum_of_years_depreciation(cost_money, salvage_money=0.0, life_y=years, year=year)


@formula(
    source="irs946, appendix A",
    unit="money",
    valid={"cost_money": NOT_NEGATIVE, "years": (3.0, 10.0), "first_year_share": (0.125, 0.875), "year": FROM_ONE},
)
def macrs_of_year_money(cost_money: float, *, years: float, first_year_share: float, year: float) -> float:
    """What is written off in one recovery year by MACRS [money].

    first_year_share: 0.5 half-year; of the mid-quarter convention 0.875, 0.625, 0.375, 0.125 for quarters 1 to 4.
    Source: irs946, appendix A.  Valid for 3, 5, 7 and 10 year property; no tax advice.
    """
    return cost_money * macrs_share(year, life_y=years, first_year_share=first_year_share)


@formula(
    source="irs946, ch. 4, convention",
    unit="1",
    valid={"quarter": (1.0, 4.0), "cost_money": NOT_NEGATIVE, "other_money": NOT_NEGATIVE, "last_money": NOT_NEGATIVE},
)
def first_year_of_quarter(quarter: float, *, cost_money: float, other_money: float, last_money: float) -> float:
    """Share of a whole first year: half of it, or by quarters where over 40 % of the year's sum came in the last [1].

    other_money: other equipment of the same tax year; last_money: of that, in its last quarter.
    Source: irs946, ch. 4.  Valid for personal property of one tax year; no tax advice.

    >>> first_year_of_quarter(4.0, cost_money=50.0, other_money=50.0, last_money=0.0)
    0.125
    >>> first_year_of_quarter(4.0, cost_money=50.0, other_money=100.0, last_money=0.0)
    0.5
    """
    late = last_money + (cost_money if round(quarter) == 4 else 0.0)
    whole = cost_money + other_money
    if whole <= 0.0 or not mid_quarter_applies(late, whole_year_money=whole):
        return FIRST_YEAR_SHARES["half_year"]
    return FIRST_YEAR_SHARES[f"quarter_{round(quarter)}"]


@formula(
    source="own_computation, a table of shares",
    unit="money",
    valid={"cost_money": NOT_NEGATIVE, "year": FROM_ONE},
    units={"shares": "1"},
)
def table_of_year_money(cost_money: float, *, shares: Sequence[float], year: float) -> float:
    """What is written off in one year by a table of the shop's own, nothing after its last year [money].

    Source: own_computation.  Valid for shares that add up to one.

    >>> table_of_year_money(100.0, shares=[0.5, 0.5], year=2.0), table_of_year_money(100.0, shares=[0.5, 0.5], year=3.0)
    (50.0, 0.0)
    """
    number = round(year)
    return cost_money * shares[number - 1] if number <= len(shares) else 0.0


@formula(source="own_computation, all at once", unit="money", valid={"cost_money": NOT_NEGATIVE, "year": FROM_ONE})
def at_once_of_year_money(cost_money: float, *, year: float) -> float:
    """Immediate expensing: all of it in the first year [money].

    Source: own_computation.  Valid where the local tax code allows it; no tax advice.
    """
    return cost_money if round(year) == 1 else 0.0


@formula(
    source="own_computation, what is not written off yet",
    unit="money",
    valid={"cost_money": NOT_NEGATIVE},
    units={"written_money": "money"},
)
def book_value_money(cost_money: float, *, written_money: Sequence[float]) -> float:
    """What is left in the books after the years that are counted: written off against what is left then [money].

    Source: own_computation.  Valid for the years in order.

    >>> book_value_money(100.0, written_money=[50.0, 20.0])
    30.0
    """
    return cost_money - math.fsum(written_money)
