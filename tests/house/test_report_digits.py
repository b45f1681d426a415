"""Every digit of report.html leads somewhere: to a fact, and from there down to what was given or assumed.

A digit may also stand in one of these, and in nothing else:

- `data-given`: a word that the user wrote (a name of a shop, machine, part), found as it is in study.json;
- `data-name`: a name of a concept, component, check or chapter, found in study.json as well;
- `data-source`: a citation, a formula's name, a place in a file, a caution: text that the register, the list of
  sources or study.json holds;
- `data-meta`: version, seed, format and hash of the study.

A computed fact has a formula, or says in its source which solver gave it: one over a cell, named by its hash; one over
the study's own facts (draws, recomputing, halving); the search of places on the floor, or an arm's links; or no solver
but a word or a count of the inquiry that it follows from. SOLVERS lists how each says so.
"""

import dataclasses
import json
import re
import tempfile
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from millhand.formulas import REGISTER
from millhand.model.study import Study
from millhand.report.citations import listed_sources
from millhand.report.writing import write_study
from tests.report.fixture_study import study

EXCEPTIONS = ("data-given", "data-name", "data-source", "data-meta")
VOID = {"meta", "link", "br", "hr", "img", "input", "wbr", "col"}
UNREAD = {"style", "script", "title"}
ROOTS = {"given", "measured", "assumed", "judged"}
DIGIT = re.compile(r"\d")
SOLVERS = re.compile(
    r"recomputed with (?P<fact>\S+) (?:at its low and high end|parts ordered in a year)"
    r"|(?:share|number|mean|regression|P\d\d) (?:of|over) (?:\d+ )?draws of all uncertain facts(?:[:,] .+)?"
    r"|halving over the study's facts until (?:the answer turns|the check just passes)|follows from .+"
    r"|placed on the floor by search; .+|the arm's links.*"
)
CELL_HASH = re.compile(r"\b[0-9a-f]{16}\b")


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One text of the page that holds digits: where, in what mark, with what value."""

    text: str
    mark: str | None
    value: str
    line: int


class Digits(HTMLParser):
    """Reads a page and keeps each text with digits, with the nearest mark around it."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[tuple[str, str | None, str]] = []
        self.found: list[Shown] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Remember the element and its mark."""
        if tag not in VOID:
            marks = [(name, value or "") for name, value in attrs if name == "data-fact" or name in EXCEPTIONS]
            self.open.append((tag, *(marks[0] if marks else (None, ""))))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element without content holds no text."""

    def handle_endtag(self, tag: str) -> None:
        """Forget the element; each one must have been opened, so that no mark leaks."""
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop()[0] == tag, f"</{tag}> at line {self.getpos()[0]} closes another element"

    def handle_data(self, data: str) -> None:
        """Keep a text with digits, once with the nearest mark."""
        if not DIGIT.search(data) or any(tag in UNREAD for tag, _, _ in self.open):
            return
        mark, value = next(((mark, value) for _, mark, value in reversed(self.open) if mark), (None, ""))
        self.found.append(Shown(text=data.strip(), mark=mark, value=value, line=self.getpos()[0]))


def digits_of(html: str) -> list[Shown]:
    """Every text with digits of a page."""
    reader = Digits()
    reader.feed(html)
    reader.close()
    assert not reader.open, "the page leaves elements open"
    return reader.found


@cache
def page() -> tuple[str, dict[str, Any]]:
    """report.html and study.json of the fixture study, as they are written."""
    return written_by(study())


def written_by(one: Study) -> tuple[str, dict[str, Any]]:
    """The page and the JSON of a study, read back from the disk."""
    with tempfile.TemporaryDirectory() as top:
        target = Path(top) / "study"
        write_study(one, target)
        return read_back(target)


def read_back(target: Path) -> tuple[str, dict[str, Any]]:
    """The page and the JSON in a folder."""
    return (target / "report.html").read_text("utf-8"), json.loads((target / "study.json").read_text("utf-8"))


