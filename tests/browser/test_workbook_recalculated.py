"""The workbook in a real spreadsheet program: every formula worked out anew there, before and after inputs change."""

import io
import shutil
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from millhand.model.money import Books, Financing
from millhand.trace import recomputed
from tests.report.fixture_book import as_study, book_of, measures, named, opened, place_of, shop_and_book
from tests.report.test_workbook import FACTS
from tests.stages.money_shop import Made, fact, made, word

INSTALL = "sudo apt-get install -y libreoffice-calc"
ALWAYS_ANEW = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""
CENT = 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What is typed into one input cell, and the fact's number that this is."""

    cell: float
    fact: str
    value: float


CHANGES = {
    "wage and on-cost": {
        "people_wage": Change(cell=26.4, fact="people.wage", value=26.4),
        "people_on_cost": Change(cell=0.35, fact="people.on_cost", value=0.35),
    },
    "prices, delivery and margin": {
        "catalogue_fenced_20_price": Change(cell=52_000.0, fact="catalogue.fenced_20.price", value=52_000.0),
        "catalogue_contingency_share": Change(cell=0.25, fact="catalogue.contingency_share", value=0.25),
        "catalogue_order_to_hand_over_track_s": Change(
            cell=30.0, fact="catalogue.order_to_hand_over_track_s", value=30.0 * 604_800.0
        ),
        "machines_mill_count": Change(cell=3.0, fact="machines.mill.count", value=3.0),
    },
    "orders and what a part leaves": {
        "parts_bracket_orders": Change(cell=62_000.0, fact="parts.bracket.orders", value=62_000.0),
        "parts_bracket_contribution": Change(cell=5.5, fact="parts.bracket.contribution", value=5.5),
    },
    "share, rate, horizon and growth": {
        "people_share_usable": Change(cell=0.6, fact="people.share_usable", value=0.6),
        "discount_rate": Change(cell=0.12, fact="money.rate", value=0.12),
        "years_counted": Change(cell=10.5, fact="money.horizon", value=10.5),
        "money_wage_growth": Change(cell=0.0, fact="money.wage_growth", value=0.0),
    },
    "hardly any saving": {"people_share_usable": Change(cell=0.05, fact="people.share_usable", value=0.05)},
}


def recalculated(books: dict[str, bytes], folder: Path) -> dict[str, Any]:
    """Books as the spreadsheet program stores them after it worked out every formula, all in one run of it."""
    if shutil.which("soffice") is None:
        pytest.fail(f"The spreadsheet program is missing; install it with: {INSTALL}", pytrace=False)
    profile = folder / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(ALWAYS_ANEW, encoding="utf-8")
    names = {key: f"book_{number}.xlsx" for number, key in enumerate(books)}
    for key, name in names.items():
        (folder / name).write_bytes(books[key])
    paths = [str(folder / name) for name in names.values()]
    subprocess.run(
        ["soffice", "--headless", f"-env:UserInstallation=file://{profile}", "--convert-to",
         "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"), *paths],
        check=True, capture_output=True, timeout=300,
    )  # fmt: skip
    return {key: opened((folder / "out" / name).read_bytes(), values=True) for key, name in names.items()}


