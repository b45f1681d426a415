"""How a shop counts money: rate, horizon and growth, prices it knows better, tax and its books, financing."""

from dataclasses import dataclass

from millhand.model.fact import Choice, Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Books:
    """How equipment is written off for tax; which way may be taken the local tax code and an adviser say."""

    way: Choice  # straight_line, declining_balance, years_digits, macrs, at_once, table
    years_y: Fact  # life in the books
    quarter: Fact | None = None  # of the tax year in which the cell starts work; None: in its middle
    other_money: Fact | None = None  # other equipment put to work in the same tax year
    other_last_money: Fact | None = None  # of that, in its last quarter
    shares: tuple[Fact, ...] = ()  # of a table of the shop's own, year by year


@dataclass(frozen=True, slots=True, kw_only=True)
class Financing:
    """Where the money for a cell comes from: a loan on a share of it, or a lease of the whole."""

    way: Choice  # loan, lease
    share: Fact  # of what is paid before hand-over
    rate: Fact  # a year, of the loan
    years_y: Fact
    payment_per_y: Fact | None = None  # of a lease, paid by months; None: as a loan over the whole
    end_money: Fact | None = None  # paid at the end to keep what was leased


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """How the shop counts money."""

    rate: Fact  # discount rate a year
    horizon_y: Fact
    wage_growth: Fact  # a year
    exchange_rate: Fact  # inquiry's money for one unit of the catalogue's money
    escalation: Fact  # a year, from the catalogue's price year on
    tax: Fact | None  # share of profit; None: the case is before tax
    upkeep: Fact | None = None  # money a year, from a service offer; None: a share of the price
    energy_price: Fact | None = None  # money/kWh
    floor_cost: Fact | None = None  # money a year for a square metre
    raw_cost: Fact | None = None  # money/part, what a raw part costs on average; None: by its mass
    grant: Fact | None = None  # money, paid at hand-over
    books: Books | None = None  # None where the case is before tax
    financing: Financing | None = None  # None: paid out of the shop's own money