def strings(value: Any) -> Iterator[str]:
    """Every text inside JSON, keys too."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            yield key
            yield from strings(item)
    elif isinstance(value, list):
        for item in value:
            yield from strings(item)


def loose(text: str) -> str:
    """A text as it may be compared: underscores as spaces, case and spaces at its ends left out."""
    return text.replace("_", " ").strip().casefold()


def unresolved(fact_id: str, facts: dict[str, Any], hashes: set[str]) -> list[str]:
    """What is wrong with the way from a fact down to its roots; nothing where every end is one."""
    wrong, seen, waiting = [], set(), [fact_id]
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        fact = facts.get(name)
        if fact is None:
            wrong.append(f"{name} is no fact of the study")
        elif fact["basis"] in ROOTS:
            wrong += [] if fact["source"] else [f"{name} is {fact['basis']} and says not where"]
        elif fact["formula"] is not None:
            known = REGISTER.get(fact["formula"])
            wrong += [] if known and known.source else [f"{name} names the formula {fact['formula']}"]
            waiting += [source for _, source in fact["inputs"]]
        elif solver := SOLVERS.fullmatch(fact["source"]):
            waiting += [solver["fact"]] if solver["fact"] else []
        elif not hashes & set(CELL_HASH.findall(fact["source"])):
            wrong.append(f"{name} is computed by no formula and names no cell: {fact['source']}")
    return wrong


def test_every_digit_is_marked() -> None:
    """No figure of the page stands there by itself."""
    bare = [f"line {each.line}: {each.text[:60]}" for each in digits_of(page()[0]) if each.mark is None]

    assert not bare


def test_every_figure_leads_down_to_given_or_assumed_facts() -> None:
    """Each id resolves in study.json: by formulas with a source, or by a solver and its cell, down to roots."""
    html, written = page()
    hashes = {result["cell"]["hash"] for result in written["results"] if result["cell"]}
    hashes |= {each["cell"]["hash"] for each in (written["tending"] or {"cells": ()})["cells"]}
    hashes |= {each["cell"]["hash"] for each in (written["safeguarding"] or {"simulated": ()})["simulated"]}
    ids = {name for each in digits_of(html) if each.mark == "data-fact" for name in each.value.split()}

    assert len(ids) > 100
    assert not {name: wrong for name in sorted(ids) if (wrong := unresolved(name, written["facts"], hashes))}


def test_every_exception_is_what_it_says() -> None:
    """Words of the user and names stand in study.json, citations there or in the register."""
    html, written = page()
    known = {loose(text) for text in strings(written)}
    heads = {loose(".".join(key.split(".")[:2])) for key in written["facts"]}
    registered = {loose(text) for formula in REGISTER.values() for text in (
        formula.name, formula.source, formula.words, formula.caution, *formula.units)}  # fmt: skip
    registered |= {loose(text) for each in listed_sources().values() for text in (each.key, each.words, each.seen)}
    allowed = {"data-given": known, "data-name": known | heads, "data-source": known | registered}
    strange = [
        f"{each.mark} at line {each.line}: {each.text}"
        for each in digits_of(html)
        if each.mark in allowed and loose(each.text) not in allowed[each.mark]
    ]

    assert not strange


def test_what_identifies_the_study_is_version_seed_format_and_hash() -> None:
    """Nothing else hides behind that mark."""
    html, written = page()
    shown = {each.text for each in digits_of(html) if each.mark == "data-meta"}
    fixed = {written["version"], str(written["seed"]), written["format"]}

    assert fixed <= shown
    assert all(CELL_HASH.fullmatch(text) for text in shown - fixed)
    assert len(shown - fixed) == 1


def test_the_reader_finds_a_bare_digit() -> None:
    """The test's own eyes: a digit outside a mark is seen, one inside is taken with the nearest mark."""
    found = digits_of('<p>9 parts <a data-fact="a.b">12 <b>of 13</b></a></p><style>p{margin:0}</style>')

    assert [(each.text, each.mark) for each in found] == [
        ("9 parts", None),
        ("12", "data-fact"),
        ("of 13", "data-fact"),
    ]


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        ({"basis": "assumed", "source": "", "formula": None, "inputs": []}, "says not where"),
        ({"basis": "computed", "source": "x", "formula": None, "inputs": []}, "names no cell"),
        (
            {"basis": "computed", "source": "recomputed with b at its low and high end", "formula": None, "inputs": []},
            "no fact",
        ),
        ({"basis": "computed", "source": "x", "formula": "no_such", "inputs": []}, "names the formula"),
        ({"basis": "computed", "source": "x", "formula": "move_time_s", "inputs": [["speed_m_s", "gone"]]}, "no fact"),
    ],
)
def test_a_figure_without_an_origin_is_found(fact: dict[str, Any], words: str) -> None:
    """Each way in which an origin can be missing is told."""
    assert any(words in wrong for wrong in unresolved("a", {"a": fact}, {"0123456789abcdef"}))
