"""The sheet of the price: each line a product of three numbers, then the sums; cost, margin and price apart."""

from collections.abc import Callable, Mapping

from millhand.model.estimate import PriceLine
from millhand.model.fact import Fact
from millhand.report.comparison import opening
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.pen import Desk, Page
from millhand.report.workbook.translated import total

SHEET = "Estimate"
HEADS = (
    "Line",
    "Price, base, hours or days",
    "Pieces, share or hours a day",
    "Price factor or rate",
    "Amount",
    "Low in the study",
    "High in the study",
    "Counted as",
)
WIDTHS = (54, 17, 18, 14, 17, 13, 13, 40)
AMOUNT = 4
GROUPS = {
    "equipment": "Equipment",
    "work": "Bought work",
    "contingency": "Contingency",
    "own": "The shop's own work and cost, not in the installed price",
}
# A line as three numbers whose product it is, and what they are in words.
Three = Callable[[Mapping[str, list[str]]], tuple[str, str, str]]
FACTORS: Mapping[str, tuple[Three, str]] = {
    "priced_money": (lambda of: (of["amount_money"][0], "1", of["price_factor"][0]), "price x 1 x price factor"),
    "priced_pieces_money": (
        lambda of: (of["amount_money"][0], total(of["counts"]), of["price_factor"][0]),
        "price x pieces x price factor",
    ),
    "share_of_price_money": (
        lambda of: (of["amount_money"][0], of["share"][0], of["price_factor"][0]),
        "price of several lines x share x price factor",
    ),
    "contingency_money": (
        lambda of: (of["amount_money"][0], of["contingency_share"][0], "1"),
        "all lines above x share",
    ),
    "own_work_money": (lambda of: (of["work_h"][0], "1", of["wage_money_per_h"][0]), "hours x cost of a worked hour"),
    "standstill_money": (
        lambda of: (
            of["stands_d"][0],
            f"{of['head_h_per_week'][0]}/{of['days_per_week'][0]}",
            of["wage_money_per_h"][0],
        ),
        "days x hours of all heads a day x cost of a worked hour",
    ),
    "trial_parts_money": (lambda of: (of["trial_parts"][0], "1", of["material_money_per_part"][0]), "parts x raw cost"),
}


def estimate_page(desk: Desk, graph: Graph) -> None:
    """Write the sheet; every amount has a name."""
    page = desk.page(SHEET, WIDTHS)
    page.wide(0, f"Estimate: {graph.result.concept.title}", "title", height=24)
    page.wide(
        1,
        f"What is paid before the cell or the change runs, in {graph.currency}. Amount = the three numbers before it, "
        "multiplied. Catalogue prices are brought to the order by the price factor.",
        "note",
        height=28,
    )
    page.head(3, HEADS, right=(1, 2, 3, AMOUNT, 5, 6), height=42)
    row = 4
    for group, words in GROUPS.items():
        lines = [line for line in graph.estimate.lines if line.group == group]
        if not lines:
            continue
        if group == "contingency":
            row = _sum(page, graph, row, "before_contingency", "Equipment and bought work")
        page.group(row, words)
        for line in lines:
            row += 1
            _line(page, graph, line, row)
        row += 1
        if group == "equipment":
            row = _sum(page, graph, row, graph.estimate.equipment, "Equipment")
        if group == "own":
            row = _sum(page, graph, row, graph.estimate.own, "The shop's own work and cost")
        if group == "contingency":
            row = _sum(page, graph, row, graph.estimate.installed, "Installed price") + 1
    row = _around(page, graph, row + 1)
    page.sheet.freeze_panes(4, 1)
    page.printed(row, repeat=(3, 3))


def named(graph: Graph) -> set[str]:
    """The facts that this sheet works out."""
    estimate, top = graph.estimate, f"concepts.{graph.result.concept.id}.estimate."
    ids = {line.amount.id for line in estimate.lines}
    ids |= {estimate.equipment, estimate.installed, estimate.own, estimate.cost, estimate.margin}
    ids |= {f"{top}{name}" for name in ("before_contingency", "usual_low", "usual_high")}
    return {each for each in ids if each in graph.facts and graph.facts[each].formula}


