"""A language of proposal and report: its texts by key, its words for those of the study, its way to write a figure."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from millhand.errors import ToolError

LANGUAGES = ("en", "de")
POINT = re.compile(r"(?<=\d)\.(?=\d)")
QUOTED = re.compile(r"^(.*)“(.*)”(.*)$")
OWNERS = re.compile(r"^(.*) \(([^()]*)\)$")  # a value with the things that it belongs to, in brackets
MARK = re.compile(r"\[\[[^\[\]]+\]\]")  # a figure in a sentence of the study
ASKED = re.compile(r"(?<=\?) ")  # between one question and the next
SENTENCES = re.compile(r"(?<=\.) (?=[A-Z\[])")  # between one sentence and the next
NUMBERED = re.compile(r"^(.*?)[ _](\d+)$")
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?!\w|\.\d)")  # by itself among words
NAMED = re.compile(  # a fact's id or a file, a cell's hash, a name that ends with a number, a number, a quoted title
    rf"\b[a-z][\w-]*(?:\.[\w*-]+)+(?:@\w+)?|\b[0-9a-f]{{16}}\b|\b[a-z]\w*\d\b|{NUMBER.pattern}|“[^“”]*”"
)
PLACE = re.compile(r"^(\w+\.(?:csv|toml)(?::\d+|, [^:, ]+)(?:, |: ))(.+)$")  # in a data file, before what is said of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Tongue:
    """One language. A word that the list lacks stands as the study has it."""

    name: str
    decimal: str
    texts: Mapping[str, str]
    units: Mapping[str, str]  # words that stand in a figure: months, to, about
    words: Mapping[str, str]  # the study's own words: these
    names: tuple[str, ...] = ()  # what concepts are called: they stand in sentences as figures do

    def text(self, key: str) -> str:
        """The text of a key."""
        if key not in self.texts:
            raise ToolError(f"the proposal has no text {key} in the language {self.name}.", code="no_text")
        return self.texts[key]

    def figure(self, text: str) -> str:
        """A figure as this language writes it."""
        text = POINT.sub(self.decimal, text) if self.decimal != "." else text
        if not self.units:
            return text
        known = "|".join(re.escape(each) for each in sorted(self.units, key=len, reverse=True))
        return re.sub(rf"(?<![^\W\d_])(?:{known})(?![^\W\d_])", lambda found: self.units[found[0]], text)

    def term(self, text: str) -> str:
        """The study's own words in this language; a number behind a name and an owner in brackets stay."""
        return self.found(text) or text if self.words else text

    def found(self, text: str) -> str | None:
        """The words for these: as a whole, by their parts, or with what stands in quotation marks told apart."""
        if (known := self.known(text)) is not None:
            return known
        if (quoted := QUOTED.match(text)) and (known := self.known(f"{quoted[1]}“{{}}”{quoted[3]}")) is not None:
            return known.replace("{}", self.term(quoted[2]))
        if (known := self.with_numbers(text)) is not None:
            return known
        if (place := PLACE.match(text)) and (known := self.found(place[2])) is not None:
            return place[1] + known
        if len(asked := ASKED.split(text)) > 1:
            told = [self.found(each) for each in asked]
            return " ".join(map(str, told)) if all(told) else None
        for pattern, between in ((OWNERS, " ({})"), (NUMBERED, " {}")):
            if (parts := pattern.match(text)) and (known := self.found(parts[1])) is not None:
                return known + between.format(parts[2])
        for between in (": ", "; "):
            first, cut, rest = text.partition(between)
            if cut and (one := self.found(first)) is not None and (other := self.found(rest)) is not None:
                return f"{one}{between}{other}"
        first, _, rest = text.rpartition(": ")
        if (one := self.known(first)) is not None and (other := self.known(rest)) is not None:
            return f"{one}: {other}"
        if text.endswith("?") and (known := self.found(text[:-1])) is not None:
            return f"{known}?"
        return None

    def with_numbers(self, text: str) -> str | None:
        """Words in which numbers, ids, files and titles in quotation marks stand at empty places."""
        slots = [] if "{" in text else NAMED.findall(text)
        told = self.known(NAMED.sub("{}", text)) if slots else None
        return None if told is None else told.format(*map(self.slot, slots))

    def sentence(self, text: str) -> str:
        """A sentence with [[fact id|format]] marks in this language, the marks where it wants them: {} in their order,
        {0} and {1} in its own; as the study has it where the list lacks it."""
        if not self.words:
            return text
        if (whole := self.whole_sentence(text)) is not None:
            return whole
        told = [self.whole_sentence(each) for each in SENTENCES.split(text)]
        return " ".join(map(str, told)) if all(told) else text

    def whole_sentence(self, text: str) -> str | None:
        """One sentence, or several that the list has as one; None where it lacks them."""
        marks = MARK.findall(text)
        told = self.found(MARK.sub("{}", text)) if marks else self.found(text)
        if told is not None:
            return told.format(*marks) if marks else told
        return self.with_names(text)

    def with_names(self, text: str) -> str | None:
        """A sentence in which concepts and titles in quotation marks stand at empty places beside its figures."""
        pattern = "|".join((MARK.pattern, "“[^“”]*”", *(re.escape(each) for each in self.names)))
        slots = re.findall(pattern, text)
        told = self.found(re.sub(pattern, "{}", text)) if slots else None
        return None if told is None else told.format(*map(self.slot, slots))

    def slot(self, text: str) -> str:
        """What stands at such a place: a figure's mark as it is, a number, the name of a concept or a title in this
        language."""
        if MARK.fullmatch(text):
            return text
        if NUMBER.fullmatch(text):
            return self.figure(text)
        return f"„{self.term(text[1:-1])}“" if text.startswith("“") else self.known(text) or text

    def known(self, text: str) -> str | None:
        """The words for these, whether they begin large or small; None where the list lacks them."""
        for first in (text[:1], text[:1].lower(), text[:1].upper()):
            found = self.words.get(first + text[1:])
            if found is not None:
                return found if text[:1].islower() else found[:1].upper() + found[1:]
        return None


@cache
def tongue(language: str) -> Tongue:
    """A language by its short name."""
    own = table(f"{language}.toml") | {"report": table(f"{language}.toml", of="millhand.report")}
    return Tongue(
        name=language, decimal=own.pop("decimal"), units=own.pop("units"), texts=dict(flat(own)),
        words=study_words(language) if language != "en" else {},
    )  # fmt: skip


def study_words(language: str) -> dict[str, str]:
    """What a language has for the study's own words: those that a proposal needs, and those of the report besides."""
    name = f"words_{language}.toml"
    return table(name) | table(name, of="millhand.report")


def table(name: str, *, of: str = "millhand.report.proposal") -> dict[str, Any]:
    """One of the data files of the proposal, or of the report."""
    text = (files(of) / "texts" / name).read_text(encoding="utf-8")
    return tomllib.loads(text)


def flat(tables: Mapping[str, Any], top: str = "") -> Iterator[tuple[str, str]]:
    """Every text by its whole key: section and name with a point between.

    >>> dict(flat({"price": {"title": "Price"}}))
    {'price.title': 'Price'}
    """
    for key, value in tables.items():
        if isinstance(value, str):
            yield f"{top}{key}", value
        else:
            yield from flat(value, f"{top}{key}.")
