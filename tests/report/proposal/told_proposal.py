"""The fixture study with what acceptance asks for, and its proposals, each made once for all tests."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from io import BytesIO
from typing import Any

from pypdf import PdfReader

from millhand.catalogue.components import read_catalogue
from millhand.model.company import Company
from millhand.model.study import Study
from millhand.report.comparison import moving
from millhand.report.proposal.appendix import figures_in, items_of
from millhand.report.proposal.build import sections, told
from millhand.report.proposal.ground import Ground, ground
from millhand.report.proposal.letter import FORMS, Form, Letter
from millhand.report.proposal.pdf import proposal_pdf
from millhand.report.proposal.records import Section
from millhand.report.proposal.telling import Teller
from millhand.report.tongue import LANGUAGES, tongue
from millhand.report.view import bare
from millhand.stages.acceptance import acceptance
from millhand.trace import Sheet
from tests.report.fixture_study import ARM, study

ON = date(2027, 1, 31)
NUMBER = re.compile(r"\d+(?:\u202f\d{3})*(?:[.,]\d+)?")
KINDS = [(language, form) for language in LANGUAGES for form in FORMS]
COMPANY = Company(
    name="Sample Cells *&* Söhne #1", address=("#import 12", "Sampleton"), number="P-0012", valid_days=60,
    warranty="$x^2$ months", closing="#panic() [[people.wage|money]] {price}",
)  # fmt: skip


@cache
def proposed() -> Study:
    """The fixture study with the tests of its cell."""
    done = study()
    result = next(each for each in done.results if each.concept.id == ARM)
    sheet = Sheet((*done.facts.values(), *done.choices.values()))
    tests = acceptance(result, done.inquiry, read_catalogue(), sheet)
    return replace(done, facts=sheet.facts, acceptance=tests)


def letter(language: str, form: Form, company: Company = COMPANY) -> Letter:
    """One wish."""
    return Letter(on=ON, language=language, form=form, company=company)


@cache
def data(language: str, form: Form) -> dict[str, Any]:
    """What the template is given."""
    return told(proposed(), letter(language, form))


@cache
def pdf(language: str, form: Form) -> bytes:
    """The PDF of it."""
    return proposal_pdf(data(language, form), ON)


@cache
def reader(language: str, form: Form) -> PdfReader:
    """The PDF, opened."""
    return PdfReader(BytesIO(pdf(language, form)))


@cache
def text(language: str, form: Form) -> str:
    """All that can be read in it."""
    return "\n".join(page.extract_text() for page in reader(language, form).pages)


def base(form: Form) -> Ground:
    """What the sections are made from."""
    return ground(proposed(), long=form == "long")


def made(form: Form) -> tuple[Section, ...]:
    """The sections."""
    return tuple(sections(base(form), letter("en", form)))


def teller(language: str, form: Form) -> Teller:
    """What tells figures in a language."""
    return Teller(tongue=tongue(language), facts=base(form).facts, currency="USD", pictures={})


def shown_figures(language: str, form: Form) -> Iterator[str]:
    """Every figure of the sections as the facts of the study print it, and the ends of the strongest drivers."""
    tells = teller(language, form)
    for section in made(form):
        for item in items_of(section.blocks):
            yield from (tells.figure(each) for each in figures_in(item))
    facts = base(form).facts
    for driver in moving(proposed()):
        yield from (bare(facts[each], "months") for each in (driver.at_low, driver.at_high) if each)


def numbers(words: str) -> set[str]:
    """The numbers in words, a decimal comma as a point."""
    return {found.replace(",", ".") for found in NUMBER.findall(words)}
