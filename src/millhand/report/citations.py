"""The sources behind the formulas of a study, as docs/sources.toml lists them (the file beside this one is a link)."""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from millhand.formulas import Formula

YEAR = re.compile(r"\b(?:1[89]|20)\d\d\b")
COUNTED = re.compile(r"\d+(;|$)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One source: what it is, and how its figures were seen."""

    key: str
    words: str  # authors, title, edition, year
    seen: str


@cache
def listed_sources() -> dict[str, Source]:
    """Every listed source by its key."""
    text = (files("millhand.report") / "sources.toml").read_text(encoding="utf-8")
    return {
        key: Source(key=key, words=citation(entry), seen=str(entry.get("seen", "")))
        for key, entry in tomllib.loads(text).items()
    }


def citation(entry: dict[str, object]) -> str:
    """Authors, title, edition and year in one line; what an entry lacks is left out, and nothing stands in it twice.

    >>> citation({"authors": "A. Author", "title": "On Loads", "year": 1999, "edition": ""})
    'A. Author: On Loads, 1999'
    """
    title, edition, year = (str(entry.get(name) or "") for name in ("title", "edition", "year"))
    if YEAR.fullmatch(edition):
        edition, year = "", year or edition
    elif COUNTED.match(edition):
        edition = f"edition {edition}"
    said = sorted(YEAR.findall(f"{title}, {edition}"))
    if said and (year in said or said[0] < year < said[-1]):
        year = ""  # the title or the edition says it, or the years round it
    authors = str(entry.get("authors") or "")
    named = f"{authors}: " if authors and not title.startswith(authors) else ""
    return named + ", ".join(each for each in (title, edition, year) if each)


def cited(formulas: Iterable[Formula]) -> tuple[Source, ...]:
    """The sources of these formulas, each once, by key."""
    keys = {formula.source.partition(",")[0].strip() for formula in formulas}
    return tuple(source for key, source in sorted(listed_sources().items()) if key in keys)
