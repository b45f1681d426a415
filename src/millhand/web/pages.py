"""Fills the pages. Everything is escaped; what a page does not know is an error."""

import re
from collections.abc import Mapping
from contextvars import ContextVar
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

from fastapi import Request
from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response

from millhand.intake.fields import Field, kind_of
from millhand.intake.form import Number, Text, Word
from millhand.intake.form_shop import NAME
from millhand.intake.text import sides_in
from millhand.intake.units import DIMENSIONS
from millhand.model.fact import Choice
from millhand.report.fact_words import value
from millhand.report.pages import CHAPTERS
from millhand.report.view import listed, listed_span
from millhand.store.accounts import ENGINEER, LEAST_LETTERS, may
from millhand.store.entering import SIGNED_IN, UNUSED
from millhand.store.inquiries import STATES
from millhand.store.work import Work
from millhand.web.desk import Desk
from millhand.web.form_words import in_short, left_to_say, stands_open
from millhand.web.pace import lasts_words, left_words, step_words
from millhand.web.sheet_words import SOURCES, option_words, usual_source
from millhand.web.wrongs import plainly, wrongs

USUAL = {"s": "25 s", "min": "30 min", "h": "8 h"}  # an example of a time that is counted in such a unit
OTHERS = {
    "length": {"120 mm": 0.12, "3 m": 3.0, "5 mm": 0.005},
    "time": {"6 min 20 s": 380.0, "40 s": 40.0, "4 h": 14400.0, "200 h": 720_000.0},
}  # of what is measured in very unlike sizes: examples with what they are in SI, the usual one first
READS: ContextVar[bool] = ContextVar("reads", default=False)  # whoever asks changes nothing


