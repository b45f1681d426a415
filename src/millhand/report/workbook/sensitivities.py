"""One figure at a time at its low and its high end: what that does to payback and present worth, worked out live."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.letters import letters
from millhand.report.workbook.flows import flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.inputs import HIGH, LOW, YEARS, places
from millhand.report.workbook.inputs import SHEET as INPUTS
from millhand.report.workbook.pen import Desk, Page
from millhand.report.workbook.scenarios import BASE, Chain, Scenario, chain
from millhand.report.workbook.scenarios import SHEET as SCENARIOS
from millhand.trace import recomputed

SHEET = "Sensitivities"
HEADS = (
    "What moves",
    "Unit",
    "Low",
    "As in the inputs",
    "High",
    "Payback at low, months",
    "Payback now, months",
    "Payback at high, months",
    "Present worth at low",
    "Present worth now",
    "Present worth at high",
    "Moves the present worth by",
    "Ends from",
)
WIDTHS = (44, 16, 12, 12, 12, 13, 13, 13, 14, 14, 14, 14, 24)
FIRST = 4
MOST = 10  # rows
TENTH = 0.1  # by which a figure without a range is moved
FORM = '#,##0;-#,##0;"-"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One fact and the two ends between which it is moved, in its own unit."""

    fact: Fact
    low: float
    high: float
    ranged: bool


def moved(graph: Graph) -> tuple[Moved, ...]:
    """Wage, share, price, orders, output and rate in any case; then what drives the answer."""
    rows, inquiry = chain(graph).rows, graph.study.inquiry
    own = [graph.result.performance] if graph.result.performance else []
    main = [inquiry.people.wage_per_h.id, inquiry.people.share_usable.id, graph.estimate.price_factor]
    main += [part.orders_per_y.id for part in inquiry.parts[:2]]
    main += [part.contribution_per_part.id for part in inquiry.parts[:2]]
    main += [each for one in own for each in (one.parts_per_y, one.operator_h_per_y)]
    main += [inquiry.money.rate.id, inquiry.money.horizon_y.id]
    driven = [driver.fact for driver in graph.study.decision.drivers]
    seen = [each for each in dict.fromkeys([*main, *driven]) if each in rows and graph.value(each) != 0.0]
    horizon = inquiry.money.horizon_y.id
    return tuple(_years(graph.facts[each]) if each == horizon else _moved(graph.facts[each]) for each in seen[:MOST])


def _years(fact: Fact) -> Moved:
    """Two whole years fewer and more, as far as there are rows for them."""
    return Moved(fact=fact, low=max(1.0, fact.value - 2.0), high=min(float(YEARS), fact.value + 2.0), ranged=False)


def _moved(fact: Fact) -> Moved:
    """Its own range; where it has none, a tenth down and up."""
    if fact.low is None or fact.high is None or fact.formula is not None:
        return Moved(fact=fact, low=fact.value * (1.0 - TENTH), high=fact.value * (1.0 + TENTH), ranged=False)
    return Moved(fact=fact, low=fact.low, high=fact.high, ranged=True)


def scenarios(graph: Graph) -> tuple[Scenario, ...]:
    """Two for each row: its low end and its high end."""
    found = []
    for row, each in enumerate(moved(graph), start=FIRST):
        for column, end, value in ((2, "low", each.low), (4, "high", each.high)):
            place = f"{SHEET}!${letters(column)}${row + 1}"
            found.append(
                Scenario(words=f"{graph.called(each.fact.id)}: {end}", fact=each.fact.id, cell=place, value=value)
            )
    return tuple(found)


