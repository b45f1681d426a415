"""What a concept earns against today, year by year, and how soon the money is back."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class CashRow:
    """One year after hand-over (year 0: what is paid before). Every amount is a fact id."""

    year: int
    amounts: Mapping[str, str]  # line name (labour, extra_output, upkeep, floor, programming, price ...): fact id
    net: str
    cumulative: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One step from the naive count towards the honest figure."""

    words: str
    payback: str | None  # fact id [months]; None: never within the horizon


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """The business case of one concept; every figure a fact id; None with a reason where there is no figure."""

    concept: str
    against: str
    rows: tuple[CashRow, ...]
    saving_per_y: str  # steady year, price-linked costs left out
    payback_months: str | None  # simple, from hand-over
    payback_from_order_months: str | None
    discounted_payback_months: str | None
    npv: str
    irr: str | None
    plain_ratio_y: str | None  # price over the steady yearly saving
    naive_payback_months: str | None
    rungs: tuple[Rung, ...] = ()
    hurdle_chance: str | None = None
    reasons: Mapping[str, str] = field(default_factory=dict)  # figure name: why it is None
    outlay: str = ""  # fact id: what is paid before hand-over, the shop's own work in it
    yearly: tuple[str, ...] = ()  # fact ids of a steady year: labour, output, running cost
    ramp_up: tuple[str, ...] = ()  # fact ids: share of the gain that each of the first months brings
    freed_h_per_y: str = ""  # fact id
    hurdle_balance: str = ""  # fact id: money back less money out at the hurdle; from 0 up the hurdle is met