@cache
def environment() -> Environment:
    """The templates of the web app."""
    made = Environment(
        loader=PackageLoader("millhand.web", "templates"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    made.globals |= {
        "kind_of": kind_of, "plainly": plainly, "wrongs_of": wrongs, "small_of": small_of, "option_words": option_words,
        "SOURCES": SOURCES, "usual_source": usual_source,
        "in_short": in_short, "left_to_say": left_to_say, "stands_open": stands_open,
        "shown_text": shown_text,
        "meanwhile": meanwhile, "options_of": options_of, "label_of": label_of, "read_as": read_as,
        "states": STATES,
        "chapters": CHAPTERS, "is_word": lambda each: isinstance(each.entry, Word),
        "is_number": lambda each: isinstance(each.entry, Number), "mark": mark, "day": day, "hint": hint,
        "step_words": step_words, "going": going, "left_words": left_words, "lasts_words": lasts_words, "ago": ago,
        "reads": READS.get, "least_letters": LEAST_LETTERS,
        "hours_unused": hours(UNUSED),
        "hours_in_all": hours(SIGNED_IN),
    }  # fmt: skip
    return made


def hours(lasts: timedelta) -> str:
    """A time as people say it."""
    return f"{lasts / timedelta(hours=1):g}"


def page(request: Request, name: str, known: Mapping[str, Any], *, status: int = 200) -> Response:
    """A page for whoever asks, filled with what it knows."""
    state = request.scope.get("state") or {}
    entered = state.get("entered")
    ours = {
        "entered": entered,
        "others": request.app.state.gate.others,
        "form_key": state.get("form_key", "") if entered else "",
        "here": request.url.path,
        "asked": dict(request.query_params),
    }
    taken = ours.keys() & known.keys()
    assert not taken, f"{name} has other meanings for {taken}"
    READS.set(entered is not None and not may(entered.role, ENGINEER))
    return HTMLResponse(environment().get_template(name).render({**known, **ours}), status)


def desk_of(request: Request) -> Desk:
    """The desk that the app was made with."""
    desk: Desk = request.app.state.desk
    return desk


def who_of(request: Request) -> str:
    """Who asks."""
    return str(request.state.who)


def checked(request: Request, key: str) -> None:
    """Refuse a form that is not from one of our pages."""
    if key != request.state.form_key:
        raise HTTPException(403, "This form is too old: load its page again, then send it once more.")


def is_small_script(request: Request) -> bool:
    """Whether the page's own script asks, which wants a piece of the page."""
    return request.headers.get("hx-request") == "true"


def meanwhile(each: Field, currency: str) -> str:
    """What is counted where nothing was typed."""
    known = each.known
    if known is None:
        return ""
    if isinstance(known, Choice):
        return known.value.replace("_", " ")
    span = listed_span(known, currency=currency)
    return f"{listed(known, currency=currency)}" + (f" ({span})" if span else "")


def options_of(each: Field) -> list[str]:
    """The words that may be chosen, what was typed among them."""
    assert isinstance(each.entry, Word)
    options = ["", *each.entry.options]
    return options if each.text in options else [*options, each.text]


def hint(each: Field) -> str:
    """What an empty field shows: how such a thing is written; '' where the words beside it say it."""
    if isinstance(each.entry, Word):
        return ""
    if each.entry.key in ("raw", "finished"):
        return each.example
    if isinstance(each.entry, Number) and each.entry.bare:
        return USUAL.get(each.entry.bare, "")
    if isinstance(each.entry, Number) and (fitting := inside(each.entry)):
        return fitting
    example = re.split(", | or ", each.example.rpartition("such as ")[2])[0]  # of several, one that can be copied
    return example if isinstance(each.entry, Number) or each.example[:1].isdigit() else ""


def inside(entry: Number) -> str:
    """An example within the limits of a length or a time; '' of anything else, and where the usual one will do."""
    found = OTHERS.get(entry.dimension, {})
    return next((text for text, value in found.items() if entry.least <= value <= entry.most), "")


def label_of(each: Field) -> str:
    """What an entry is, as a label, with the unit that may be left out."""
    words = plainly(each.entry.help).partition("; ")[0]
    return words[:1].upper() + words[1:] + unit_of(each)


def small_of(each: Field) -> str:
    """What stands small below a label: the rest of its words, else its key where that says more than the label."""
    label, _, rest = plainly(each.entry.help).partition("; ")
    words = each.entry.key.replace("_", " ")
    return rest or ("" if words in label.lower() else words)


def is_name(each: Field) -> bool:
    """Whether it is the name of a thing of the inquiry, which becomes part of paths."""
    return each.entry.key == "name" and isinstance(each.entry, Text) and each.entry.pattern == NAME


def shown_text(each: Field) -> str:
    """What was typed, as people would write it."""
    return each.text.replace("_", " ") if is_name(each) else each.text


def read_as(each: Field) -> str:
    """How a number was read, where it could have been another one; '' where it is as it was typed."""
    if each.read is None or each.errors:
        return ""
    kept = f", its sides kept as {sides}" if (sides := sides_in(each.text)) and each.read.unit == "m2" else ""
    return f", read as {value(each.read, each.currency)}{kept}"


def unit_of(each: Field) -> str:
    """The unit of a number without one, as it stands behind the label; '' where it needs one."""
    if not isinstance(each.entry, Number):
        return ""
    kind = DIMENSIONS[each.entry.dimension]
    unit = each.entry.bare or ("" if kind.money else kind.bare)
    return f" ({unit})" if unit else ""


def mark(each: Field) -> str:
    """One sign for what a field is, for those who see no colour."""
    return {"wrong": "✕", "assumed": "≈", "typed": "✓", "open": "○"}[kind_of(each)]


def going(last: Work | None, done: Work | None, revision: int) -> str:
    """The words of the way from the fields to the answer, as far as the study of this revision is."""
    if done is not None and done.revision == revision:
        return "To the answer and the proposal"
    return "To the study under way" if last is not None and last.under_way else "Go on to work it out"


def ago(at: str) -> str:
    """How long a time of the store is past."""
    passed = (datetime.now(UTC) - datetime.fromisoformat(at)).total_seconds()
    return lasts_words(max(passed, 0.0))


def day(at: str) -> str:
    """A time of the store as people read it."""
    return at.replace("T", " ").removesuffix("Z")[:16]
