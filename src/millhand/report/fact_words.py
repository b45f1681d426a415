"""One fact of an inquiry as people read it, and what an answer put in the place of another."""

from millhand.intake.answers import Taken
from millhand.intake.contradictions import clock
from millhand.model.fact import Choice, Fact
from millhand.report.view import listed, listed_span, middle, span

LONG_TIMES = ((2 * 3600.0, "hours"), (120.0, "minutes"))


def value(fact: Fact | Choice, currency: str) -> str:
    """A fact as a person reads it: value, unit and range, or the word."""
    if isinstance(fact, Choice):
        return fact.value
    if fact.id.endswith(".start") and fact.unit == "s":
        return clock(fact.value)
    form = form_of(fact)
    text = middle(fact, form) if form else listed(fact, currency=currency)
    ends = span(fact, form) if form else listed_span(fact, currency=currency)
    return f"{text} ({ends})" if ends else text


def form_of(fact: Fact) -> str:
    """The format of times and short lengths; '' where the fact's own is right."""
    if fact.unit == "s":
        return next((form for least, form in LONG_TIMES if fact.value >= least), "seconds")
    return "mm" if fact.unit == "m" and fact.value < 1 else ""


def taken_words(each: Taken, currency: str) -> str:
    """One answer, and what was counted before."""
    before = f"{value(each.before, currency)}, assumed" if each.before is not None else "open"
    return f"{each.path} = {value(each.after, currency)} (before: {before})"
