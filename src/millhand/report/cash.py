"""The flows of a case as tables: by years, and by months for the first two."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from millhand.model.case import BEFORE, Case, CashLine, CashRow
from millhand.model.study import Result

FURTHER = {
    "payback_whole_months": ("Payback in whole months", "months"),
    "first_payback_months": ("The balance is first at zero after", "months"),
    "crossings": ("Times that the balance comes up to zero", "count"),
    "mirr": ("Modified internal rate", "percent"),
    "annual_worth": ("The same worth every year", "money_2"),
    "profitability_index": ("Present worth for each unit paid", "ratio"),
    "cost_per_part": ("Loading a part costs", "money"),
    "npv_over_hand": ("Worth more than the best way by hand", "money_2"),
    "payback_over_hand_months": ("What it costs more than that is back after", "months"),
    "freed_machine_hours": ("Machine hours a year beyond what is ordered, not counted as money", "hours"),
    "loan_payment": ("Loan: payment a month", "money_2"),
    "loan_cost": ("Loan: present worth of what it costs", "money_2"),
    "lowest_cash": ("Lowest balance with the loan", "money_2"),
    "npv_after_tax": ("Net present worth after tax", "money_2"),
    "irr_after_tax": ("Internal rate after tax", "percent"),
    "payback_after_tax": ("Simple payback after tax", "months"),
}  # measures beside the usual ones: how a reader calls them, and their format


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """Some periods of a case under one head, and the row of their year where they are a whole one."""

    head: str
    periods: tuple[int, ...]
    row: CashRow | None = None


def by_years(case: Case) -> tuple[Column, ...]:
    """All before hand-over under one head, then every year."""
    return tuple(
        Column(
            head=f"year {row.year}" if row.year else "before",
            periods=tuple(number for number, name in enumerate(case.periods) if name in names_of(row.year)),
            row=row,
        )
        for row in case.rows
    )


def names_of(year: int) -> set[str]:
    """The periods of one year; of year 0 those before hand-over."""
    return (
        {f"month_{month}" for month in range(12 * year - 11, 12 * year + 1)} | {f"year_{year}"} if year else {*BEFORE}
    )


def by_months(case: Case, half: int) -> tuple[Column, ...]:
    """The months of one half-year, counted from 1; before the first, order, delivery and hand-over."""
    wanted = [f"month_{month}" for month in range(6 * half - 5, 6 * half + 1)]
    names = [*(BEFORE if half == 1 else ()), *wanted]
    return tuple(
        Column(head=name.replace("_", " ").replace("month ", ""), periods=(case.periods.index(name),))
        for name in names
        if name in case.periods
    )


def amount(line: CashLine, column: Column) -> float:
    """What a line comes to in a column."""
    return sum(line.by_period[period] for period in column.periods)


def net(case: Case, column: Column) -> float:
    """All lines of a column together."""
    return sum(amount(line, column) for line in case.lines)


def balance(case: Case, column: Column) -> float:
    """All lines up to the end of a column."""
    last = max(column.periods)
    return sum(sum(line.by_period[: last + 1]) for line in case.lines)


def shown_lines(case: Case) -> tuple[CashLine, ...]:
    """The lines that come to something at any time."""
    return tuple(line for line in case.lines if any(line.by_period))


def further_rows(result: Result | None) -> Sequence[tuple[str, str, str]]:
    """Words, fact id and format of the further measures."""
    found: Mapping[str, str] = result.case.further if result and result.case else {}
    return [(*FURTHER[name][:1], found[name], FURTHER[name][1]) for name in FURTHER if name in found]
