"""Fewer or more machines for one operator in the terminal: in step and by chance, side by side."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from millhand.model.servicing import Serviced, Servicing, Side
from millhand.report.terminal import Page, heading

RULE = (
    "In step: the best cycle, every time at its mean. By chance: machines that call at random and queue, the exact "
    "finite-source model with exponential times, and with every service as long as the mean (constant). Work that "
    "varies little comes near the first, work that varies much near the second. Stops, tool changes and breaks are in "
    "neither."
)
NO_CHANCE = (
    "In step: the best cycle, every time at its mean. By chance there is no model for machines that differ, or where "
    "the operator has more inside work on a load than the machine cuts. Stops, tool changes and breaks are not in it."
)


def servicing_parts(page: Page) -> Iterator[RenderableType]:
    """The table, what it says of the best number, and the shortcuts of handbooks beside it."""
    servicing = page.study.servicing
    if servicing is None or not servicing.rows:
        return
    yield heading("One operator with fewer or more machines")
    yield servicing_table(page, servicing)
    yield Text(" ".join(words(page, servicing)))
    yield Text(RULE if any(row.chance for row in servicing.rows) else NO_CHANCE, style="italic")


def servicing_table(page: Page, servicing: Servicing) -> RenderableType:
    """One row a number of machines: output, how busy the operator is, how long machines wait, cost of a part."""
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    differ = len(page.study.inquiry.machines) > 1
    table.add_column("of each\nkind" if differ else "\nmachines", justify="right", no_wrap=True, vertical="bottom")
    for way in ("in step", "by chance"):
        for head in (f"{way}\nparts/h", "oper-\nator\nbusy", "ma-\nchines\nwait", f"{page.currency}\na part"):
            table.add_column(head, justify="right", no_wrap=True, vertical="bottom")
    table.add_column("constant\nparts/h", justify="right", no_wrap=True)
    for row in servicing.rows:
        table.add_row(*cells(page, row))
    return table


def cells(page: Page, row: Serviced) -> tuple[str, ...]:
    """One row of the table."""
    return (
        page.figure(row.machines, "count"),
        *side_cells(page, row.chart),
        *side_cells(page, row.chance),
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


def words(page: Page, servicing: Servicing) -> Iterator[str]:
    """What the table comes to, in sentences."""
    numbers = [("today", servicing.today, "ratio")]
    if servicing.ideal is not None:
        numbers.append(("no waits on either side", servicing.ideal, "ratio"))
    if servicing.cheapest is not None:
        numbers.append(("cheapest part, in step", servicing.cheapest, "count"))
    told = "; ".join(f"{what} {page.figure(each, form)}" for what, each, form in numbers)
    yield f"Machines for one operator: {told}."
    if servicing.cheapest is None:
        names = [f"machines.{each.name}.rate" for each in page.study.inquiry.machines if each.rate_per_h is None]
        yield f"Cost: the operator alone. To see the cheapest number give the cost of an hour ({', '.join(names)})."
    if servicing.break_even is not None:
        few, more = [row for row in servicing.rows if row.chart is not None][-2:]
        yield (
            f"{page.figure(more.machines, 'count')} instead of {page.figure(few.machines, 'count')} make parts cheaper "
            f"while a machine hour costs less than {page.figure(servicing.break_even, 'money')}."
        )
    yield from shortcut_words(page, servicing)


def shortcut_words(page: Page, servicing: Servicing) -> Iterator[str]:
    """Binomial and Wright for today's number, with a flag where they are used outside their range."""
    if servicing.binomial is None or servicing.wright is None:
        return
    wright = page.facts[servicing.wright]
    flag = f" (outside its range: {'; '.join(wright.outside)})" if wright.outside else ""
    yield (
        f"Shortcuts for today's number, as printed in handbooks: the binomial loses "
        f"{page.figure(servicing.binomial, 'percent')} of machine time, Wright's formula "
        f"{page.figure(servicing.wright, 'count')} % of each service{flag}."
    )
