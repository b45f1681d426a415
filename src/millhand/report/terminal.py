"""A study in the terminal: what is advised, the comparison, the questions first; 80 columns, plain when piped."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import click
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from millhand.intake.inquiry_gaps import facts_of
from millhand.model.decision import Driver
from millhand.model.fact import Choice, Fact
from millhand.model.safeguarding import Guarded
from millhand.model.study import Study
from millhand.report import safeguarding as safeguarding_words
from millhand.report.comparison import (
    ANSWERS,
    Row,
    broken_today,
    doubt_words,
    fallen,
    heading_words,
    in_sight,
    killers,
    living,
    meanwhile,
    moving,
    opening,
    spoken,
    subject,
    title,
)
from millhand.report.cycle import cell_of
from millhand.report.half import half_words
from millhand.report.html import ALONE_CAUTION
from millhand.report.in_turn import rows as rows_in_turn
from millhand.report.safeguarding import CAUTION as GUARD_CAUTION
from millhand.report.shared_people import CAUTION as SHARED_CAUTION
from millhand.report.shared_people import shared_words
from millhand.report.study_json import all_choices, all_facts
from millhand.report.view import NARROW_SPACE, bare, listed, listed_at, listed_span, middle, sentence, span

COLUMNS = 80
JOINT = "\ue000"  # becomes a plain space once the lines are broken: every terminal has that one
BESIDE = ("cells", "drawings")  # folders whose files are not listed one by one
BY_ARM = "by_arm"  # the inquiry's key
BEST, FEW = 5, 6  # concepts and drivers shown
AT_BOUND = "not simulated: at most"
BOUND_MEANS = (
    "the figures are what the busiest machine, arm or person allows, with no waiting of one for another. Simulated, "
    "such a way makes less and pays back later; hold its figures against the others as the best that they can be."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One study as the terminal shows it: words with plain spaces, figures with their units."""

    study: Study
    facts: dict[str, Fact]
    choices: dict[str, Choice]

    @property
    def currency(self) -> str:
        """The inquiry's money."""
        return self.study.inquiry.shop.currency

    def say(self, text: str) -> str:
        """A sentence with its figures in it."""
        return plain(sentence(text, self.facts, currency=self.currency).replace("_", " "))

    def figure(self, fact_id: str | None, form: str, *, unit: bool = True) -> str:
        """One figure; a dash where there is none."""
        if fact_id is None:
            return "-"
        fact = self.facts[fact_id]
        return plain(middle(fact, form, currency=self.currency) if unit else bare(fact, form))

    def ends(self, fact_id: str | None, form: str) -> str:
        """The range of a figure, P10 to P90."""
        return plain(span(self.facts[fact_id], form)) if fact_id else ""

    def own(self, fact_id: str) -> str:
        """One figure in its own unit."""
        return plain(listed(self.facts[fact_id], currency=self.currency))

    def stands_in(self, fact_id: str) -> str:
        """What the study counts with while a question is open: a figure with its range, or a word."""
        if fact_id not in self.facts:
            return self.choices[fact_id].value.replace("_", " ")
        ends = plain(listed_span(self.facts[fact_id], currency=self.currency))
        return f"{self.own(fact_id)} ({ends})" if ends else self.own(fact_id)


def plain(text: str) -> str:
    """The same text with its narrow spaces held together, so that no figure is broken over two lines."""
    return text.replace(NARROW_SPACE, JOINT)


def page_of(study: Study) -> Page:
    """The page of one study."""
    return Page(study=study, facts=all_facts(study), choices=all_choices(study))


def show(parts: Iterable[RenderableType], console: Console | None = None) -> None:
    """Print the parts of a page; a pipe gets 80 columns, no colour, and no spaces at the end of a line."""
    out = console or Console(highlight=False)
    if not out.is_terminal:
        out.width = COLUMNS
    with out.capture() as taken:
        out.print(Group(*parts))
    for line in taken.get().replace(JOINT, " ").splitlines():
        click.echo(line if out.is_terminal else line.rstrip(), file=out.file, color=out.is_terminal)


