"""A starter in lines of at most eighty columns: what it is, when it fits, its typical figures, what is not there."""

from collections.abc import Iterator

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.starters import inquiry_of_starter
from millhand.cli.check import wrapped
from millhand.intake.inquiry import read_inquiry
from millhand.intake.inquiry_gaps import facts_of
from millhand.model.fact import Choice, Fact
from millhand.model.starter import Starter
from millhand.report.fact_words import value


def starter_lines(starter: Starter) -> Iterator[str]:
    """All of it under its name."""
    yield from wrapped(f"{starter.id}: {starter.title}")
    yield from wrapped(starter.what, "  ")
    for words, reasons in (("fits", starter.fits), ("does not fit", starter.fits_not)):
        for reason in reasons:
            yield from wrapped(f"{words}: {reason}", "  ")
    for words in typical(starter):
        yield from wrapped(f"typical: {words}", "  ")
    yield from wrapped(f"not there yet: {starter.lacks}", "  ") if starter.lacks else ()


def typical(starter: Starter) -> Iterator[str]:
    """The figures with a range that the inquiry of a starter assumes itself."""
    path = inquiry_of_starter(starter.id)
    inquiry = read_inquiry(path, assumptions())
    for fact in facts_of(inquiry):
        if is_own(fact, path.name) and isinstance(fact, Fact) and fact.low is not None:
            yield f"{fact.title}: {value(fact, inquiry.shop.currency)}"


def is_own(fact: Fact | Choice, file: str) -> bool:
    """Whether a figure was assumed by whoever wrote the file, in its own place."""
    return fact.basis == "assumed" and fact.source.startswith(f"{file}:")
