"""A part list in the terminal: how its columns were understood, what it comes to, and what is left to people."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from millhand.model.part_list import ListedPart, PartList
from millhand.model.part_mix import LeftPart, MixStep, PartFamily, PartMix
from millhand.report.part_mix import PART_HEADS, held, means_named, part_cells, reason, said
from millhand.report.terminal import Page, heading

FIRST, FEW, MANY = 5, 5, 12  # rows of the file, and of each table beside a study and alone
TOLD = 40  # bad cells


def preview_parts(listed: PartList) -> Iterator[RenderableType]:
    """What was read: columns, first rows, what stands in, what was left out."""
    sheet = f", sheet {listed.sheet}" if listed.sheet else ""
    yield Text(f"{listed.file}{sheet}: {len(listed.parts)} parts")
    yield heading("Columns")
    columns = plain_table("taken as", "head of the column", "unit", "place")
    for each in listed.columns:
        by_hand = " (by hand)" if each.by_hand else ""
        add(columns, each.field.replace("_", " ") + by_hand, each.head, each.unit or "-", each.where)
    yield columns
    if listed.unread:
        yield Text(f"Not taken: {', '.join(listed.unread)}.")
    for words in listed.gaps:
        yield Text(f"No column says the {words}.")
    yield heading("First rows")
    yield first_rows(listed.parts[:FIRST])
    yield from left_out_parts(listed)


def left_out_parts(listed: PartList) -> Iterator[RenderableType]:
    """Bad rows, cell by cell."""
    if not listed.left_out:
        return
    yield heading(f"Rows left out: {len(listed.rows_left_out)}")
    for each in listed.left_out[:TOLD]:
        yield Text(f"- {each.where}: read {each.read!r}; write {each.write}.")
    if len(listed.left_out) > TOLD:
        yield Text(f"- and {len(listed.left_out) - TOLD} more cells.")


def first_rows(parts: tuple[ListedPart, ...]) -> Table:
    """The first parts as they were understood."""
    shown = plain_table(*PART_HEADS)
    for each in parts:
        add(shown, *part_cells(each))
    return shown


def plain_table(*heads: str) -> Table:
    """A table without lines."""
    made = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    for head in heads:
        made.add_column(head, overflow="fold")
    return made


def mix_parts(page: Page, *, most: int = FEW) -> Iterator[RenderableType]:
    """What the list comes to beside the cell."""
    mix = page.study.part_mix
    if mix is None:
        return
    yield heading("The part list")
    for words in mix.words:
        yield Text(page.say(words))
    if most > FEW:
        yield from family_parts(page, mix.families[:most])
    if mix.steps:
        yield Padding(step_table(page, mix, mix.steps[:most]), (1, 0, 0, 0))
    if mix.left:
        yield Padding(left_table(page, mix.left[:most]), (1, 0, 0, 0))
        if len(mix.left) > most:
            yield Text("Those of most machine hours; part_mix.csv has all of them.")


def family_parts(page: Page, families: tuple[PartFamily, ...]) -> Iterator[RenderableType]:
    """One row a family."""
    figures = ("parts", "heavi-\nest", "lots a\nweek", "hours\na year", "share")
    shown = figures_table(("family", "held", "needs"), figures)
    for each in families:
        add(
            shown,
            each.name, held(each), ", ".join(map(said, each.means)), page.figure(each.count, "count"),
            page.figure(each.heaviest, "mass"), page.figure(each.lots, "ratio"),
            page.figure(each.hours, "hours", unit=False), page.figure(each.share, "percent"),
        )  # fmt: skip
    yield Padding(shown, (1, 0, 0, 0))


def step_table(page: Page, mix: PartMix, steps: tuple[MixStep, ...]) -> Table:
    """What each further set adds."""
    shown = figures_table(("what each set adds", "for"), ("adds", "covered"))
    for step in steps:
        spans = "; ".join(span_words(page, mix, name) for name in step.added)
        add(
            shown,
            " and ".join(map(said, step.added)), spans, page.figure(step.gain, "share"),
            page.figure(step.share, "percent"),
        )  # fmt: skip
    return shown


def span_words(page: Page, mix: PartMix, name: str) -> str:
    """What one set takes."""
    own = means_named(mix, name)
    words = span_of(page, own.least, own.greatest)
    return f"gripped at {words}" if own.across is None else f"parts of {words} by {span_of(page, *own.across)}"


def span_of(page: Page, low: str, high: str) -> str:
    """From the least to the greatest; one measure where they are the same."""
    least, greatest = page.figure(low, "mm"), page.figure(high, "mm")
    return greatest if least == greatest else f"{page.figure(low, 'mm', unit=False)} to {greatest}"


def left_table(page: Page, left: tuple[LeftPart, ...]) -> Table:
    """Parts left to people, with the limit that each misses."""
    shown = figures_table(("left to people", "limit"), ("asks for", "there is", "hours\na year"))
    for each in left:
        asks, there = (page.own(each.figures[place]) for place in (1, 2)) if len(each.figures) > 3 else ("-", "-")
        words = f"{reason(each)}: {each.words}" if each.words else reason(each)
        add(shown, each.name, words, asks, there, page.figure(each.figures[0], "hours", unit=False))
    return shown


def figures_table(texts: tuple[str, ...], figures: tuple[str, ...]) -> Table:
    """A table of words to the left and figures to the right."""
    made = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    for head in texts:
        made.add_column(head, overflow="fold", vertical="top")
    for head in figures:
        made.add_column(head, justify="right", no_wrap=True)
    return made


def add(table: Table, *cells: str) -> None:
    """A row of plain texts: brackets of the user's own mean nothing here."""
    table.add_row(*map(Text, cells))