def study_parts(
    study: Study, written: Iterable[Path] = (), *, beside: Iterable[RenderableType] = ()
) -> Iterator[RenderableType]:
    """The summary of a study, from the answer to the files that were written; `beside` stands before the questions."""
    page = page_of(study)
    yield from answer_parts(page)
    yield heading("Ways to load the machines")
    yield comparison_table(page)
    yield from bound_parts(page)
    yield from funnel_parts(page)
    yield from fallen_parts(page)
    yield from in_turn_parts(page)
    yield from shared_parts(page)
    yield from guard_parts(page)
    yield from size_parts(page)
    yield from map_parts(page)
    yield from offer_parts(page)
    yield from beside
    yield from driver_parts(page)
    yield from question_parts(page)
    yield from next_parts(page, written)


def heading(words: str) -> RenderableType:
    """A heading with room above it."""
    return Padding(Text(words, style="bold"), (1, 0, 0, 0))


def answer_parts(page: Page) -> Iterator[RenderableType]:
    """Whose study this is, the answer and its reasons."""
    yield Text(heading_words(page.study.inquiry))
    yield Padding(Text(ANSWERS[page.study.decision.answer], style="bold"), (1, 0, 0, 0))
    for odd in page.study.clashes:
        yield Text(f"Clear this up before you rely on it: {odd.sentence}", style="bold")
    if doubt_words(page.study):
        yield Text(f"Clear this up before you rely on it: {doubt_words(page.study)}", style="bold")
    for words in page.study.decision.sentences:
        yield Text(page.say(words))
    half = half_words(page.study, page.facts, lambda fact_id: page.figure(fact_id, "months"))
    if half:
        yield Text(half)
    for verdict in broken_today(page.study):
        yield Text(f"The work as it is today: {page.say(verdict.words)}")
        yield Text(verdict.caution or "", style="italic")


def comparison_table(page: Page) -> RenderableType:
    """The concepts in sight: output, price, payback, worth; what fell is named below it."""
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False, expand=False)
    table.add_column("", ratio=1, overflow="fold", min_width=22)
    for head in (
        "parts/\nshift",
        "alone\nper h",
        f"price\n{page.currency}",
        "payback\nmonths",
        f"worth\n{page.currency}",
    ):
        table.add_column(head, justify="right", no_wrap=True)
    wanted = in_sight(page.study, BEST)
    for row in (row for row in living(page.study) if row.concept in wanted):
        style = "bold" if row.concept == page.study.decision.winner else ""
        table.add_row(*concept_cells(page, row), style=style)
    return table


def concept_cells(page: Page, row: Row) -> tuple[str, ...]:
    """One row of the comparison."""
    ends = page.ends(row.payback, "months")
    payback = page.figure(row.payback, "months", unit=False) if row.payback else "never" if row.no_payback else "-"
    return (
        opening(row.title) + (f"\n({AT_BOUND})" if row.at_bound else ""),
        page.figure(row.attended, "parts", unit=False),
        page.figure(row.alone, "per_hour", unit=False),
        page.figure(row.price, "money_2", unit=False),
        f"{payback}\n({ends})" if ends else payback,
        page.figure(row.npv, "money_2", unit=False),
    )


def bound_parts(page: Page) -> Iterator[RenderableType]:
    """What it means that a way in sight was not simulated."""
    wanted = in_sight(page.study, BEST)
    if any(row.at_bound for row in living(page.study) if row.concept in wanted):
        yield Padding(Text(f"Where it says “{AT_BOUND}”, {BOUND_MEANS}"), (1, 0, 0, 0))


def in_turn_parts(page: Page) -> Iterator[RenderableType]:
    """Of lots that come to the same machines again: a load in each phase, who sets the pace, the claim of the mean."""
    found = tuple(rows_in_turn(page.study))
    if found:
        yield heading("Lots that come to the same machines again: a load in each operation, by the best cycles")
    for row in found:
        told = "; ".join(
            f"{each.operation} {page.figure(each.cycle, 'seconds')}, pace set by {' and '.join(each.pace_setters)}"
            for each in row.phases.each
        )
        mean, left = page.figure(row.phases.mean_cycle, "seconds"), page.figure(row.phases.left, "percent")
        yield Text(f"- {opening(row.title)}: {told}. The mean would claim {mean}; {left} of its rate is left.")