@pytest.fixture(scope="module")
def anew(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The books as they were written, and the cell's with each set of changes, all worked out anew."""
    plain = shop_and_book()[1]
    books = {"cell": plain, "by_hand": shop_and_book("by_hand")[1], "financed": financed()[1]}
    for what, changes in CHANGES.items():
        books[what] = changed(plain, {name: change.cell for name, change in changes.items()})
    for what, (cells, *_) in TAXES.items():
        books[what] = changed(financed()[1], cells)
    return recalculated(books, tmp_path_factory.mktemp("sheets"))


def changed(book: bytes, cells: Mapping[str, float | str]) -> bytes:
    """The book with other numbers typed into cells by their names."""
    found, stream = opened(book), io.BytesIO()
    for name, number in cells.items():
        sheet, cell = place_of(found, name)
        assert not found[sheet][cell].protection.locked
        found[sheet][cell].value = number
    found.save(stream)
    return stream.getvalue()


@cache
def financed() -> tuple[Made, bytes]:
    """The shop with a loan, a grant and tax."""
    shop = taxed(0.25, straight(5.0))
    return shop, book_of(as_study(shop))


def taxed(tax: float, books: Books, numbers: dict[str, float] | None = None) -> Made:
    """The shop with a loan, a grant, and tax by these books."""
    terms = Financing(
        way=word("money.financing.way", "loan"), share=fact("money.financing.share", 0.8),
        rate=fact("money.financing.rate", 0.07), years_y=fact("money.financing.years", 5.0, "y"),
    )  # fmt: skip
    return made(numbers=numbers, told={"financing": terms, "grant": 20_000.0, "tax": tax, "books": books})


def straight(years: float) -> Books:
    """Equal parts."""
    return Books(way=word("money.books.way", "straight_line"), years_y=fact("money.books.years", years, "y"))


def by_quarters() -> Books:
    """Seven years by the rule, put to work in the last quarter with little else in that year."""
    return Books(
        way=word("money.books.way", "macrs"), years_y=fact("money.books.years", 7.0, "y"),
        quarter=fact("money.books.quarter", 4.0), other_money=fact("money.books.other", 30_000.0, "money"),
    )  # fmt: skip


TAXES: dict[str, tuple[dict[str, float | str], float, Books, dict[str, float]]] = {
    "tax rate, wage and years counted": (
        {"money_tax": 0.35, "people_wage": 26.4, "years_counted": 4.0},
        0.35, straight(5.0), {"people.wage": 26.4, "money.horizon": 4.0},
    ),
    "another way, life and quarter": (
        {"tax_way": "macrs", "money_books_years": 7.0, "tax_quarter": 4.0, "tax_other": 30_000.0},
        0.25, by_quarters(), {},
    ),
}  # fmt: skip


@pytest.mark.parametrize("which", ["cell", "by_hand", "financed"])
def test_every_stored_value_is_what_the_program_works_out(which: str, anew: dict[str, Any]) -> None:
    """Numbers to a millionth, words as they are: for a cell, a change by hand, a loan, a grant and tax."""
    _, book = financed() if which == "financed" else shop_and_book(which)
    stored, found = opened(book, values=True), anew[which]
    differ, compared = [], 0
    for sheet in stored:
        for row in sheet.iter_rows():
            for cell in row:
                again = found[sheet.title][cell.coordinate].value
                compared += cell.value is not None
                if isinstance(cell.value, float | int) and isinstance(again, float | int):
                    if again != pytest.approx(cell.value, rel=1e-6, abs=1e-6):
                        differ.append((sheet.title, cell.coordinate, cell.value, again))
                elif cell.value != again:
                    differ.append((sheet.title, cell.coordinate, cell.value, again))

    assert differ == []
    assert compared > 5_000


@pytest.mark.parametrize("what", list(CHANGES))
def test_changed_inputs_give_what_the_tool_makes_of_them(what: str, anew: dict[str, Any]) -> None:
    """Typed into the sheet and worked out there, they give the tool's own figures to the cent: those that follow on the
    graph of facts, and those of a case that is made anew with these numbers."""
    shop, found = shop_and_book()[0], anew[what]
    facts = {change.fact: change.value for change in CHANGES[what].values()}

    told, numbers = measures(found), recomputed(shop.sheet.facts, facts, {})
    top = f"concepts.{shop.concept.id}."
    within = 12.0 * numbers["money.horizon"]
    followed = {"whole", "naive.payback", "payback_whole"}
    for words, name in FACTS.items():
        if top + "case." + name in numbers and name not in followed and name not in ("irr", "mirr"):
            expected = numbers[top + "case." + name]
            late = "ayback" in words and (numbers[top + "case.payback"] > within or expected > within)
            assert told[words] == ("not within the years counted" if late else pytest.approx(expected, abs=CENT)), words
    for name, cell in (("estimate.installed", "estimate_installed"), ("case.labour", "case_labour"),
                       ("case.running", "case_running"), ("estimate.margin", "estimate_margin")):  # fmt: skip
        assert named(found, cell) == pytest.approx(numbers[top + name], abs=CENT)
    assert "differs" not in told.values()
    made_anew(facts, told, found)


def made_anew(facts: dict[str, float], told: dict[str, Any], found: Any) -> None:
    """Where only the shop's own numbers changed: rates and every year's net are those of the case made with them."""
    if any(name.startswith("catalogue.") for name in facts):
        return
    again = made(numbers=facts)
    for words, fact_id in (("Internal rate", again.case.irr), ("Modified internal rate", again.case.further["mirr"]),
                           ("Net present worth", again.case.npv)):  # fmt: skip
        if fact_id is not None:
            assert told[words] == pytest.approx(again.value(fact_id), abs=CENT if "worth" in words else 1e-6), words
    years = {row[0].value: row[3].value for row in found["Years"].iter_rows(min_row=5)}
    for row in again.case.rows:
        assert years[row.year] == pytest.approx(again.value(row.net), abs=CENT)


@pytest.mark.parametrize("what", list(TAXES))
def test_figures_after_tax_follow_rate_way_and_quarter(what: str, anew: dict[str, Any]) -> None:
    """Typed into the sheet, they give worth, rate, payback and every year after tax of a case made with them."""
    _, tax, books, figures = TAXES[what]
    again, told = taxed(tax, books, figures), measures(anew[what])
    worth, rate, back = (
        again.sheet.facts.get(again.case.further.get(name, ""))
        for name in ("npv_after_tax", "irr_after_tax", "payback_after_tax")
    )
    years = {row[0].value: row[11].value for row in anew[what]["Tax"].iter_rows(min_row=19)}

    assert worth is not None
    assert told["Net present worth after tax"] == pytest.approx(worth.value, abs=CENT)
    assert told["Net present worth after tax"] != pytest.approx(
        measures(anew["financed"])["Net present worth after tax"]
    )
    assert told["Internal rate after tax"] == (pytest.approx(rate.value, abs=1e-6) if rate else "none, or several")
    late = back is None or 12.0 * back.value > 12.0 * again.inquiry.money.horizon_y.value
    assert told["Simple payback after tax"] == (
        "not within the years counted" if late or back is None else pytest.approx(12.0 * back.value, abs=CENT)
    )
    for row in again.case.rows[1:]:
        left = again.sheet.value(f"concepts.{again.concept.id}.case.after_tax.year_{row.year}")
        assert years[row.year] == pytest.approx(left, abs=CENT)
