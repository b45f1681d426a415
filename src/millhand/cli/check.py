"""`millhand check INQUIRY`: whether the file can be used, what is assumed in its place, and what to ask first."""

import textwrap
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any

import click

from millhand.ahead import refusals
from millhand.catalogue.assumptions import assumptions, solid_densities
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.figures import figures
from millhand.cli.cell_told import check_cell, is_cell
from millhand.errors import InputErrors
from millhand.intake.inquiry import read_inquiry
from millhand.intake.inquiry_facts import FROM_FILE
from millhand.intake.inquiry_gaps import Question, facts_of, left_open, questions
from millhand.intake.odd import oddities
from millhand.model.canonical import canonical
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.odd import Odd
from millhand.report.fact_words import value
from millhand.report.mesh_words import mesh_sentences

COLUMNS = 80


@click.command(name="check")
@click.argument("inquiry", type=click.Path(path_type=Path))
@click.option("--prices", type=click.Path(path_type=Path), help="Own prices that the study will take: checked too.")
@click.option(
    "--components", type=click.Path(path_type=Path), multiple=True,
    help="Own components or arms' links that the study will take: checked too.",
)  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
def command(inquiry: Path, prices: Path | None, components: tuple[Path, ...], as_json: bool) -> None:
    """Check the file INQUIRY: errors, gaps, what is assumed there, and the questions to ask.

    Wrong input ends with exit code 2 and every error at its place. A file that can be used is listed with what nobody
    said: each question, the value that stands in for the answer, its range and where it comes from. Of a
    cell file it says whether that can be used, and what in it is odd.
    """
    if is_cell(inquiry):
        check_cell(inquiry, as_json=as_json)
        return
    found = read_inquiry(inquiry, assumptions())
    catalogue = (
        read_catalogue(prices=prices, components=components)
        if prices or components or found.only or found.concepts
        else None
    )
    refused = refusals(found, catalogue)
    if refused:
        raise InputErrors(refused)
    own = own_lines(catalogue) if catalogue is not None else ()
    asked = questions(found, assumptions())
    click.echo(
        canonical(as_map(found, asked)) if as_json else "\n".join((*page(inquiry.name, found, asked), *own)),
        nl=not as_json,
    )


def page(file: str, inquiry: Inquiry, asked: tuple[Question, ...]) -> Iterator[str]:
    """The lines of the answer, at most 80 columns wide."""
    facts = facts_of(inquiry)
    assumed = sum(fact.basis == "assumed" for fact in facts)
    yield from wrapped(f"{file}: {inquiry.name}")
    yield from wrapped(f"Can be used: {len(facts) - assumed} facts are given, {assumed} are assumed.")
    yield from section("Ask first: the answer could end the job", deadly(asked, inquiry))
    yield from section(
        "Odd figures",
        (line for each in odd_in(inquiry) for line in wrapped(each.sentence, "- ")),
    )
    yield from section("Meshes", (line for words in mesh_sentences(inquiry) for line in wrapped(words, "- ")))
    yield from section("Judged", (line for fact in facts for line in judged(fact, inquiry)))
    rest = (each for each in asked if not each.kills)
    yield from section(
        "Assumed until somebody answers", (line for each in rest for line in question(each, "- ", inquiry))
    )
    open_paths = ", ".join(left_open(inquiry))
    yield from section("Left open, and not counted", wrapped(open_paths) if open_paths else iter(()))


def odd_in(inquiry: Inquiry) -> tuple[Odd, ...]:
    """What is odd, with the densities of the catalogue."""
    return oddities(inquiry, solid_densities(figures([]).values()))


def own_lines(catalogue: Catalogue) -> Iterator[str]:
    """What the shop's own files say of components: each with its figures, and the links of its arms."""
    own = {
        each.id: [name for name, fact in each.figures.items() if fact.basis == "given"]
        for each in catalogue.components.values()
    }
    lines = (wrapped(f"{name}: {', '.join(names)}", "- ") for name, names in own.items() if names)
    return section("Own components", chain.from_iterable(lines))


def deadly(asked: tuple[Question, ...], inquiry: Inquiry) -> Iterator[str]:
    """The questions that could end the job, numbered."""
    first = [each for each in asked if each.kills]
    for number, each in enumerate(first, start=1):
        yield from question(each, f"{number}. ", inquiry)
    if not first:
        yield "Nothing of that kind is open."


def section(title: str, lines: Iterator[str]) -> Iterator[str]:
    """A title with its lines; nothing where there are none."""
    held = list(lines)
    if held:
        yield from ("", title, "-" * len(title), *held)


def question(asked: Question, mark: str, inquiry: Inquiry) -> Iterator[str]:
    """One question, and what is assumed meanwhile."""
    yield from wrapped(asked.words or "Follows from other facts", mark)
    for fact in asked.facts:
        yield from wrapped(f"{fact.id} = {value(fact, inquiry.shop.currency)}", " " * 4)
    for source in dict.fromkeys(origin(fact) for fact in asked.facts):
        yield from wrapped(f"[{source}]", " " * 6)


def judged(fact: Fact | Choice, inquiry: Inquiry) -> Iterator[str]:
    """One value that the engineer put in the place of another, with the one it replaced and the reason."""
    if fact.instead_of is None:
        return
    before = next(each for each in inquiry.before if each.id == fact.instead_of)
    own, other = (value(each, inquiry.shop.currency) for each in (fact, before))
    yield from wrapped(f"{fact.id} = {own} instead of {other} ({before.basis}): {fact.note}", "- ")


def origin(fact: Fact | Choice) -> str:
    """Where an assumed value comes from, without the name of the data file."""
    return fact.source.partition(": ")[2] if fact.source.startswith(FROM_FILE) else fact.source


def wrapped(text: str, mark: str = "") -> Iterator[str]:
    """The text in lines of at most 80 columns, those after the first set in."""
    yield from textwrap.wrap(
        text, COLUMNS, initial_indent=mark, subsequent_indent=" " * len(mark), break_on_hyphens=False
    )


def as_map(inquiry: Inquiry, asked: tuple[Question, ...]) -> dict[str, Any]:
    """The same for machines, in SI."""
    odd = odd_in(inquiry)
    return {
        "name": inquiry.name,
        "currency": inquiry.shop.currency,
        "questions": [{"question": each.words, "kills": each.kills, "facts": [fact.id for fact in each.facts]}
                      for each in asked],
        "odd": [each.words for each in odd],
        "odd_at": odd,
        "open": left_open(inquiry),
        "facts": [*facts_of(inquiry), *inquiry.before],
    }  # fmt: skip