def funnel_parts(page: Page) -> Iterator[RenderableType]:
    """Where every combination was left, in one sentence."""
    if page.study.decision.tradeoff is None:
        return
    funnel, front = page.study.decision.tradeoff.funnel, page.study.decision.tradeoff.front

    def count(fact_id: str) -> str:
        return page.figure(fact_id, "tally")

    fell = tuple((each.number, f"end at {spoken(each.check).lower()}") for each in funnel.fell)
    left = (
        (funnel.by_rule, "are left out by rules"),
        (funnel.by_size, "because a smaller arm does the same"),
        *fell,
        (funnel.by_bound, "bring less than the best even at their load bound"),
        (funnel.simulated, "were simulated"),
    )
    told = ", ".join(f"{count(number)} {what}" for number, what in left if page.facts[number].value)
    words = (
        f"Of {count(funnel.combinations)} combinations {told}. Of the simulated ones, the ways by hand and today "
        f"nothing beats {count(front)} in everything."
    )
    yield Padding(Text(words), (1, 0, 0, 0))


def fallen_parts(page: Page) -> Iterator[RenderableType]:
    """How many concepts fell, by the check that ended them, each with one example in words."""
    found: dict[str, list[Row]] = {}
    for row, _ in fallen(page.study):
        found.setdefault(str(row.fell), []).append(row)
    for check, those in found.items():
        count = f"{len(those)} ways fall at {spoken(check).lower()}" if len(those) > 1 else f"{those[0].title} falls"
        yield Padding(Text(f"{opening(count)}: {page.say(those[0].words)}"), (1, 0, 0, 0))
    if any(row.alone for row in living(page.study)):
        yield Padding(Text(f"Alone: {ALONE_CAUTION}", style="italic"), (1, 0, 0, 0))


def size_parts(page: Page) -> Iterator[RenderableType]:
    """What other sizes of one thing each would bring, in words; the page has the figures."""
    if page.study.sizing is None:
        return
    yield heading("How large, how long, how often")
    for row in page.study.sizing.rows:
        yield Text(f"- {page.say(row.words)}")


def map_parts(page: Page) -> Iterator[RenderableType]:
    """Two things moved at once, in words; the page has the figures of every pair."""
    if page.study.maps is None:
        return
    yield heading("Two things moved at once")
    for each in page.study.maps.maps:
        yield Text(f"- {page.say(each.words)}")


def shared_parts(page: Page) -> Iterator[RenderableType]:
    """How many such cells one person could look after."""
    cell = cell_of(page.study)
    words = shared_words(cell, page.facts) if cell is not None else ""
    if cell is not None and words:
        yield heading(f"One person for several cells ({cell.concept.title})")
        yield Text(page.say(words))
        yield Text(SHARED_CAUTION, style="italic")


def offer_parts(page: Page) -> Iterator[RenderableType]:
    """Work that the arm could do besides, with what it would cost; none of it is in the figures."""
    offers = page.study.decision.offers
    if not offers:
        return
    yield heading("What the arm could do besides")
    for each in offers:
        yield Text(
            f"- {opening(each.short)}, which people do today: {page.figure(each.price, 'money_2')} more, "
            f"{page.figure(each.freed, 'hours')} a year less for people, {page.figure(each.time, 'seconds')} of the "
            f"arm for each part; at the most {page.figure(each.rate, 'per_hour', unit=False)} parts an hour (now "
            f"{page.figure(each.rate_now, 'per_hour', unit=False)})."
        )
    yield Text(f"It is in no figure above: {BY_ARM} under wishes looks at it in full.")


