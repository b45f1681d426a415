"""A language of proposal and report: its texts by key, its words for those of the study, its way to write a figure."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

from millhand.errors import ToolError

LANGUAGES = ("en", "de")
POINT = re.compile(r"(?<=\d)\.(?=\d)")
QUOTED = re.compile(r"^(.*)“(.*)”(.*)$")
OWNERS = re.compile(r"^(.*) \(([^()]*)\)$")  # a value with the things that it belongs to, in brackets
MARK = re.compile(r"\[\[[^\[\]]+\]\]")  # a figure in a sentence of the study
FIELD, FIGURE = r"\b[a-z]+(?:[._]?\w*[._\d]\w*)\b", r"\d+(?:[.,\u202f]\d+)*%?"
ASKED = re.compile(r"(?<=\?) ")  # between one question and the next
REASONED = re.compile(r"([^()]*) \(([^()]*)\)")  # something with its reason in brackets
BREAKS = (  # where a text may be told in parts, and what joins them again
    (re.compile(r"(?<=[.?!]) (?=[A-Z\[“])"), " "),
    (re.compile("; "), "; "),
    (re.compile(": "), ": "),
    (re.compile(", "), ", "),
)
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
    own: tuple[str, ...] = ()  # so do the user's own names, where nothing else is told
    places: Mapping[str, str] = field(default_factory=dict)  # and the places of a cell

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
        """A sentence with [[fact id|format]] marks in this language; as the study has it where the list lacks it."""
        return self.told(text) or text

    def told(self, text: str) -> str | None:
        """The same, None where the list lacks it: as a whole, or each sentence and each clause of it for itself, a full
        stop behind it set aside. The marks stand where the language wants them: {} in their order, {0} and {1} in its
        own."""
        if not self.words:
            return text
        if (whole := self.whole(text)) is not None:
            return whole
        for between, join in BREAKS[:1] if text.endswith(".") else BREAKS:
            if len(parts := between.split(text, maxsplit=1)) > 1:
                told = [self.told(each) for each in parts]
                return None if None in told else join.join(map(str, told))
        if text.endswith("."):
            bare = self.told(text[:-1])
            return None if bare is None else f"{bare}."
        return None

    def whole(self, text: str) -> str | None:
        """A sentence or a clause with its marks as the list has it; None where it has it not."""
        marks = MARK.findall(text)
        told = self.found(MARK.sub("{}", text)) if marks else self.found(text)
        if told is not None:
            return told.format(*marks) if marks else told
        return self.with_names(text)

    def with_names(self, text: str) -> str | None:
        """A sentence in which concepts and titles in quotation marks stand at empty places beside its figures; where
        the list lacks that, the user's own names too, or the places of a cell; at last plain numbers and fields."""
        low = text.lower()
        names = [re.escape(each) for each in self.names if each.lower() in low]
        own, there = (
            [rf"\b{re.escape(each)}\b" for each in some if each.lower() in low] for some in (self.own, self.places)
        )
        plain, tried = [MARK.pattern, "“[^“”]*”", *names], set()
        for pattern in (plain, [*plain, *own], [*plain, *there], [*plain, *own, FIELD, FIGURE]):
            joined = re.compile("|".join(pattern), flags=re.IGNORECASE)
            if (empty := joined.sub("{}", text)) == text or empty in tried:
                continue
            tried.add(empty)
            if (told := self.found(empty)) is not None:
                return told.format(*map(self.slot, joined.findall(text)))
        return None

    def slot(self, text: str) -> str:
        """What stands at such a place: a figure's mark and an id as they are, a name, a title, a place or a number in
        this language."""
        if MARK.fullmatch(text):
            return text
        if text.startswith("“"):
            return f"„{self.term(text[1:-1])}“"
        known = self.places.get(text[:1].lower() + text[1:]) or self.found(text)
        return known or (self.figure(text) if text[:1].isdigit() else text)

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
        places=dict(longest_first(table(f"places_{language}.toml", of="millhand.report"))) if language != "en" else {},
    )  # fmt: skip


def study_words(language: str) -> dict[str, str]:
    """What a language has for the study's own words: those that a proposal needs, and those of the report besides."""
    name = f"words_{language}.toml"
    return table(name) | table(name, of="millhand.report")


def longest_first(words: Mapping[str, str]) -> list[tuple[str, str]]:
    """Words in the order in which a pattern tries them: none before one that it begins."""
    return sorted(words.items(), key=lambda each: len(each[0]), reverse=True)


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
