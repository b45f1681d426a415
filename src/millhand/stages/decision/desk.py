"""What every part of the decision looks at: the inquiry, the results that can work, and the sheet of facts."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from millhand.model.case import Case
from millhand.model.decision import Driver
from millhand.model.estimate import Estimate
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.trace import Sheet, Solved

FORMATS: Mapping[str, str] = {
    "money": "money_2", "money/y": "money_2", "money/h": "money", "money/part": "money", "parts": "parts",
    "parts/y": "parts", "months": "months", "y": "years", "h": "hours", "h/y": "hours", "m": "metres", "m2": "area",
    "kg": "mass", "N": "force", "d": "count", "d/y": "count", "heads": "count",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """All that the decision rests on; `solved` and `kills` may be empty."""

    inquiry: Inquiry
    results: tuple[Result, ...]
    drivers: tuple[Driver, ...]
    sheet: Sheet
    solved: Solved = field(default_factory=dict)
    kills: Mapping[str, int] = field(default_factory=dict)  # fact id with names left out: place among the killers

    def value(self, fact_id: str) -> float:
        """The number of a fact."""
        return self.sheet.value(fact_id)

    @property
    def hurdle(self) -> Fact:
        """Longest simple payback that the shop accepts."""
        return self.inquiry.wishes.hurdle_months


def case_of(result: Result) -> Case:
    """The case of a concept that can work."""
    assert result.case is not None
    return result.case


def estimate_of(result: Result) -> Estimate:
    """The estimate of a concept that can work."""
    assert result.estimate is not None
    return result.estimate


def mark(fact: Fact) -> str:
    """A figure inside a sentence, in the format that fits its unit and size; a price of the catalogue in its money."""
    if fact.unit == "s":
        form = "seconds" if fact.value < 180.0 else "minutes" if fact.value < 3 * 3600.0 else "hours"
    elif fact.unit == "1":
        form = "percent" if abs(fact.value) <= 1.0 else "number"
    elif len(fact.unit) == 3 and fact.unit.isupper():
        return f"[[{fact.id}|number]] {fact.unit}"
    else:
        form = FORMATS.get(fact.unit, "number")
    return f"[[{fact.id}|{form}]]"


def in_words(fact: Fact) -> str:
    """What a fact is, in its own words where it has some, without digits."""
    if not fact.title:
        return named(fact.id)
    return re.sub(r"\s*\d+", "", re.sub(r",? \d+(\.\d+)? (kg|m)\b( of travel)?", "", fact.title))


def named(fact_id: str) -> str:
    """A fact in words, out of its id: the last step of the path first, what it belongs to behind it; no digits.

    >>> named("people.share_usable"), named("parts.bracket.first_side.time"), named("catalogue.cell_changeover_s")
    ('share usable (people)', 'time (bracket, first side)', 'cell changeover')
    """
    steps = [_plain_words(step) for step in fact_id.split(".")]
    owners = [step for step in (steps[1:-1] or steps[:-1]) if step != "catalogue"]
    return f"{steps[-1]} ({', '.join(owners)})" if owners else steps[-1]


def _plain_words(step: str) -> str:
    """One step of a path without digits, unit endings and underscores."""
    words = re.sub(r"_(s|m|h|d|kg|n|m2|m_s|m_s2)$", "", step)
    words = re.sub(r"_per_y$", " a year", words)
    return re.sub(r"\s*\d+", "", words.replace("_", " ")).strip()
