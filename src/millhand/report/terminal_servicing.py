"""Fewer or more machines for one operator in the terminal: in step and by chance, side by side."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from millhand.model.servicing import Serviced, Servicing, Side
from millhand.report.servicing import rule, sentences
from millhand.report.terminal import Page, heading

BAR = "|"
RULED = "\n".join(BAR * 3)  # between what belongs together


def servicing_parts(page: Page) -> Iterator[RenderableType]:
    """The table, what it says of the best number, and the shortcuts of handbooks beside it."""
    servicing = page.study.servicing
    if servicing is None or not servicing.rows:
        return
    yield heading("One operator with fewer or more machines")
    yield servicing_table(page, servicing)
    yield Text(" ".join("".join(each.text for each in said) for said in sentences(page.study, servicing)))
    yield Text(rule(page.study, servicing), style="italic")


def servicing_table(page: Page, servicing: Servicing) -> RenderableType:
    """One row a number of machines: output, how busy the operator is, how long machines wait, cost of a part."""
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    differ = len(page.study.inquiry.machines) > 1
    add_column(table, "of each\nkind" if differ else "machines")
    for way in ("in step", "by chance"):
        add_column(table, RULED)
        for head in (f"{way}\n\nparts/h", "oper-\nator\nbusy", "ma-\nchines\nwait", f"{page.currency}\na part"):
            add_column(table, head)
    add_column(table, RULED)
    add_column(table, "con-\nstant\nparts/h")
    for row in servicing.rows:
        table.add_row(*cells(page, row))
    return table


def add_column(table: Table, head: str) -> None:
    """A column of figures under a head that ends where the others do."""
    table.add_column(head, justify="right", no_wrap=True, vertical="bottom")


def cells(page: Page, row: Serviced) -> tuple[str, ...]:
    """One row of the table."""
    return (
        page.figure(row.machines, "count"),
        BAR,
        *side_cells(page, row.chart),
        BAR,
        *side_cells(page, row.chance),
        BAR,
        page.figure(row.constant_parts_per_h, "per_hour", unit=False),
    )


def side_cells(page: Page, side: Side | None) -> tuple[str, ...]:
    """The figures of one way; dashes where it gives none."""
    if side is None:
        return ("-",) * 4
    return (
        page.figure(side.parts_per_h, "per_hour", unit=False),
        page.figure(side.operator_share, "percent"),
        page.figure(side.waiting_share, "percent"),
        page.figure(side.money_per_part, "money", unit=False),
    )
