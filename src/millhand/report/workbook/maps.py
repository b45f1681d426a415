"""The sheet of two things moved at once: payback and present worth at every pair, as values."""

from collections.abc import Callable

from millhand.model.maps import MapCell, TwoWay
from millhand.report.comparison import opening, result_of
from millhand.report.two_ways import BACK, HEADS, NO_SUCH
from millhand.report.view import sentence
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.pen import Desk, Page
from millhand.report.workbook.units import shown_as

SHEET = "Two-way maps"
WIDTHS = (26, 16, 16, 16, 16, 16)
MARKS = {"by_hurdle": "●", "later": "◐", "never": "○"}  # beside the number, so that it reads in grey
FORMS = {back: f'"{mark} "0.0' for back, mark in MARKS.items()}
WORTH = '#,##0;-#,##0;"-"'


def maps_page(desk: Desk, graph: Graph) -> None:
    """Write two tables for each map: months until the money is back, and worth. Nothing where there are none."""
    maps = graph.study.maps
    result = result_of(graph.study, maps.concept) if maps is not None else None
    if maps is None or result is None:
        return
    page = desk.page(SHEET, WIDTHS)
    page.wide(0, "Two things moved at once", "title", height=24)
    signs = ", ".join(f"{MARKS[back]} {words}" for back, words in BACK.items())
    page.wide(
        1,
        f"Values as the study found them, of {opening(result.concept.title)}; they do not follow the inputs. Green: as "
        f"in the study. {signs}.",
        "note",
        height=42,
    )
    row = 3
    for each in maps.maps:
        page.group(row, HEADS[each.moved][0])
        words = sentence(each.words, graph.study.facts, currency=graph.currency)
        page.wide(row + 1, words, "note", height=42)
        row = _table(page, graph, each, row + 2, "Months until the money is back", _months) + 1
        row = _table(page, graph, each, row, f"Net present worth, {graph.currency}", _worth) + 2
    page.printed(row - 2)


def _table(
    page: Page, graph: Graph, each: TwoWay, row: int, title: str, write: Callable[..., None]
) -> int:  # fmt: skip
    """One figure at every pair; back comes the row behind it."""
    facts = graph.study.facts
    page.head(row, (f"{title}: {HEADS[each.moved][1]}", *[""] * len(each.columns)), height=30)
    for column, name in enumerate(each.columns, start=1):
        shown = shown_as(facts[name], graph.currency)
        page.number(row, column, shown.of(facts[name].value), form=shown.with_unit, style="head_right")
    for down, (name, cells) in enumerate(zip(each.rows, each.cells, strict=True)):
        shown = shown_as(facts[name], graph.currency)
        page.number(row + 1 + down, 0, shown.of(facts[name].value), form=shown.with_unit, style="text")
        for across, cell in enumerate(cells):
            style = "key" if (down, across) == each.here else "number"
            write(page, graph, (row + 1 + down, across + 1), cell, style)
    return row + 1 + len(each.rows)


def _months(page: Page, graph: Graph, at: tuple[int, int], cell: MapCell, style: str) -> None:
    """One payback with its sign, or words."""
    if cell.payback_months is None:
        page.text(*at, f"{MARKS[cell.back]} never" if cell.npv else NO_SUCH, style if cell.npv else "unit")
    else:
        page.number(*at, graph.study.facts[cell.payback_months].value, form=FORMS[cell.back], style=style)


def _worth(page: Page, graph: Graph, at: tuple[int, int], cell: MapCell, style: str) -> None:
    """One present worth, or words."""
    if cell.npv is None:
        page.text(*at, NO_SUCH, "unit")
    else:
        page.number(*at, graph.study.facts[cell.npv].value, form=WORTH, style=style)
