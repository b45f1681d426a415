"""Several jobs side by side on the terminal."""

from collections.abc import Iterator
from decimal import Decimal

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from millhand.model.portfolio import Portfolio
from millhand.report.terminal import heading
from millhand.report.view import grouped, half_up


def portfolio_parts(found: Portfolio) -> Iterator[RenderableType]:
    """What to do, in which order, what is left out, what more would bring."""
    yield heading("What to do first")
    if not found.placed:
        yield Text("Nothing: no job within these limits is worth more than going on as today.")
    else:
        yield placed_table(found)
        yield Text(f"In all: {money(found.outlay)} {found.currency} paid, worth {money(found.worth)} against today.")
    if found.left_out:
        yield Text(f"Left out: {', '.join(found.left_out)}.")
    for more, words in ((found.more_money, "A tenth more money"), (found.more_time, "A tenth more time")):
        if more is not None:
            brings = f"would bring {money(more)} more" if more >= 0.5 else "would bring nothing more"
            yield Text(f"{words} {brings}.")
    yield Text(
        "Chosen among all sets, one way at most for each job, for the greatest present worth; the order is that of the "
        "greatest worth when one job follows the other. Worths are the likely ones; their ranges stand in each study.",
        style="italic",
    )


def placed_table(found: Portfolio) -> Table:
    """One row a job, in the order of work."""
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    table.add_column("job", overflow="fold")
    table.add_column("way", overflow="fold")
    for head in (
        f"outlay\n{found.currency}",
        f"worth\n{found.currency}",
        "payback\nmonths",
        "work from\nmonth",
        "to\nmonth",
    ):
        table.add_column(head, justify="right", no_wrap=True)
    for each in found.placed:
        back = each.option.payback_months
        table.add_row(
            each.job, each.option.title, money(each.option.outlay), money(each.worth),
            "never" if back is None else f"{back:.0f}", f"{each.begins_months:.1f}", f"{each.ends_months:.1f}",
        )  # fmt: skip
    return table


def money(value: float) -> str:
    """An amount to two figures, as the other screens show it."""
    return grouped(half_up(Decimal(repr(value)), step=Decimal(1), digits=2))
