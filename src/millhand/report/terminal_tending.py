"""Where parts are lost today, and other ways to tend the same machines, in the terminal."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from millhand.model.tending import Lost, Tending
from millhand.report.tending_words import CAUSES, LOSS_RULE, WAYS_RULE, way
from millhand.report.terminal import Page, heading


def loss_parts(page: Page) -> Iterator[RenderableType]:
    """The parts of a mean shift from the machines to the door, with the hours that each loss takes."""
    tending = page.study.tending
    if tending is None:
        return
    yield heading("Where parts are lost")
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("")
    for head in ("time a shift", "parts a shift"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_row("taken out one at a time, simulated:", "", "")
    for row in tending.losses:
        if row.simulated:
            table.add_row(*loss_cells(page, row))
    table.add_row("off the machines, with all of these", "", page.figure(tending.made, "few_parts"))
    for row in tending.losses:
        if not row.simulated:
            table.add_row(*loss_cells(page, row))
    table.add_row("shipped", "", page.figure(page.study.inquiry.today.parts_per_shift.id, "parts"))
    yield table
    yield Text(LOSS_RULE, style="italic")


def loss_cells(page: Page, row: Lost) -> tuple[str, str, str]:
    """One loss: its name, whose hours, its parts."""
    hours = f"{row.whose} {page.figure(row.hours, 'minutes')}" if row.hours else ""
    return f"  {CAUSES[row.cause]}", hours, page.figure(row.parts, "few_parts")


def way_parts(page: Page) -> Iterator[RenderableType]:
    """The ways to share the machines out and to cover the breaks, side by side."""
    tending = page.study.tending
    if tending is None or len(tending.ways) < 2:
        return
    yield heading("Who tends which machine, and who covers breaks")
    yield way_table(page, tending)
    yield Text(WAYS_RULE, style="italic")


def way_table(page: Page, tending: Tending) -> RenderableType:
    """One row a way; today's first."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column("", overflow="fold")
    for head in ("parts\na shift", "machines\nwait", "operators\nbusy"):
        table.add_column(head, justify="right", no_wrap=True)
    for row in tending.ways:
        table.add_row(
            way(row, tending),
            page.figure(row.parts, "few_parts"),
            page.figure(row.waiting_share, "percent"),
            page.figure(row.busy_share, "percent"),
        )
    return table
