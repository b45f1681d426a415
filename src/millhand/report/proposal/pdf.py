"""A told proposal as a PDF: one template, everything else given to it as data, so that no text is ever run.

Two pages are two pages, however much a shop has told: where the words come to more, they are set a little smaller.
"""

import json
from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any, Literal

from millhand.report.svg import fonts_ready

TEMPLATE = "proposal.typ"
SHORT_PAGES = 2
LOOSEST, TIGHTEST = -2, 5  # steps by which letters of the short form are smaller than usual
COUNTED = "<pages>"
STANDARD: Literal["ua-1"] = "ua-1"  # tagged, with title, language and texts for what is drawn


def proposal_pdf(told: Mapping[str, Any], on: date) -> bytes:
    """The PDF; the same data on the same date give the same bytes."""
    return typeset(told, on, form="pdf")[0]


def proposal_pages(told: Mapping[str, Any], on: date, *, dots_per_inch: float = 90.0) -> tuple[bytes, ...]:
    """Each page as a PNG picture, to look at."""
    return typeset(told, on, form="png", dots_per_inch=dots_per_inch)


def typeset(told: Mapping[str, Any], on: date, *, form: str, dots_per_inch: float = 90.0) -> tuple[bytes, ...]:
    """The template run over the data."""
    import typst

    with as_file(files("millhand.report.proposal") / TEMPLATE) as template:
        known = fitting(template, {**told, "on": [on.year, on.month, on.day]})
        made: bytes | list[bytes] = typst.compile(
            template, format="pdf" if form == "pdf" else "png", sys_inputs=known, font_paths=[Path(fonts_ready())],
            ignore_system_fonts=True, ppi=dots_per_inch, pdf_standards=STANDARD if form == "pdf" else None,
        )  # fmt: skip
    return tuple(made) if isinstance(made, list) else (made,)


def fitting(template: Path, given: Mapping[str, Any]) -> dict[str, str]:
    """What the template is given: a short form in the largest letters that keep it on its pages."""
    text = json.dumps(given, ensure_ascii=False, sort_keys=True)
    return settings(text, step(template, text) if given["compact"] else 0)


def settings(text: str, tight: int) -> dict[str, str]:
    """The data, and by how many steps its letters are smaller than usual."""
    return {"data": text, "tight": str(tight)}


@lru_cache(maxsize=4)  # PDF and pages of one paper follow each other
def step(template: Path, text: str) -> int:
    """The first step that does, found by halves; the last where none does."""
    low, high = LOOSEST, TIGHTEST
    while low < high:
        tried = (low + high) // 2
        low, high = (low, tried) if pages_of(template, settings(text, tried)) <= SHORT_PAGES else (tried + 1, high)
    return low


def pages_of(template: Path, known: dict[str, str]) -> int:
    """How many pages it comes to."""
    import typst

    counted = typst.query(
        template, COUNTED, field="value", one=True, sys_inputs=known, font_paths=[Path(fonts_ready())],
        ignore_system_fonts=True,
    )  # fmt: skip
    return int(json.loads(counted))
