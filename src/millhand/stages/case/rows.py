"""The case year by year: what is paid before hand-over, then every line of every year within the horizon."""

from collections.abc import Mapping

from millhand.model.case import CashRow
from millhand.model.fact import Fact
from millhand.stages.case.ledger import Ledger, Steady
from millhand.trace import apply


def cash_rows(ledger: Ledger, steady: Steady) -> tuple[CashRow, ...]:
    """Year 0 and every year within the horizon; costs stand below zero, so that a net is the sum of its row."""
    estimate, sheet = ledger.estimate, ledger.sheet
    paid = {
        name: apply(ledger.sheet, "spent_money", ledger.id(f"{name}.year_0"), amount_money=sheet[fact_id])
        for name, fact_id in (("price", estimate.installed), ("own_work", estimate.own))
    }
    rows = [_row(ledger, 0, paid, None)]
    lines = _first_year(ledger, steady)
    for year in range(1, round(ledger.inquiry.money.horizon_y.value) + 1):
        if year > 1:
            lines = _next_year(ledger, steady, year, lines)
        rows.append(_row(ledger, year, lines, sheet[rows[-1].cumulative]))
    return tuple(rows)


def _first_year(ledger: Ledger, steady: Steady) -> Mapping[str, Fact]:
    """The lines of the year after hand-over, gains cut by the ramp-up."""
    gains = {
        name: apply(
            ledger.sheet, "first_year_money", ledger.id(f"{name}.year_1"), amount_money=gain, ramp_up=steady.ramp_up
        )
        for name, gain in (("labour", steady.labour), ("extra_output", steady.extra))
    }
    costs = {"lost_output": steady.lost, "upkeep": steady.upkeep, "programming": steady.programming,
             "fingers": steady.fingers}  # fmt: skip
    return gains | {
        name: apply(ledger.sheet, "spent_money", ledger.id(f"{name}.year_1"), amount_money=cost)
        for name, cost in costs.items()
    }


def _next_year(ledger: Ledger, steady: Steady, year: int, before: Mapping[str, Fact]) -> Mapping[str, Fact]:
    """The lines one year on: labour and running cost grow with the wages, what output is worth stays."""
    whole = {**before, "labour": steady.labour if year == 2 else before["labour"], "extra_output": steady.extra}
    grows = ("labour", "upkeep", "programming", "fingers")
    return {
        name: apply(
            ledger.sheet, "grown_money", ledger.id(f"{name}.year_{year}"), amount_money=fact, growth=steady.growth
        )
        if name in grows
        else fact
        for name, fact in whole.items()
    }


def _row(ledger: Ledger, year: int, lines: Mapping[str, Fact], before: Fact | None) -> CashRow:
    """One year with its net, and the sum up to here."""
    net = apply(ledger.sheet, "sum_money", ledger.id(f"net.year_{year}"), amounts_money=tuple(lines.values()))
    total = apply(
        ledger.sheet,
        "sum_money",
        ledger.id(f"cumulative.year_{year}"),
        amounts_money=(net,) if before is None else (before, net),
    )
    amounts = {name: fact.id for name, fact in lines.items()}
    return CashRow(year=year, amounts=amounts, net=net.id, cumulative=total.id)
