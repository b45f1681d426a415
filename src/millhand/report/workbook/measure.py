"""One row of the sheet of measures, and what several of them need."""

from dataclasses import dataclass

from millhand.report.workbook.flows import NEVER

MONTH = '0.0" months"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One row: its formula, what it comes to, and the study's own fact where there is one."""

    words: str
    says: str
    value: float | str
    form: str
    how: str
    name: str = ""  # in formulas
    fact: str | None = None
    key: bool = False


def never(found: str) -> str:
    """A time in months, or the words that it does not come within the years counted."""
    return f'IF({found}>12*years_counted,"{NEVER}",{found})'


def last_below(nets: list[float]) -> int:
    """The last period whose running total is below zero; -1 where none is."""
    found, total = -1, 0.0
    for period, net in enumerate(nets):
        total += net
        found = period if total < 0.0 else found
    return found
