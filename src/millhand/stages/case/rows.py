"""The case over time: every line by months for two years and by years after them, and the net of each year."""

import math
from collections.abc import Iterator

from millhand.formulas.cashflow import months_money, year_money
from millhand.model.case import BEFORE, CashLine, CashRow
from millhand.model.fact import Fact
from millhand.stages.case.ledger import Ledger, Line, Steady
from millhand.stages.case.paid import Once, paid
from millhand.trace import apply, found

MONTHS = 24  # shown one by one; then years


def periods(ledger: Ledger) -> tuple[str, ...]:
    """Before hand-over, each month of the first two years, each year after them within the horizon."""
    years = horizon(ledger)
    months = (f"month_{month}" for month in range(1, 1 + min(MONTHS, 12 * years)))
    return (*BEFORE, *months, *(f"year_{year}" for year in range(3, years + 1)))


def horizon(ledger: Ledger) -> int:
    """Years that the table shows; of the last one perhaps only a part is counted."""
    return math.ceil(ledger.inquiry.money.horizon_y.value)


def counted(ledger: Ledger, year: int) -> float:
    """How much of a year lies within the years that are counted."""
    return max(0.0, min(1.0, ledger.inquiry.money.horizon_y.value - (year - 1)))


def cash_lines(ledger: Ledger, steady: Steady) -> tuple[CashLine, ...]:
    """What is paid once, the lines of every year, and what is left at the end."""
    return (
        *(_once(ledger, each) for each in paid(ledger)),
        *(_yearly(ledger, line, steady) for line in steady.lines),
        *_left(ledger, steady),
    )


def _once(ledger: Ledger, once: Once) -> CashLine:
    """What is paid before hand-over, each share in its time."""
    amounts = [once.amount.value * share for share in once.shares]
    return CashLine(
        id=once.id, words=once.words, group="paid", amount=once.amount.id, growth=None,
        by_period=(*amounts, *[0.0] * (len(periods(ledger)) - len(BEFORE))),
    )  # fmt: skip


def _yearly(ledger: Ledger, line: Line, steady: Steady) -> CashLine:
    """One line of every year."""
    years = horizon(ledger)
    given = {"growths": (line.growth.value,), "ramp_up": tuple(fact.value for fact in steady.ramp_up)}
    flow = (line.yearly.value,)
    whole = months_money(flow, months=min(MONTHS, 12 * years), **given)
    months = (amount * counted(ledger, month // 12 + 1) for month, amount in enumerate(whole))
    later = (year_money(flow, year=float(year), **given) * counted(ledger, year) for year in range(3, years + 1))
    return CashLine(
        id=line.id, words=line.words, group=line.group, amount=line.yearly.id, growth=line.growth.id,
        by_period=(*[0.0] * len(BEFORE), *months, *later),
    )  # fmt: skip


def _left(ledger: Ledger, steady: Steady) -> Iterator[CashLine]:
    """What the equipment still brings at the end."""
    if steady.left is not None:
        nothing = [0.0] * (len(periods(ledger)) - 1)
        yield CashLine(
            id="residual", words="what the equipment still brings", group="left", amount=steady.left.id, growth=None,
            by_period=(*nothing, steady.left.value),
        )  # fmt: skip


def cash_rows(ledger: Ledger, steady: Steady) -> tuple[CashRow, ...]:
    """Year 0 and every year within the horizon, each the sum of its lines, and the sum up to there."""
    net = apply(ledger.sheet, "spent_money", ledger.id("net.year_0"), amount_money=steady.outlay)
    rows = [_row(ledger, 0, net, None)]
    for year in range(1, horizon(ledger) + 1):
        last = year == horizon(ledger)
        net = apply(
            ledger.sheet, "year_money", ledger.id(f"{'flows' if last else 'net'}.year_{year}"),
            **steady.years, year=number(ledger, year),
        )  # fmt: skip
        if last and counted(ledger, year) < 1.0:
            net = apply(
                ledger.sheet, "part_of_year_money", ledger.id(f"part.year_{year}"),
                amount_money=net, year=number(ledger, year), horizon_y=ledger.inquiry.money.horizon_y,
            )  # fmt: skip
        if last:
            left = () if steady.left is None else (steady.left,)
            net = apply(ledger.sheet, "sum_money", ledger.id(f"net.year_{year}"), amounts_money=(net, *left))
        rows.append(_row(ledger, year, net, ledger.sheet[rows[-1].cumulative]))
    return tuple(rows)


def number(ledger: Ledger, year: int) -> Fact:
    """The number of a year, as the formulas take it."""
    why = "follows from the count of years from hand-over"
    return found(ledger.sheet, Fact(id=f"money.year_{year}", value=float(year), unit="1", basis="computed", source=why))


def _row(ledger: Ledger, year: int, net: Fact, before: Fact | None) -> CashRow:
    """One year with the sum up to here."""
    amounts = (net,) if before is None else (before, net)
    total = apply(ledger.sheet, "sum_money", ledger.id(f"cumulative.year_{year}"), amounts_money=amounts)
    return CashRow(year=year, net=net.id, cumulative=total.id)
