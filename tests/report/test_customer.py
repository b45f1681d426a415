"""The customer's copy: cost, margin, past jobs and notes are in none of its bytes; everything else is as it was."""

import io
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest
from pypdf import PdfReader

from millhand.model.company import Company
from millhand.model.fact import Choice
from millhand.model.inquiry import Wished
from millhand.model.study import Dropped, Study
from millhand.report.customer import for_customer, internal
from millhand.report.html import report_html
from millhand.report.proposal.letter import Letter
from millhand.report.view import bare
from millhand.report.writing import study_files
from tests.report.fixture_book import as_study, book_of, opened
from tests.report.fixture_internal import NOTE, WAGE, internal_study
from tests.report.fixture_study import ARM
from tests.stages.money_shop import made

LETTER = Letter(on=date(2026, 11, 2), language="en", form="long", company=Company())


@pytest.fixture(scope="module")
def own() -> Study:
    """The small study with a margin, figures of past jobs, and a note beside the wage."""
    return internal_study()


def texts(of: Study) -> Iterator[tuple[str, str]]:
    """Every file of the study as text; a workbook part by part."""
    for name, data in study_files(of, LETTER).items():
        if name.endswith(".pdf"):
            yield from (
                (f"{name}/{at}", page.extract_text()) for at, page in enumerate(PdfReader(io.BytesIO(data)).pages)
            )
            continue
        if not zipfile.is_zipfile(io.BytesIO(data)):
            yield name, data.decode("utf-8", errors="ignore")
            continue
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            yield from ((f"{name}/{part}", book.read(part).decode("utf-8")) for part in book.namelist())


def secrets(of: Study) -> set[str]:
    """What must be in none: names, notes, and the amounts as each file writes them."""
    estimate = next(each.estimate for each in of.results if each.estimate and each.estimate.margin)
    amounts = [of.facts[each] for each in (estimate.cost, estimate.margin)]
    digits = {f"{each.value:.12g}" for each in amounts} | {bare(each, "money") for each in amounts}
    return {
        NOTE, "past jobs", "another_customer", "money.past", "estimate.margin", "estimate.cost", "margin_money",
        "catalogue.margin_share", *digits,
    }  # fmt: skip


def test_ones_own_copy_holds_all_of_it(own: Study) -> None:
    """So that the next test can fail: each of these words and amounts stands somewhere."""
    everything = "\n".join(text for _, text in texts(own))

    assert not {each for each in secrets(own) if each not in everything}


def test_the_customers_copy_holds_none_of_it(own: Study) -> None:
    """Page, data, tables, workbook, cells and drawings: byte by byte."""
    found = {(name, each) for name, text in texts(for_customer(own)) for each in secrets(own) if each in text}

    assert not found


def test_prices_and_worths_are_those_of_ones_own_copy(own: Study) -> None:
    """Nothing that stays has moved, and the page says whose copy it is."""
    copied = for_customer(own)

    assert {key: fact.value for key, fact in copied.facts.items()} == {
        key: own.facts[key].value for key in copied.facts
    }
    assert [each.case for each in copied.results] == [each.case for each in own.results]
    assert "customer&#39;s copy" in report_html(copied)
    assert WAGE in copied.facts


def test_what_others_rest_on_stays(own: Study) -> None:
    """A price that a margin is taken of is no secret for that; a share that only the margin takes is one."""
    hidden = internal(own.facts, {f"concepts.{ARM}.estimate.margin"})

    assert "catalogue.margin_share" in hidden
    assert f"concepts.{ARM}.estimate.cost" in hidden
    assert f"concepts.{ARM}.estimate.installed" not in hidden


def test_the_workbook_of_a_customer_knows_no_margin() -> None:
    """The sheet of prices ends with the price; the legend explains no colour that is not there."""
    book = opened(book_of(for_customer(as_study(made()))))
    cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]

    assert not [each for each in cells if "margin" in each.lower() or "internal fig" in each.lower()]
    assert any("Installed" in each for each in cells)


def test_whoever_builds_for_himself_keeps_his_price(own: Study) -> None:
    """There cost and price are one figure, which is no secret."""
    results = tuple(
        replace(each, estimate=replace(each.estimate, cost=each.estimate.installed)) if each.estimate else each
        for each in own.results
    )
    copied = for_customer(replace(own, results=results))

    assert f"concepts.{ARM}.estimate.installed" in copied.facts


def test_only_what_somebody_left_out_is_said_to_be_left_out_by_hand(own: Study) -> None:
    """Whose wish that was is internal; a wish to keep something falls by a rule, whose words the customer may read."""
    names = {"ours": "left_out", "theirs": "kept"}
    wishes = tuple(
        Wished(
            name=name,
            where="",
            by="the owner",
            treatment=Choice(id=name, value=value, basis="given", source="a test", options=()),
        )
        for name, value in names.items()
    )
    fell = tuple(
        Dropped(choices="a", words=words, wish=wish)
        for words, wish in (("left out by hand by the owner", "ours"), ("too heavy for it", "theirs"), ("a rule", ""))
    )
    study = replace(own, inquiry=replace(own.inquiry, concepts=wishes), dropped=fell)

    assert [each.words for each in for_customer(study).dropped] == ["left out by hand", "too heavy for it", "a rule"]
