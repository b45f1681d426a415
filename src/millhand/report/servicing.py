"""Fewer or more machines for one operator in words: what the table comes to, for every face alike."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup, escape

from millhand.model.fact import Fact
from millhand.model.servicing import Serviced, Servicing
from millhand.model.study import Study
from millhand.report.marks import Marks, given_words
from millhand.report.view import middle

IN_STEP = "In step: the best cycle, every time at its mean."
OUTSIDE = "Stops, tool changes and breaks are in neither."
ALIKE = (
    f"{IN_STEP} By chance: machines that call at random and queue, the exact finite-source model with exponential "
    "times, and with every service as long as the mean (constant). Work that varies little comes near the first, work "
    f"that varies much near the second. {OUTSIDE}"
)
UNLIKE = (
    f"{IN_STEP} By chance: machines that call at random with the exponential times of their kind and are served in the "
    "order of their calls, the exact chain of who runs and who waits. The kind that makes the fewest loads sets the "
    "rate; the others are taken to have parts at hand always, so that the operator is shown too busy, not too idle. "
    f"{OUTSIDE}"
)
NO_CHANCE = (
    f"{IN_STEP} By chance there is no model where the operator has more inside work on a load than the machine cuts, "
    "or where a kind of machine has several operations or none. Stops, tool changes and breaks are not in it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A stretch of a sentence: words, or the text of a figure with its fact; `path` is a place in the user's file."""

    text: str
    fact: str | None = None
    path: bool = False


def rule(study: Study, servicing: Servicing) -> str:
    """What the two ways are, as far as the table has them."""
    if not any(row.chance for row in servicing.rows):
        return NO_CHANCE
    return UNLIKE if len(study.inquiry.machines) > 1 else ALIKE


def notes(study: Study, servicing: Servicing, row: Serviced) -> tuple[str, ...]:
    """What is said of one number of machines: that it is today's, that it makes the cheapest part."""
    kinds = len(study.inquiry.machines)
    now = study.facts[row.machines].value * kinds == study.facts[servicing.today].value
    return (*(["today"] if now else []), *(["cheapest in step"] if row.machines == servicing.cheapest else []))


def sentences(study: Study, servicing: Servicing) -> Iterator[tuple[Said, ...]]:
    """What the table comes to, sentence by sentence."""

    def said(fact_id: str, form: str) -> Said:
        fact: Fact = study.facts[fact_id]
        return Said(text=middle(fact, form, currency=study.inquiry.shop.currency), fact=fact_id)

    numbers = [("today", servicing.today, "ratio")]
    if servicing.ideal is not None:
        numbers.append(("no waits on either side", servicing.ideal, "ratio"))
    if servicing.cheapest is not None:
        numbers.append(("cheapest part, in step", servicing.cheapest, "count"))
    told = [(Said(text=f"; {what} "), said(each, form)) for what, each, form in numbers]
    first = Said(text=f"Machines for one operator: {numbers[0][0]} ")
    yield (first, *[each for pair in told for each in pair][1:], Said(text="."))
    if servicing.cheapest is None:
        yield from without_price(study)
    if servicing.break_even is not None:
        few, more = [row for row in servicing.rows if row.chart is not None][-2:]
        yield (
            said(more.machines, "count"), Said(text=" instead of "), said(few.machines, "count"),
            Said(text=" make parts cheaper while a machine hour costs less than "),
            said(servicing.break_even, "money"), Said(text="."),
        )  # fmt: skip
    if servicing.binomial is None or servicing.wright is None:
        return
    outside = study.facts[servicing.wright].outside
    flag = f" (outside its range: {'; '.join(outside)})" if outside else ""
    yield (
        Said(text="Shortcuts for today's number, as printed in handbooks: the binomial loses "),
        said(servicing.binomial, "percent"), Said(text=" of machine time, Wright's formula "),
        said(servicing.wright, "count"), Said(text=" % of each service"),
        *([Said(text=flag, fact=servicing.wright)] if flag else []), Said(text="."),
    )  # fmt: skip


def told(sentence: tuple[Said, ...], marks: Marks) -> Markup:
    """A sentence in the language of a page: its figures and places of a file at empty places of one of its patterns."""
    slots = [each for each in sentence if each.fact or each.path]
    pattern = "".join("{}" if each in slots else each.text for each in sentence)
    words = marks.tongue.told(pattern)
    shown = [marks.marked(each.fact, each.text) if each.fact else given_words(each.text) for each in slots]
    said = escape(words or pattern).format(*shown)
    return said if words is not None else marks.untold(pattern, said)


def without_price(study: Study) -> Iterator[tuple[Said, ...]]:
    """What to write so that the cheapest number can be named."""
    names = [f"machines.{each.name}.rate" for each in study.inquiry.machines if each.rate_per_h is None]
    yield (
        Said(text="Cost: the operator alone. To see the cheapest number give the cost of an hour ("),
        Said(text=", ".join(names), path=True),
        Said(text=")."),
    )
