"""The sheet of what is worked out between inputs and cash flow: hours, wage, parts, the lines of a steady year."""

from millhand.formulas import REGISTER
from millhand.model.fact import Fact
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.pen import Desk
from millhand.report.workbook.prices import named

SHEET = "Workings"
HEADS = ("What", "Value", "Unit", "In the study", "How", "Source of the formula", "Name in formulas")
WIDTHS = (40, 15, 17, 15, 62, 34, 32)


def workings_page(desk: Desk, graph: Graph) -> None:
    """Write the sheet, and give each figure its name."""
    page = desk.page(SHEET, WIDTHS)
    page.wide(0, "Workings", "title", height=24)
    page.wide(
        1, "Each figure by one formula from inputs and from figures above it. Nothing here is to be changed.", "note"
    )
    page.head(3, HEADS, right=(1, 3))
    for row, fact in enumerate(worked_out(graph), start=4):
        shown = graph.shown(fact.id)
        page.text(row, 0, graph.called(fact.id))
        page.formula(row, 1, graph.formula(fact.id), shown.of(fact.value), form=shown.form)
        page.text(row, 2, shown.words, "unit")
        page.number(row, 3, shown.of(fact.value), form=shown.form, style="stale")
        page.text(row, 4, how(fact), "small")
        page.text(row, 5, fact.source, "small")
        page.text(row, 6, graph.names[fact.id], "small")
        page.call(graph.names[fact.id], row, 1)
    page.sheet.freeze_panes(4, 1)
    page.printed(3 + len(worked_out(graph)), repeat=(3, 3))


def worked_out(graph: Graph) -> tuple[Fact, ...]:
    """Computed facts that the sheet of the price does not hold."""
    elsewhere = named(graph)
    return tuple(fact for fact in graph.facts.values() if fact.formula and fact.id not in elsewhere)


def how(fact: Fact) -> str:
    """What the formula says, in the words that it is documented with."""
    first = (REGISTER[fact.formula or ""].function.__doc__ or "").partition("\n\n")[0]
    return " ".join(first.split()).rpartition(" [")[0] or first