def sensitivities_page(desk: Desk, graph: Graph) -> None:
    """Write the table and its picture."""
    page, made = desk.page(SHEET, WIDTHS), chain(graph)
    page.wide(0, "Sensitivities", "title", height=24)
    page.wide(
        1,
        "One figure at a time at its low and its high end, all others as in the inputs. Each end is a cell to change; "
        "the sheet Scenarios works every row out.",
        "note",
        height=28,
    )
    page.head(3, HEADS, right=range(2, 12), height=42)
    where = places(graph)
    rows = moved(graph)
    for row, each in enumerate(rows, start=FIRST):
        shown = graph.shown(each.fact.id)
        page.text(row, 0, graph.called(each.fact.id))
        page.text(row, 1, shown.words, "unit")
        for column, says, value in _ends(graph, each, where):
            style = "number" if column == 3 else "input"
            page.formula(row, column, says, shown.of(value), form=shown.form, style=style)
        page.text(row, 12, _said(graph, each), "small")
        _answers(page, graph, made, row, each)
    last = FIRST + len(rows) - 1
    _picture(page, last, graph.currency)
    page.sheet.freeze_panes(FIRST, 1)
    page.printed(last + 24, repeat=(3, 3))


def _ends(graph: Graph, each: Moved, where: Mapping[str, int]) -> Iterator[tuple[int, str, float]]:
    """Low, present and high value: column, formula, number."""
    name = graph.names[each.fact.id]
    if each.ranged and each.fact.id in where:
        at = where[each.fact.id] + 1
        low, high = (f"={INPUTS}!${letters(column)}${at}" for column in (LOW, HIGH))
    elif name == "years_counted":
        low, high = "=MAX(1,years_counted-2)", f"=MIN({YEARS},years_counted+2)"
    else:
        low, high = f"={name}*{1.0 - TENTH:.12g}", f"={name}*{1.0 + TENTH:.12g}"
    yield from ((2, low, each.low), (3, f"={name}", each.fact.value), (4, high, each.high))


def _said(graph: Graph, each: Moved) -> str:
    """Where the two ends come from."""
    if each.ranged:
        return "the range of the study"
    return "two years" if graph.names[each.fact.id] == "years_counted" else "a tenth down and up"


def _answers(page: Page, graph: Graph, made: Chain, row: int, each: Moved) -> None:
    """Payback and present worth of one row, read from its two scenarios."""
    low = BASE + 1 + 2 * (row - FIRST)
    ends = [flows(graph, recomputed(graph.again, {each.fact.id: value}, {})) for value in (each.low, each.high)]
    told = (ends[0], flows(graph), ends[1])
    for column, (of, scenario) in enumerate(zip(told, (low, BASE, low + 1), strict=True), start=5):
        at = f"{SCENARIOS}!{letters(scenario)}"
        page.formula(row, column, f"={at}${made.found(2) + 1}", of.payback(), form="0.0")
        page.formula(row, column + 3, f"={at}${made.found(3) + 1}", of.worth(), form=FORM)
    page.formula(row, 11, f"=K{row + 1}-I{row + 1}", told[2].worth() - told[0].worth(), form=FORM)


def _picture(page: Page, last: int, currency: str) -> None:
    """Bars of the present worth at both ends."""
    chart = page.desk.book.add_chart({"type": "bar"})
    for column, words, colour in ((8, "low end", "#C97B2B"), (10, "high end", "#2B6CB0")):
        chart.add_series(
            {
                "name": f"at its {words}",
                "categories": [SHEET, FIRST, 0, last, 0],
                "values": [SHEET, FIRST, column, last, column],
                "fill": {"color": colour},
                "gap": 60,
            }
        )
    chart.set_title({"name": f"Present worth in {currency}, one figure at a time", "name_font": {"size": 11}})
    chart.set_y_axis({"reverse": True, "label_position": "low"})
    chart.set_x_axis({"num_format": "#,##0", "major_gridlines": {"visible": True, "line": {"color": "#E4E7EB"}}})
    chart.set_legend({"position": "bottom"})
    chart.set_size({"width": 1000, "height": 60 + 30 * (last - FIRST + 1)})
    page.sheet.insert_chart(last + 2, 0, chart)