def guard_parts(page: Page) -> Iterator[RenderableType]:
    """The first of the guarded cells, one row a way to guard it; the page has the others and the distances."""
    safeguarding = page.study.safeguarding
    if safeguarding is None:
        return
    cell = safeguarding.cells[0]
    yield heading(f"Safeguarding compared ({cell.title})")
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    for head in ("parts\nper h", "floor", f"price\n{page.currency}", "payback\nmonths"):
        table.add_column(head, justify="right", no_wrap=True)
    for row in cell.rows:
        table.add_row(*guard_cells(page, row))
    yield table
    yield Text(GUARD_CAUTION, style="italic")


def guard_cells(page: Page, row: Guarded) -> tuple[str, ...]:
    """One way to guard a cell; what does not fit has no figures."""
    said = safeguarding_words.verdict(row)
    name = opening(row.title) + (f" ({said})" if said else "")
    payback = page.figure(row.payback_months, "months", unit=False)
    return (
        name,
        page.figure(row.parts_per_h, "per_hour", unit=False),
        page.figure(row.floor, "area"),
        page.figure(row.price, "money_2", unit=False),
        payback if row.payback_months or row.misfit else "never",
    )


def driver_parts(page: Page) -> Iterator[RenderableType]:
    """What moves the payback most."""
    drivers = moving(page.study)[:FEW]
    looked = subject(page.study)
    if not drivers or looked is None:
        return
    yield heading(f"What the payback hangs on ({looked.concept.title})")
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    for head in ("low", "payback", "high", "payback"):
        table.add_column(head, justify="right", no_wrap=True)
    for driver in drivers:
        table.add_row(title(page.facts[driver.fact]), *driver_cells(page, driver))
    yield table


def driver_cells(page: Page, driver: Driver) -> tuple[str, ...]:
    """A fact's two ends and the payback at each."""
    fact = page.facts[driver.fact]
    found = []
    for end, payback in ((fact.low, driver.at_low), (fact.high, driver.at_high)):
        found.append("-" if end is None else plain(listed_at(fact, end, currency=page.currency)))
        found.append(page.figure(payback, "months") if payback else "never")
    return tuple(found)


def question_parts(page: Page) -> Iterator[RenderableType]:
    """The three questions whose answers could end the job."""
    asked = killers(page.study)
    if asked:
        yield heading("Ask first: each could end the job")
    for ask in asked:
        yield Text(f"- {ask.words}")
        yield Padding(Text(f"Counted meanwhile: {page.stands_in(meanwhile(page.study, ask))}"), (0, 0, 0, 2))


def assumed_words(page: Page) -> str:
    """How much is assumed, and where it is listed: gaps of the inquiry, and figures of the catalogue."""
    gaps = sum(fact.basis == "assumed" for fact in facts_of(page.study.inquiry))
    rest = sum(fact.basis == "assumed" and name.startswith("catalogue.") for name, fact in page.facts.items())
    return (
        f"{gaps} figures that nobody gave are assumed: `millhand check` lists them with the questions that "
        f"would replace them. {rest} more are the catalogue's: `millhand catalogue` says where each comes from."
    )


def next_parts(page: Page, written: Iterable[Path]) -> Iterator[RenderableType]:
    """What would change the answer, what is assumed, and where the files are."""
    if page.study.claimed:
        yield heading("What others count")
        for each in page.study.claimed:
            yield Text(f"- {page.say(each.words)}")
    if page.study.decision.would_change:
        yield heading("What would change the answer")
    for words in page.study.decision.would_change:
        yield Text(f"- {page.say(words)}")
    if page.study.decision.orders:
        yield heading("When fewer or more are ordered")
        for words in page.study.decision.orders.words:
            yield Text(f"- {page.say(words)}")
    yield heading("Next")
    yield Text(assumed_words(page))
    paths = tuple(written)
    files = [str(path) for path in paths if path.parent.name not in BESIDE]
    if files:
        beside = " and ".join(name for name in BESIDE if name in {path.parent.name for path in paths})
        yield Text(f"Written: {', '.join(files)}{f', and the {beside} beside them' if beside else ''}.")
    else:
        yield Text("Nothing was written; --out DIR writes the report with every figure's origin.")
