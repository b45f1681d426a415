"""People's time by kind and the use of today's machines in the terminal, with the rules they are counted by."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from millhand.model.performance import Performance
from millhand.report.comparison import opening, today_figures, today_of
from millhand.report.people_words import KINDS, SAME_SCOPE, SPREAD, USE_HEADS, USE_WORDS, USES
from millhand.report.terminal import Page, heading


def people_parts(page: Page) -> Iterator[RenderableType]:
    """Hours of a shift by kind, and seconds a good part; then how freed hours count."""
    performance = _performance(page)
    if performance is None or performance.people is None:
        return
    people = performance.people
    yield heading("People's hours by kind")
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("")
    for head in ("a shift", "a part"):
        table.add_column(head, justify="right", no_wrap=True)
    for kind, fact_id in people.a_shift.items():
        table.add_row(KINDS[kind], page.figure(fact_id, "hours"), page.figure(people.a_part[kind], "seconds"))
    table.add_row("at these machines, breaks off", page.figure(people.there, "hours"), "")
    yield table
    own = page.study.inquiry.people
    yield Text(
        f"{SAME_SCOPE} {USES[own.freed_use.value]}, and {page.figure(own.share_usable.id, 'percent')} of the freed "
        "hours is counted as money. One head in one shift is "
        f"{page.figure('shifts.head_h_per_y', 'hours')} a year."
    )


def use_parts(page: Page) -> Iterator[RenderableType]:
    """Availability, effectiveness, quality and their product for the machines of each operation; the loss named."""
    performance = _performance(page)
    if performance is None or not performance.uses:
        return
    yield heading("Use of the machines while somebody is there")
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("")
    for head in USE_HEADS:
        table.add_column(head, justify="right", no_wrap=True)
    for use in performance.uses:
        ids = (use.simulated_availability, use.availability, use.effectiveness, use.quality, use.oee)
        table.add_row(opening(use.operation.replace("_", " ")), *(page.figure(each, "percent") for each in ids))
    yield table
    loss = today_figures(page.study, today_of(page.study)).get("loss")
    yield Text(
        f"Names of ISO 22400-2: {USE_WORDS} Losses: set-ups, long stops, and the {page.figure(loss, 'percent')} that "
        f"nothing here explains. {SPREAD}"
    )


def _performance(page: Page) -> Performance | None:
    """Today's performance."""
    today = today_of(page.study)
    return today.performance if today else None
