"""questions.xlsx: the open questions as a form that the shop fills in, and that is read back without retyping.

Only the cells for answers can be written into; they hold text, so that what is typed stays as it was typed.
"""

import datetime
import io
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from millhand.intake.asked import Row, grouped
from millhand.intake.contradictions import clock
from millhand.intake.form import Number, Word
from millhand.intake.question_sheet import COLUMNS, FILLED, MARK, SHEET
from millhand.intake.units import DIMENSIONS
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.report.comparison import heading_words, opening
from millhand.report.view import bare, own_form, sentence, span
from millhand.report.workbook.pen import Desk, Page

MADE = datetime.datetime(2000, 1, 1)  # a date of its own would make every sheet another one
OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_numbers": False, "strings_to_urls": False}
HEADS = {
    "number": ("No.", 4.5), "question": ("Question", 43), "meanwhile": ("Counted meanwhile", 19), "why": ("Why", 22),
    "answer": ("Answer", 15), "unit": ("Unit", 9), "least": ("At least", 9.5), "most": ("At most", 9.5),
    "who": ("Who says so", 13), "when": ("When", 10.5), "how": ("How known", 9.5), "note": ("Note", 19),
}  # fmt: skip
HOW_TO = (
    "Write into the cells with a frame; leave open what nobody knows. A number may carry its unit (45 s, 6 min 20 s, "
    "12 %), else it counts in the unit beside it. 'At least' and 'At most' are the ends that it stays within in eight "
    "cases of ten. Question 1 matters most."
)
KILLS = "The answer could end the job."
TOP, FIRST = 3, 4  # rows of the heads and of the first question
END = len(COLUMNS) - 1  # the column of paths, hidden
LONG_S = 120.0  # from here on a time is asked for in minutes
LIGHT_KG = 0.3  # below, a mass is asked for in grams
LINE, LETTERS = 13.0, 0.95  # height of a line, letters on a unit of width
TYPED = {
    "seconds": "s",
    "minutes": "min",
    "hours": "h",
    "days": "days",
    "weeks": "weeks",
    "metres": "m",
    "mm": "mm",
    "mass": "kg",
    "grams": "g",
    "area": "m2",
    "months": "months",
    "years": "years",
    "force": "N",
    "share": "%",
}  # format: the unit as people type it
TYPED_DIMENSIONS = {"share": "%", "floor_load": "kN/m2"}
TYPED_UNITS = {
    "parts": "parts", "parts/y": "parts/y", "money": "{}", "money/h": "{}/h", "money/part": "{}/part",
    "money/y": "{}/y", "money/kWh": "{}/kWh", "money/(m2 y)": "{}/m2", "d": "days", "d/y": "days", "1": "",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How figures are told: the facts behind the reasons, the currency, and whether numbers have a comma."""

    facts: Mapping[str, Fact]
    currency: str
    comma: bool = False


def question_sheet(inquiry: Inquiry, rows: Sequence[Row], facts: Mapping[str, Fact], *, comma: bool = False) -> bytes:
    """The form; `facts` are those of the study that gave the reasons. The same questions give the same bytes."""
    import xlsxwriter  # type: ignore[import-untyped]

    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, OPTIONS)
    book.set_properties({"title": f"Questions: {inquiry.name}", "created": MADE})
    desk = Desk(book=book)
    page = desk.page(SHEET, [width for _, width in HEADS.values()])
    page.wide(0, f"Questions: {heading_words(inquiry)}", "title", height=24)
    page.wide(1, HOW_TO, "note", height=30)
    page.head(TOP, [head for head, _ in HEADS.values()], height=30)
    hidden(page, 0, inquiry.name)
    hidden(page, TOP, MARK)
    page.sheet.set_column(END, END, 30, None, {"hidden": True})
    last = _groups(page, rows, Manner(facts=facts, currency=inquiry.shop.currency, comma=comma))
    page.sheet.freeze_panes(FIRST, 2)
    page.printed(last, repeat=(TOP, TOP))
    book.close()
    return stream.getvalue()


def hidden(page: Page, row: int, words: str) -> None:
    """Words for the reader of the sheet, in the hidden column."""
    page.sheet.write_string(row, END, words)


def _groups(page: Page, rows: Sequence[Row], manner: Manner) -> int:
    """Every question under its heading; the last row."""
    at, counts = FIRST, Counter(row.question for row in rows)
    for subject, numbered in grouped(rows).items():
        page.group(at, subject)
        at, asked = at + 1, ""
        for number, row in numbered:
            first = row.question != asked
            words = f"{row.question}{about(row, alone=counts[row.question] == 1)}" if first else f"also: {spoken(row)}"
            locked = {
                "number": str(number) if first else "", "question": words, "meanwhile": _meanwhile(row, manner),
                "why": _why(row, manner) if first else "", "unit": typed_unit(row, manner.currency),
            }  # fmt: skip
            _row(page, at, row, locked)
            at, asked = at + 1, row.question
    return at - 1


def spoken(row: Row) -> str:
    """What the answer is about, in words."""
    return row.title.replace("_", " ")


def about(row: Row, *, alone: bool) -> str:
    """What stands behind a question: whose it is, and where several facts or words need it, what is meant."""
    if not alone or ": " in row.title:
        return f"\n{opening(spoken(row))}"
    owners = row.title.rpartition("(")[2] if row.title.endswith(")") else ""
    return f" ({owners}" if owners else ""


def _row(page: Page, at: int, row: Row, locked: Mapping[str, str]) -> None:
    """One question, what is counted meanwhile, and the cells for its answer."""
    for column, name in enumerate(HEADS):
        if name in FILLED:
            page.sheet.write_blank(at, column, None, page.desk.style("input", "@"))
        else:
            page.text(at, column, locked[name])
    page.sheet.set_row(at, max(lines(text, HEADS[name][1]) for name, text in locked.items()) * LINE + 3.0)
    _choices(page, at, "answer", _options(row))
    _choices(page, at, "how", ("said", "measured"))
    hidden(page, at, row.path)


def lines(words: str, width: float) -> int:
    """How many lines some words take in a column."""
    return sum(max(1, -int(-len(line) // (width * LETTERS))) for line in words.split("\n"))


def _options(row: Row) -> tuple[str, ...]:
    """The words to choose from; none for a number."""
    return tuple(word.replace("_", " ") for word in row.entry.options) if isinstance(row.entry, Word) else ()


def _choices(page: Page, at: int, name: str, words: Sequence[str]) -> None:
    """A list to choose from in a cell."""
    if words:
        rule: dict[str, Any] = {
            "validate": "list", "source": list(words), "error_title": "One of the list",
            "error_message": f"Choose {', '.join(words)}, or leave the cell empty."[:255],
        }  # fmt: skip
        column = COLUMNS.index(name)
        page.sheet.data_validation(at, column, at, column, rule)


def _meanwhile(row: Row, manner: Manner) -> str:
    """What is counted meanwhile, with the decimal sign of the file."""
    text = meanwhile(row, manner.currency)
    return re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", text) if manner.comma else text


def _why(row: Row, manner: Manner) -> str:
    """Why the question is asked, as far as that is known."""
    if row.why:
        return opening(sentence(row.why, manner.facts, currency=manner.currency))
    return KILLS if row.kills else ""


def meanwhile(row: Row, currency: str) -> str:
    """What is counted while the question is open, in the unit that the answer may have."""
    fact = row.meanwhile
    if fact is None:
        return "nothing"
    if isinstance(fact, Choice):
        return fact.value.replace("_", " ")
    if of_day(row):
        return clock(fact.value)
    form = form_of(row, fact)
    value = f"{bare(fact, form)} {typed_unit(row, currency)}".rstrip()
    ends = span(fact, form)
    return f"{value} ({ends})" if ends else value


def typed_unit(row: Row, currency: str) -> str:
    """The unit of an answer as it may be typed behind its number; of a word none."""
    if not isinstance(row.entry, Number):
        return ""
    if of_day(row):
        return "time of day"
    if row.entry.dimension in TYPED_DIMENSIONS:
        return TYPED_DIMENSIONS[row.entry.dimension]
    fact = row.meanwhile
    unit = fact.unit if isinstance(fact, Fact) else DIMENSIONS[row.entry.dimension].si
    found = TYPED.get(form_of(row, fact), "") if isinstance(fact, Fact) else ""
    return found or TYPED_UNITS.get(unit, unit).format(currency)


def form_of(row: Row, fact: Fact) -> str:
    """The format of a fact on the sheet."""
    if isinstance(row.entry, Number) and row.entry.dimension == "share":
        return "share"
    form = own_form(fact)
    if form == "seconds" and fact.value >= LONG_S:
        return "minutes"
    if form == "mass" and abs(fact.value) < LIGHT_KG:
        return "grams"
    return "number" if form == "share" else form


def of_day(row: Row) -> bool:
    """Whether the answer is a time of day."""
    return row.path.endswith(".start")
