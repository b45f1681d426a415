"""What a cell costs to run besides people and upkeep: power, floor, insurance, scrap; and what is left of it."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import SAME, formula


@formula(
    source="own_computation, price times factor",
    unit=SAME,
    valid={"amount": NOT_NEGATIVE, "price_factor": POSITIVE},
    units={"amount": "as given"},
)
def priced_rate(amount: float, *, price_factor: float) -> float:
    """A catalogue's price of a kilowatt hour, a square metre, a kilogram in the inquiry's money [as its input].

    Source: own_computation.  Valid for prices of the catalogue's price year.
    """
    return amount * price_factor


@formula(
    source="own_computation, power times hours",
    valid={"powers_w": NOT_NEGATIVE, "running_h_per_y": NOT_NEGATIVE, "money_per_kwh": NOT_NEGATIVE},
    units={"powers_w": "W", "money_per_kwh": "money/kWh", "running_h_per_y": "h/y"},
)
def energy_money_per_y(powers_w: Sequence[float], *, running_h_per_y: Sequence[float], money_per_kwh: float) -> float:
    """What the electricity of a year costs, compressed air counted as the power of its compressor [money/y].

    Source: own_computation.  Valid for mean powers over the hours in which the cell runs.

    >>> energy_money_per_y([800.0, 200.0], running_h_per_y=[3000.0, 1000.0], money_per_kwh=0.25)
    1000.0
    """
    return math.fsum(powers_w) / 1000.0 * math.fsum(running_h_per_y) * money_per_kwh


@formula(
    source="common_practice, rent of the floor",
    valid={"area_m2": NOT_NEGATIVE, "money_per_m2": NOT_NEGATIVE},
    units={"money_per_m2": "money/(m2 y)"},
)
def floor_money_per_y(area_m2: float, *, money_per_m2: float) -> float:
    """What the floor of a cell costs in a year [money/y].

    Source: common_practice.  Valid for floor that could be used or let otherwise.
    """
    return area_m2 * money_per_m2


@formula(
    source="common_practice, share of the price",
    valid={"price_money": NOT_NEGATIVE, "insurance_share": SHARE},
)
def insurance_money_per_y(price_money: float, *, insurance_share: float) -> float:
    """Insurance and licences of a year, as an amount [money/y].

    Source: common_practice.  Valid until an insurer's offer is there.
    """
    return price_money * insurance_share


@formula(
    source="own_computation, change of scrap",
    valid={
        "parts_per_y": NOT_NEGATIVE,
        "more_share": SHARE,
        "less_share": SHARE,
        "material_money_per_part": NOT_NEGATIVE,
    },
    units={"material_money_per_part": "money/part"},
)
def scrap_money_per_y(
    parts_per_y: float, *, more_share: float, less_share: float, material_money_per_part: float
) -> float:
    """What more scrap and rework than today costs in a year, below zero where there is less [money/y].

    more_share: of all parts, those that the arm spoils; less_share: those that loading by hand spoils today.
    Source: own_computation.  Valid for parts of which only the material is lost.
    """
    return parts_per_y * (more_share - less_share) * material_money_per_part


@formula(
    source="own_computation, mass times price",
    valid={"raw_mass_kg": NOT_NEGATIVE, "money_per_kg": NOT_NEGATIVE},
    units={"money_per_kg": "money/kg"},
    unit="money/part",
)
def material_money_per_part(raw_mass_kg: float, *, money_per_kg: float) -> float:
    """What the raw part costs, by its mass [money/part].

    Source: own_computation.  Valid until the shop says what a raw part costs.
    """
    return raw_mass_kg * money_per_kg


@formula(
    source="common_practice, parts used up in trials",
    valid={"trial_parts": NOT_NEGATIVE, "material_money_per_part": NOT_NEGATIVE},
    units={"material_money_per_part": "money/part"},
)
def trial_parts_money(trial_parts: float, *, material_money_per_part: float) -> float:
    """What the parts that trials use up cost [money].

    Source: common_practice.  Valid for parts of which only the material is lost.
    """
    return trial_parts * material_money_per_part


@formula(
    source="common_practice, share of the equipment",
    valid={"equipment_money": NOT_NEGATIVE, "residual_share": SHARE},
)
def residual_money(equipment_money: float, *, residual_share: float) -> float:
    """What the equipment still brings at the end of the years that are counted [money].

    Source: common_practice.  Valid for arms and standard pieces; fingers, fences and work bring nothing.
    """
    return equipment_money * residual_share


@formula(
    source="newnan2004, ch. 4, single payment present worth",
    valid={"rate": (-0.5, 1.0), "horizon_y": (1.0, 30.0)},
    unit="money",
)
def worth_now_money(amount_money: float, *, rate: float, horizon_y: float) -> float:
    """Present worth of one amount at the end of the last year that is counted, of part of a year as of a whole [money].

    Source: newnan2004, ch. 4.  Valid for a rate a year above -1.
    """
    return float(amount_money / (1.0 + rate) ** math.ceil(horizon_y))


@formula(
    source="newnan2004, ch. 4, single payment compound amount",
    valid={"price_money": NOT_NEGATIVE, "rate": (-0.5, 1.0), "ahead_s": NOT_NEGATIVE},
    units={"shares": "1", "ahead_s": "s"},
)
def paid_ahead_money(price_money: float, *, shares: Sequence[float], ahead_s: Sequence[float], rate: float) -> float:
    """What it costs that shares of a price are paid before hand-over: their interest until then [money].

    ahead_s: how long before hand-over each share is paid.
    Source: newnan2004, ch. 4.  Valid for a rate a year above -1.

    >>> round(paid_ahead_money(1000.0, shares=[0.5, 0.5], ahead_s=[31557600.0, 0.0], rate=0.1), 9)
    50.0
    """
    years = [each / 31_557_600.0 for each in ahead_s]
    grown = (share * math.expm1(ahead * math.log1p(rate)) for share, ahead in zip(shares, years, strict=True))
    return price_money * math.fsum(grown)


@formula(source="own_computation, what is left of one", valid={}, units={"taken_shares": "1"})
def rest_share(taken_shares: Sequence[float]) -> float:
    """What shares of a whole leave [1].

    Source: own_computation.  Valid for shares that do not exceed one together.

    >>> rest_share([0.25, 0.5])
    0.25
    """
    return 1.0 - math.fsum(taken_shares)


@formula(
    source="own_computation, price less grant",
    valid={"amount_money": NOT_NEGATIVE, "grant_money": NOT_NEGATIVE},
)
def less_grant_money(amount_money: float, *, grant_money: float) -> float:
    """What is left to pay after a grant; never below zero [money].

    Source: own_computation.  Valid for a grant that is paid when the cell is handed over.

    >>> less_grant_money(100.0, grant_money=30.0)
    70.0
    """
    return max(0.0, amount_money - grant_money)


@formula(
    source="own_computation, no more than there is to pay",
    valid={"grant_money": NOT_NEGATIVE, "amount_money": NOT_NEGATIVE},
)
def used_grant_money(grant_money: float, *, amount_money: float) -> float:
    """What is used of a grant: no more than there is to pay [money].

    Source: own_computation.  Valid for a grant that is paid when the cell is handed over.

    >>> used_grant_money(300.0, amount_money=100.0)
    100.0
    """
    return min(grant_money, amount_money)
