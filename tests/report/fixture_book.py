"""The hand-made shop of the money tests as a study, so that its workbook can be looked at."""

import io
from dataclasses import replace
from functools import cache
from typing import Any

import openpyxl  # type: ignore[import-untyped]

from millhand.model.decision import Driver, Ranked
from millhand.model.study import Result, Study
from millhand.report.workbook import workbook
from tests.report.fixture_study import study
from tests.stages.money_shop import Made, concept, made


def as_study(shop: Made) -> Study:
    """One priced concept and today as a whole study with a plain answer."""
    base, name = study(), shop.concept.id
    today = Result(concept=concept("today"), verdicts=())
    own = Result(
        concept=shop.concept, verdicts=(), performance=shop.performance, estimate=shop.estimate, case=shop.case
    )
    decision = replace(
        base.decision, answer="cell" if shop.concept.kind == "cell" else "by_hand", winner=name, second=None,
        sentences=("Load both mills by an arm.",), would_change=(), asks=(), orders=None,
        ranking=(Ranked(concept=name, place=1, fell=None, words="Highest worth."),
                 Ranked(concept="today", place=2, fell=None, words="What all is measured against.")),
        drivers=(Driver(fact="people.share_usable", at_low=None, at_high=None, swing="people.share_usable"),),
    )  # fmt: skip
    return replace(
        base, inquiry=shop.inquiry, facts=shop.sheet.facts, choices=shop.sheet.choices, results=(today, own),
        decision=replace(decision, tradeoff=None), dropped=(),
    )  # fmt: skip


@cache
def shop_and_book(kind: str = "cell") -> tuple[Made, bytes]:
    """The shop as it stands, and its workbook."""
    shop = made(kind)
    return shop, book_of(as_study(shop))


def book_of(of: Study) -> bytes:
    """The workbook of a study that has one."""
    found = workbook(of)
    assert found is not None
    return found


def opened(book: bytes, *, values: bool = False) -> Any:
    """The book as a reader's program finds it: formulas, or the values stored beside them."""
    return openpyxl.load_workbook(io.BytesIO(book), data_only=values)


@cache
def shop_opened(kind: str = "cell", *, values: bool = False) -> Any:
    """The book of the shop as it stands, opened once."""
    return opened(shop_and_book(kind)[1], values=values)


def place_of(book: Any, name: str) -> tuple[str, str]:
    """Sheet and cell that a name stands for."""
    sheet, _, cell = book.defined_names[name].attr_text.rpartition("!")
    return sheet.strip("'"), cell.replace("$", "")


def named(book: Any, name: str) -> Any:
    """What stands in the cell of a name."""
    sheet, cell = place_of(book, name)
    return book[sheet][cell].value


def measures(book: Any) -> dict[str, Any]:
    """The measures by their words: what stands under Now."""
    return {row[0].value: row[1].value for row in book["Measures"].iter_rows(min_row=5) if row[1].value is not None}