def _line(page: Page, graph: Graph, line: PriceLine, row: int) -> None:
    """One price line; without a formula of its own it stands among the inputs and is only shown here."""
    fact = graph.facts[line.amount.id]
    page.text(row, 0, opening(line.words))
    money = f'#,##0.00" {graph.currency}"'
    if fact.formula is not None and fact.formula in FACTORS:
        three, words = FACTORS[fact.formula]
        given: dict[str, list[str]] = {}
        numbers: dict[str, float] = {}
        for parameter, source in fact.inputs:
            given.setdefault(parameter.removesuffix("[]"), []).append(graph.reference(source))
            numbers[graph.reference(source)] = graph.value(source)
        for column, says in enumerate(three(given), start=1):
            page.formula(row, column, f"={says}", _worth(says, numbers), form=_form(graph, fact, says))
        page.formula(row, AMOUNT, f"=B{row + 1}*C{row + 1}*D{row + 1}", fact.value, form=money)
        page.text(row, 7, words, "small")
        page.call(graph.names[fact.id], row, AMOUNT)
    elif fact.formula:
        page.formula(row, AMOUNT, graph.formula(fact.id), fact.value, form=money)
        page.call(graph.names[fact.id], row, AMOUNT)
    else:
        page.formula(row, AMOUNT, f"={graph.reference(fact.id)}", fact.value, form=money)
        page.text(row, 7, "an amount among the inputs", "small")
    _ends(page, fact, row)


def _worth(says: str, numbers: Mapping[str, float]) -> float:
    """What a factor comes to: a number, one name, a sum of names, or one name over another."""
    if says in numbers:
        return numbers[says]
    if says.startswith("SUM("):
        return sum(numbers[each] for each in says[4:-1].split(","))
    if "/" in says:
        above, _, below = says.partition("/")
        return numbers[above] / numbers[below]
    return float(says)


def _form(graph: Graph, fact: Fact, says: str) -> str:
    """The number format of a factor: that of the input it is, else plain."""
    return next((graph.shown(source).form for _, source in fact.inputs if graph.reference(source) == says), "#,##0.###")


def _ends(page: Page, fact: Fact, row: int) -> None:
    """The range of an amount, as the study found it."""
    for column, end in ((5, fact.low), (6, fact.high)):
        if end is not None:
            page.number(row, column, end, form="#,##0", style="stale")


def _sum(page: Page, graph: Graph, row: int, fact_id: str, words: str) -> int:
    """A sum of lines; the next free row."""
    if fact_id not in graph.facts:
        fact_id = f"concepts.{graph.result.concept.id}.estimate.{fact_id}"
    if fact_id not in graph.facts:
        return row
    fact = graph.facts[fact_id]
    for column in range(page.columns):
        page.text(row, column, words if column == 0 else "", "total_text")
    says = graph.formula(fact_id) if fact.formula else f"={graph.reference(fact_id)}"
    page.formula(row, AMOUNT, says, fact.value, form=f'#,##0.00" {graph.currency}"', style="total")
    if fact.formula:
        page.call(graph.names[fact_id], row, AMOUNT)
    _ends(page, fact, row)
    return row + 1


def _around(page: Page, graph: Graph, row: int) -> int:
    """How sure the sum is, what it costs who builds it, what is not in it; the last row."""
    top = f"concepts.{graph.result.concept.id}.estimate."
    if f"{top}usual_low" in graph.facts:
        page.group(row, "How sure this is")
        row = _sum(page, graph, row + 1, f"{top}usual_low", "As a rule not less than")
        row = _sum(page, graph, row, f"{top}usual_high", "As a rule not more than") + 1
    row = _internals(page, graph, row)
    page.group(row + 1, "Not in the price")
    row += 2
    for words in graph.estimate.excluded:
        page.text(row, 0, opening(words))
        row += 1
    return row - 1


def _internals(page: Page, graph: Graph, row: int) -> int:
    """Cost, margin and price; nothing in a customer's copy. The row after them."""
    if not graph.estimate.cost:
        return row
    page.group(row, "Internal: leave out of a customer's copy")
    row += 1
    for fact_id, words in (
        (graph.estimate.cost, "Cost to whoever builds it"),
        (graph.estimate.margin, "Margin in the price"),
        (graph.estimate.installed, "Price"),
    ):
        if fact_id in graph.facts:
            _internal(page, graph, row, fact_id, words)
            row += 1
    return row


def _internal(page: Page, graph: Graph, row: int, fact_id: str, words: str) -> None:
    """One figure that a customer's copy leaves out."""
    fact = graph.facts[fact_id]
    for column in range(page.columns):
        page.text(row, column, words if column == 0 else "", "internal")
    own = fact.formula and fact_id in (graph.estimate.cost, graph.estimate.margin)
    again = fact_id == graph.estimate.installed or graph.estimate.cost == graph.estimate.installed
    says = graph.formula(fact_id) if own and not again else f"={graph.reference(fact_id)}"
    page.formula(row, AMOUNT, says, fact.value, form=f'#,##0.00" {graph.currency}"', style="internal")
    if own and not again:
        page.call(graph.names[fact_id], row, AMOUNT)
