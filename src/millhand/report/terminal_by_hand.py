"""Better by hand in the terminal: the best changes with price and worth, what each assumes, what is left out, why."""

from collections.abc import Iterator, Sequence

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from millhand.model.study import Study
from millhand.report.comparison import Row, living, opening, result_of
from millhand.report.terminal import Page, heading

MOST = 8  # changes with all their figures
BEGINS = "by_hand-"
SIMULATED = (
    "Each is the cell of today with these changes, simulated under the same chance. What an assumption rests on is not "
    "known yet: the question after it replaces it."
)


def by_hand_parts(page: Page) -> Iterator[RenderableType]:
    """Cheap changes of the manual work: price, what they yield, what they are worth; the others in a line."""
    rows = [row for row in living(page.study) if row.kind == "by hand"]
    why = left_out(page.study)
    if not rows and not why:
        return
    yield heading("Better by hand")
    if rows:
        yield by_hand_table(page, rows[:MOST])
        yield Text(SIMULATED, style="italic")
        yield Padding(Text("\n".join(assumption(page, row) for row in rows[:MOST])), (1, 0, 0, 0))
    if rows[MOST:]:
        yield Padding(Text(f"Worth less: {'; '.join(worth(page, row) for row in rows[MOST:])}."), (1, 0, 0, 0))
    if why:
        yield Padding(Text(f"Not offered here: {'; '.join(why)}."), (1, 0, 0, 0))


def by_hand_table(page: Page, rows: Sequence[Row]) -> RenderableType:
    """A row a change."""
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    for head in (
        f"price\n{page.currency}",
        "parts/\nshift",
        "hours\na year",
        "payback\nmonths",
        f"worth\n{page.currency}",
    ):
        table.add_column(head, justify="right", no_wrap=True)
    for row in rows:
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


def with_ends(page: Page, price: str | None) -> str:
    """A price with its range below it."""
    ends = page.ends(price, "money_2") if price else ""
    return page.figure(price, "money_2", unit=False) + (f"\n({ends})" if ends else "")


def short(row: Row) -> str:
    """What a change is called under a heading that says already that it is by hand."""
    return row.title.removeprefix("by hand: ")


def assumption(page: Page, row: Row) -> str:
    """What a change assumes, and the question that would replace it."""
    result = result_of(page.study, row.concept)
    concept = result.concept if result else None
    assumes = f"assumes that {concept.assumes}." if concept and concept.assumes else ""
    return f"{opening(short(row))}: {assumes} {concept.question if concept else ''}".rstrip()


def worth(page: Page, row: Row) -> str:
    """A change that is not among the best, in a few words."""
    return f"{short(row)} ({page.figure(row.npv, 'money_2')})"


def left_out(study: Study) -> list[str]:
    """The changes that do not apply, those for the same reason together."""
    found: dict[str, list[str]] = {}
    for each in study.dropped:
        if each.choices.startswith(BEGINS):
            found.setdefault(each.words, []).append(each.choices.removeprefix(BEGINS).replace("_", " "))
    return [f"{', '.join(names)} ({words.removeprefix('is ')})" for words, names in found.items()]
