"""Better by hand in the terminal: the best changes with price and worth, what each assumes, what is left out, why."""

from collections.abc import Iterator, Sequence

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from millhand.report.by_hand import MOST, SIMULATED, left_out, rows, short
from millhand.report.comparison import Row, opening, result_of, today_of
from millhand.report.terminal import Page, heading


def by_hand_parts(page: Page) -> Iterator[RenderableType]:
    """Cheap changes of the manual work: price, what they yield, what they are worth; the others in a line."""
    found, why = rows(page.study), left_out(page.study)
    if not found and not why:
        return
    yield heading("Better by hand")
    if found:
        yield by_hand_table(page, found[:MOST])
        yield Text(SIMULATED, style="italic")
        yield Padding(Text("\n".join(assumption(page, row) for row in found[:MOST])), (1, 0, 0, 0))
    if found[MOST:]:
        yield Padding(Text(f"Worth less: {'; '.join(worth(page, row) for row in found[MOST:])}."), (1, 0, 0, 0))
    if why:
        yield Padding(Text(f"Not offered here: {'; '.join(why)}."), (1, 0, 0, 0))


def by_hand_table(page: Page, changes: Sequence[Row]) -> RenderableType:
    """Today, then a row a change."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    for head in (
        f"price\n{page.currency}",
        "parts/\nshift",
        "hours\na year",
        "payback\nmonths",
        f"worth\n{page.currency}",
    ):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_row(*today_cells(page))
    for row in changes:
        result = result_of(page.study, row.concept)
        hours = result.performance.operator_h_per_y if result and result.performance else None
        table.add_row(
            opening(short(row)),
            with_ends(page, row.price),
            page.figure(row.attended, "parts", unit=False),
            page.figure(hours, "count", unit=False),
            page.figure(row.payback, "months", unit=False) if row.payback else "never",
            page.figure(row.npv, "money_2", unit=False),
        )
    return table


def today_cells(page: Page) -> tuple[str, ...]:
    """What the changes are held against."""
    today = today_of(page.study)
    hours = today.performance.operator_h_per_y if today and today.performance else None
    shipped = page.figure(page.study.inquiry.today.parts_per_shift.id, "parts", unit=False)
    return ("As today", "-", shipped, page.figure(hours, "count", unit=False), "-", "-")


def with_ends(page: Page, price: str | None) -> str:
    """A price with its range below it."""
    ends = page.ends(price, "money_2") if price else ""
    return page.figure(price, "money_2", unit=False) + (f"\n({ends})" if ends else "")


def assumption(page: Page, row: Row) -> str:
    """What a change assumes, and the question that would replace it."""
    result = result_of(page.study, row.concept)
    concept = result.concept if result else None
    assumes = f"assumes that {concept.assumes}." if concept and concept.assumes else ""
    return f"{opening(short(row))}: {assumes} {concept.question if concept else ''}".rstrip()


def worth(page: Page, row: Row) -> str:
    """A change that is not among the best, in a few words."""
    return f"{short(row)} ({page.figure(row.npv, 'money_2')})"
