"""The sheet of inputs: every fact that the case rests on, in the unit that a reader expects, with a cell to change."""

from collections.abc import Sequence

from millhand.model.fact import Fact
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.pen import CHANGED, Desk, Page

SHEET = "Inputs"
YEARS = 30  # rows of the cash flow
HEADS = (
    "What",
    "Value",
    "Unit",
    "In the study",
    "Low (1 in 10 is lower)",
    "High (1 in 10 is higher)",
    "Origin",
    "Source",
    "Question that would settle it",
    "Name in formulas",
)
WIDTHS = (42, 12, 16, 11, 11, 11, 10, 31, 36, 27)
VALUE, LOW, HIGH = 1, 4, 5
FIRST = 4  # row of the first group
GROUPS = (
    ("People, wages and shifts", ("people.", "wage.", "shifts.")),
    ("Parts and orders", ("parts.",)),
    ("Machines and the work today", ("machines.", "shop.", "today.")),
    ("Money and terms", ("money.", "wishes.")),
    ("Catalogue: prices", ()),
    ("Catalogue: other figures", ("catalogue.",)),
    ("Found by the tool: simulated, laid out or worked out before the money", ()),
    ("Follows from what the concept is: not to be changed", ()),
)
PRICES, FOUND, FIXED = 4, 6, 7
STYLES = {FOUND: "found", FIXED: "fixed"}
ORIGINS = {"given": "given", "measured": "measured", "judged": "judged", "assumed": "assumed", "computed": "worked out"}


def inputs_page(desk: Desk, graph: Graph) -> None:
    """Write the sheet, and give each value its name."""
    page = desk.page(SHEET, WIDTHS)
    page.wide(0, "Inputs", "title", height=24)
    page.wide(
        1,
        "Change yellow cells (what the shop or the catalogue says) and blue cells (what the tool found); every "
        "other sheet follows. A changed cell turns orange.",
        "note",
        height=28,
    )
    page.head(3, HEADS, right=(VALUE, 3, LOW, HIGH), height=42)
    row = FIRST
    for number, (words, facts) in enumerate(grouped(graph)):
        if not facts:
            continue
        page.group(row, words)
        row += 1
        for fact in facts:
            _row(page, graph, fact, row=row, style=STYLES.get(number, "input"))
            page.call(graph.names[fact.id], row, VALUE)
            row += 1
    last = row - 1
    changed = desk.book.add_format(CHANGED)
    page.sheet.conditional_format(
        FIRST,
        VALUE,
        last,
        VALUE,
        {"type": "formula", "criteria": f'=AND($D{FIRST + 1}<>"",$B{FIRST + 1}<>$D{FIRST + 1})', "format": changed},
    )
    page.sheet.freeze_panes(FIRST, 1)
    page.printed(last, repeat=(3, 3))
    _limits(page, graph)


def grouped(graph: Graph) -> tuple[tuple[str, Sequence[Fact]], ...]:
    """All inputs, each in one group."""
    facts = sorted(graph.inputs, key=lambda fact: group_of(fact))
    return tuple(
        (words, [fact for fact in facts if group_of(fact) == number]) for number, (words, _) in enumerate(GROUPS)
    )


def group_of(fact: Fact) -> int:
    """The number of the group that a fact belongs to."""
    if fact.basis == "computed":
        money = ".case." in fact.id or ".estimate." in fact.id or fact.id.startswith("money.")
        return FIXED if money and not fact.inputs else FOUND
    if fact.id.startswith("concepts."):
        return FIXED if ".case." in fact.id else FOUND
    if fact.id.startswith("catalogue.") and ".price" in fact.id:
        return PRICES
    return next((number for number, (_, heads) in enumerate(GROUPS) if fact.id.startswith(heads)), FOUND)


def places(graph: Graph) -> dict[str, int]:
    """The row of each input."""
    found, row = {}, FIRST
    for _, facts in grouped(graph):
        row += 1 if facts else 0
        for fact in facts:
            found[fact.id] = row
            row += 1
    return found


def _row(page: Page, graph: Graph, fact: Fact, *, row: int, style: str) -> None:
    """One input."""
    shown = graph.shown(fact.id)
    page.text(row, 0, graph.called(fact.id))
    page.number(row, VALUE, shown.of(fact.value), form=shown.form, style=style)
    page.text(row, 2, shown.words, "unit")
    page.number(row, 3, shown.of(fact.value), form=shown.form)
    for column, end in ((LOW, fact.low), (HIGH, fact.high)):
        if end is not None:
            page.number(row, column, shown.of(end), form=shown.form)
    for column, words in (
        (6, ORIGINS[fact.basis]),
        (7, fact.source),
        (8, fact.question or ""),
        (9, graph.names[fact.id]),
    ):
        if words:
            page.text(row, column, words, "small" if column > 6 else "unit")


def _limits(page: Page, graph: Graph) -> None:
    """Numbers alone are taken, and of the years that are counted only whole ones that the sheets have rows for."""
    rows = places(graph)
    horizon = graph.study.inquiry.money.horizon_y.id
    for fact_id, row in rows.items():
        if fact_id == horizon:
            rule = {
                "validate": "decimal",
                "criteria": "between",
                "minimum": 1,
                "maximum": YEARS,
                "error_title": "Years",
                "error_message": f"Write a number of years from 1 to {YEARS}.",
            }
        else:
            rule = {
                "validate": "decimal",
                "criteria": "between",
                "minimum": -1e12,
                "maximum": 1e12,
                "error_title": "Number",
                "error_message": "Write a number, in the unit beside the cell.",
            }
        page.sheet.data_validation(row, VALUE, row, VALUE, rule)
