"""What a saving is worth: loaded wage, saving a year, plain ratios, break-even."""

import math

from millhand.formulas.limits import NOT_NEGATIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="blsecec, wages and benefits an hour",
    unit="money/h",
    valid={"wage_money_per_h": NOT_NEGATIVE, "on_cost_share": (0.0, 1.5)},
)
def loaded_wage_per_h(wage_money_per_h: float, *, on_cost_share: float) -> float:
    """Cost of an hour with on-cost (contributions, insurance, paid absence) [money/h].

    Say per which hour the share is meant: paid or worked.
    Source: blsecec.  Valid for an on-cost share of the wage.
    """
    return wage_money_per_h * (1.0 + on_cost_share)


@formula(
    source="common_practice, sum of the effects",
    unit="money/y",
    valid={
        "freed_h_per_y": NOT_NEGATIVE,
        "loaded_wage_money_per_h": NOT_NEGATIVE,
        "usable_share": SHARE,
        "extra_parts_per_y": NOT_NEGATIVE,
        "contribution_money_per_part": NOT_NEGATIVE,
        "upkeep_money_per_y": NOT_NEGATIVE,
    },
)
def saving_per_y(
    freed_h_per_y: float,
    *,
    loaded_wage_money_per_h: float,
    usable_share: float,
    extra_parts_per_y: float,
    contribution_money_per_part: float,
    upkeep_money_per_y: float,
) -> float:
    """Saving a year: freed hours that become real value, extra parts that are sold, less upkeep [money/y].

    usable_share is the share of the freed hours that somebody pays less for or uses; extra parts count only as far as
    they are ordered.
    Source: common_practice, sum of the effects.  Valid for hours and parts that exist today.
    """
    wages = freed_h_per_y * usable_share * loaded_wage_money_per_h
    return wages + extra_parts_per_y * contribution_money_per_part - upkeep_money_per_y


@formula(
    source="common_practice, price over yearly saving",
    unit="y",
    valid={"price_money": NOT_NEGATIVE},
)
def plain_ratio_y(price_money: float, *, saving_money_per_y: float) -> float:
    """Price over yearly saving; infinite when nothing is saved [y].

    Source: common_practice.  Valid for a saving that is the same every year.
    """
    return price_money / saving_money_per_y if saving_money_per_y > 0.0 else math.inf


@formula(
    source="common_practice, price over the whole wage",
    unit="months",
    valid={
        "price_money": NOT_NEGATIVE,
        "loaded_wage_money_per_h": NOT_NEGATIVE,
        "hours_per_y": (0.0, 8784.0),
        "upkeep_share": (0.0, 0.5),
    },
    units={"hours_per_y": "h/y"},
)
def naive_payback_months(
    price_money: float, *, loaded_wage_money_per_h: float, hours_per_y: float, upkeep_share: float
) -> float:
    """Months in which a whole operator's wage pays the price back, upkeep taken off; infinite when never [months].

    What is said across the table, shown so that the study can say why it is too good: nobody else to refill, gauge and
    clear faults, every hour worth its wage, no ramp-up. upkeep_share is of the price, a year.
    Source: common_practice.  Valid for one operator's post filled for hours_per_y.
    """
    yearly = loaded_wage_money_per_h * hours_per_y - upkeep_share * price_money
    return 12.0 * price_money / yearly if yearly > 0.0 else math.inf


@formula(
    source="own_computation, fixed over contribution",
    unit="parts",
    valid={"fixed_money": NOT_NEGATIVE},
)
def break_even_volume(fixed_money: float, *, price_money_per_part: float, variable_money_per_part: float) -> float:
    """Number of parts at which contribution pays the fixed cost; infinite when a part contributes nothing [parts].

    Source: own_computation.  Valid for constant price and cost a part.
    """
    contribution = price_money_per_part - variable_money_per_part
    return fixed_money / contribution if contribution > 0.0 else math.inf
