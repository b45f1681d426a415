"""The unit in which a spreadsheet shows a fact: its words, how much of the fact's own unit it is, its format."""

import re
from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.report.shares import is_share
from millhand.report.view import RUNNING

TIMES = ((120.0, "s", 1.0), (7200.0, "min", 60.0), (259_200.0, "h", 3600.0), (1_814_400.0, "days", 86_400.0))
WEEK = ("weeks", 604_800.0)
PLAIN = "#,##0.####"
WORDS = {
    "money": "{}",
    "money/h": "{} an hour",
    "money/y": "{} a year",
    "money/part": "{} a part",
    "parts": "parts",
    "parts/y": "parts a year",
    "parts/h": "parts an hour",
    "h": "h",
    "h/y": "h a year",
    "d": "days",
    "d/y": "days a year",
    "y": "years",
    "months": "months",
    "heads": "people",
    "m2": "m²",
    "m": "m",
    "kg": "kg",
    "W": "W",
    "1": "",
    "money/kWh": "{} a kWh",
    "money/(m2 y)": "{} a m² and year",
    "money/kg": "{} a kg",
    "money/m": "{} a m",
}
COARSE = {"money/y": "#,##0", "money": "#,##0", "parts/y": "#,##0", "h/y": "#,##0"}
FINE = {"money/h": "#,##0.00", "money/part": "#,##0.00", "money/kWh": "0.0000", "months": "0.0", "y": "0.0"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """How a number stands in a cell: the cell's number times `factor` is the fact's own."""

    words: str
    factor: float
    form: str

    def of(self, value: float) -> float:
        """The number of the cell."""
        return value / self.factor

    @property
    def with_unit(self) -> str:
        """The number format with the unit behind it."""
        unit = re.sub(r'["\\]', "", self.words)
        return f'{self.form}" {unit}"' if unit and unit != "%" else self.form


def shown_as(fact: Fact, currency: str) -> Shown:
    """The unit of one fact in a spreadsheet.

    >>> shown_as(Fact(id="shifts.early.length", value=28800.0, unit="s", basis="given", source="x"), "EUR").words
    'h'
    """
    if is_share(fact):
        return Shown(words="%", factor=1.0, form="0.0##%")
    if fact.unit == "s":
        words, factor = _time(fact)
        return Shown(words=words, factor=factor, form=PLAIN)
    if fact.unit in WORDS:
        words = WORDS[fact.unit].format(currency)
    else:  # the catalogue's own currency stands in its units: USD, USD/kWh
        head, slash, tail = fact.unit.partition("/")
        words = WORDS.get(f"money/{tail}", "{} / " + tail).format(head) if slash else head
    return Shown(words=words, factor=1.0, form=COARSE.get(fact.unit, FINE.get(fact.unit, PLAIN)))


def computed_as(fact: Fact, currency: str) -> Shown:
    """The unit of a fact that is worked out in the sheet: never turned into another one."""
    if is_share(fact):
        return Shown(words="%", factor=1.0, form="0.0##%")
    words = WORDS.get(fact.unit, fact.unit).format(currency)
    return Shown(words=words, factor=1.0, form=COARSE.get(fact.unit, FINE.get(fact.unit, "#,##0.00##")))


def _time(fact: Fact) -> tuple[str, float]:
    """Seconds in the unit that people say the time in; running time of a machine stays in hours."""
    if fact.id.endswith(RUNNING):
        return "h", 3600.0
    return next(((words, factor) for limit, words, factor in TIMES if abs(fact.value) < limit), WEEK)
