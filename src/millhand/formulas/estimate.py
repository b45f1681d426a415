"""What a cell costs to buy: catalogue prices brought into the inquiry's money, counted and added up."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="own_computation, compound growth and exchange",
    valid={"exchange_rate": POSITIVE, "escalation": (-0.5, 0.5), "age_y": (0.0, 10.0)},
)
def price_factor(exchange_rate: float, *, escalation: float, age_y: float) -> float:
    """The inquiry's money today for one unit of the catalogue's money of its price year [1].

    Source: own_computation.  Valid for prices that are up to ten years old.
    """
    return exchange_rate * math.pow(1.0 + escalation, age_y)


@formula(
    source="own_computation, price times factor",
    valid={"amount_money": NOT_NEGATIVE, "price_factor": POSITIVE},
)
def priced_money(amount_money: float, *, price_factor: float) -> float:
    """A catalogue price in the inquiry's money [money].

    Source: own_computation.  Valid for one piece.
    """
    return amount_money * price_factor


@formula(
    source="own_computation, price times pieces",
    valid={"amount_money": NOT_NEGATIVE, "price_factor": POSITIVE},
    units={"counts": "1"},
)
def priced_pieces_money(amount_money: float, *, counts: Sequence[float], price_factor: float) -> float:
    """A catalogue price times so many pieces, in the inquiry's money [money].

    Source: own_computation.  Valid for counts that are added up: machines of each kind, families of each part.

    >>> priced_pieces_money(100.0, counts=[2.0, 1.0], price_factor=1.0)
    300.0
    """
    return amount_money * math.fsum(counts) * price_factor


@formula(
    source="common_practice, price by length",
    valid={"price_money": NOT_NEGATIVE, "money_per_m": NOT_NEGATIVE, "travel_m": (0.0, 30.0)},
    units={"money_per_m": "money/m"},
)
def track_money(price_money: float, *, money_per_m: float, travel_m: float, included_m: float) -> float:
    """Price of a track: the price with a first length, and so much for each metre beyond [money].

    Source: common_practice.  Valid for tracks of one make-up; long beams cost more than in proportion.

    >>> track_money(30000.0, money_per_m=5000.0, travel_m=5.5, included_m=3.5)
    40000.0
    """
    return price_money + money_per_m * max(0.0, travel_m - included_m)


@formula(
    source="own_computation, price times length",
    valid={"length_m": NOT_NEGATIVE, "money_per_m": NOT_NEGATIVE, "price_factor": POSITIVE},
    units={"money_per_m": "money/m"},
)
def metres_money(length_m: float, *, money_per_m: float, price_factor: float) -> float:
    """A catalogue price by the metre for so many metres, in the inquiry's money [money].

    Source: own_computation.  Valid for what is sold by its length.

    >>> metres_money(4.0, money_per_m=200.0, price_factor=1.5)
    1200.0
    """
    return length_m * money_per_m * price_factor


@formula(source="own_computation, sum")
def sum_money(amounts_money: Sequence[float]) -> float:
    """Amounts added up [money].

    Source: own_computation.  Valid for amounts of one currency.

    >>> sum_money([1.0, 2.5])
    3.5
    """
    return math.fsum(amounts_money)


@formula(
    source="common_practice, contingency at concept stage",
    valid={"amount_money": NOT_NEGATIVE, "contingency_share": SHARE},
)
def contingency_money(amount_money: float, *, contingency_share: float) -> float:
    """What is put by for things nobody has thought of yet, as an amount [money].

    Source: common_practice.  Valid at concept stage.
    """
    return amount_money * contingency_share


@formula(
    source="common_practice, hours times wage",
    valid={"work_h": NOT_NEGATIVE, "wage_money_per_h": NOT_NEGATIVE},
)
def own_work_money(work_h: float, *, wage_money_per_h: float) -> float:
    """The shop's own hours at what they cost [money].

    Source: common_practice.  Valid for people whose hours cost what an hour at the machines costs.
    """
    return work_h * wage_money_per_h


@formula(
    source="own_computation, missed parts made up by hand",
    valid={"stands_d": NOT_NEGATIVE, "head_h_per_week": NOT_NEGATIVE, "days_per_week": (1.0, 7.0)},
    units={"head_h_per_week": "h", "days_per_week": "d"},
)
def standstill_money(
    stands_d: float, *, head_h_per_week: float, days_per_week: float, wage_money_per_h: float
) -> float:
    """What it costs to make up, by hand, for the days that the machines stand while the cell is put in [money].

    stands_d: working days that each machine stands. The heads at the machines work the same days once more.
    Source: own_computation.  Valid while there are free hours to catch up in; overtime premiums are not in it.
    """
    return stands_d * head_h_per_week / days_per_week * wage_money_per_h


@formula(
    source="common_practice, accuracy at concept stage",
    valid={"amount_money": NOT_NEGATIVE, "accuracy_share": SHARE},
)
def usual_low_money(amount_money: float, *, accuracy_share: float) -> float:
    """What is paid in the end when an estimate of this class turns out high [money].

    Source: common_practice.  Valid at concept stage.
    """
    return amount_money * (1.0 - accuracy_share)


@formula(
    source="common_practice, accuracy at concept stage",
    valid={"amount_money": NOT_NEGATIVE, "accuracy_share": NOT_NEGATIVE},
)
def usual_high_money(amount_money: float, *, accuracy_share: float) -> float:
    """What is paid in the end when an estimate of this class turns out low [money].

    Source: common_practice.  Valid at concept stage.
    """
    return amount_money * (1.0 + accuracy_share)


@formula(
    source="own_computation, share of a price",
    valid={"amount_money": NOT_NEGATIVE, "share": SHARE, "price_factor": POSITIVE},
)
def share_of_price_money(amount_money: float, *, share: float, price_factor: float) -> float:
    """One line of a price that covers several, in the inquiry's money [money].

    Source: own_computation.  Valid for shares that add up to one.
    """
    return amount_money * share * price_factor


@formula(
    source="common_practice, margin of the price",
    valid={"price_money": NOT_NEGATIVE, "margin_share": SHARE},
)
def margin_money(price_money: float, *, margin_share: float) -> float:
    """What is left of a price for whoever builds it, after what it costs him [money].

    Source: common_practice.  Valid for a margin counted on the price, not on the cost.
    """
    return price_money * margin_share


@formula(
    source="common_practice, price less margin",
    valid={"price_money": NOT_NEGATIVE, "margin_money": NOT_NEGATIVE},
)
def cost_money(price_money: float, *, margin_money: float) -> float:
    """What a cell costs whoever builds it [money].

    Source: common_practice.  Valid for a margin of the same price.
    """
    return price_money - margin_money
