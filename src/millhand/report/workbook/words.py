"""The sheets of words: what the book is and how it is used, and what must be known about its figures."""

from collections.abc import Iterator

from millhand.report.comparison import ANSWERS, label, opening
from millhand.report.view import sentence
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.maps import SHEET as MAPS
from millhand.report.workbook.pen import Desk, Page
from millhand.report.workbook.tax import SHEET as TAX
from millhand.report.workbook.tax import taxed

CAUTION = (
    "An aid for concept work: no tax, legal or investment advice. Whether people can be hurt, a risk assessment, "
    "local codes and "
    "competent persons decide."
)
USE = (
    "Change a yellow or blue cell on the sheet Inputs: all sheets follow at once. Changed cells turn orange; the "
    "column 'In the "
    "study' keeps what the cell held, so that any change can be taken back by typing that number.",
    "All other cells are locked, without a password: take the protection off where you want to go further.",
    "Shares are typed as per cent (8%), times in the unit beside the cell.",
    "Where a figure never comes, words stand in its place.",
)
FOLLOWS = (
    "Labour, output, running cost, price, cash flow, every measure, sensitivities and scenarios follow the inputs.",
    "Hours and parts that the tool found by simulation (blue) do not follow other inputs: they are numbers of the "
    "cell and the "
    "shop as studied. Where orders, lots, times, shifts or machines change, study again; here such a change moves "
    "only the money.",
    "Grey figures in italics ('In the study', low and high ends of results, chances) stay as the study found them.",
    "The choice of the concept does not follow: another one may be better with other inputs.",
)
COLOURS = (
    ("input", "Yellow: what the shop said, or what was assumed for it. To be changed."),
    ("found", "Blue: what the tool found by simulation or layout. May be changed to ask 'what if'."),
    ("fixed", "Grey: follows from what the concept is. Locked."),
    ("number", "No colour: worked out by a formula. Locked."),
    ("key", "Green: the main results, and in Scenarios the figure that is moved. Locked."),
    ("stale", "Grey italics: a value of the study for comparison; does not follow the inputs."),
    ("internal", "Red: internal figures (cost and margin); leave them out of a customer's copy."),
)
SHEETS = (
    ("Inputs", "every fact that the case rests on, with range, origin, source and question"),
    ("Estimate", "what is paid: price lines, sums, how sure they are"),
    ("Workings", "hours, wage, parts and the lines of a steady year, one formula each"),
    ("Cash flow", "every line by months for two years, then by years; net and balance"),
    ("Years", "whole years with their present worth"),
    ("Months", "the balance by months, from which the paybacks are read"),
    (TAX, "ways of writing off year by year, tax, and what is left after it; way and shares of a first year to change"),
    ("Measures", "paybacks, present worth, rates, cost of a part; the payback rebuilt by hand; checks"),
    ("Sensitivities", "one figure at a time at its low and high end"),
    ("Scenarios", "how each of those is worked out, a column each"),
    (MAPS, "two things moved at once, as values, where the study looked at it"),
    ("Concepts", "all concepts that were priced, side by side"),
    ("Notes", "conventions, what is not counted, what the words mean"),
)
CONVENTIONS = (
    "Everything is counted against going on as today: a line is what changes.",
    "Labour: hours bound today less hours still needed, at what a worked hour costs, times the share that becomes "
    "real value. It is "
    "cash only as far as somebody is paid less, an open post stays open, or the hours make what is sold.",
    "Output: parts on top of today's, only as far as they are ordered, times what a part leaves after material "
    "and direct cost.",
    "Paid, present and worked hours are three numbers: paid breaks and absence are paid and not worked.",
    "Gains are cut by the ramp-up of the first months, costs come in full from the first day.",
    "Labour and programming grow with the wages, what is bought grows with the prices, what a part leaves does "
    "not grow. The "
    "rate is a nominal one.",
    "The price is paid at order, delivery and hand-over; in payback and rates all of it counts at hand-over, and "
    "what paying ahead "
    "costs is an amount of its own in the present worth.",
    "Years count at their ends; months only in the discounted payback. At the end of the years counted the "
    "equipment still brings "
    "a share of its price. It is in present worth and rates, not in the paybacks, which count no sale.",
    "Before tax, without loan or lease; where the inquiry has them, they stand beside the case on Measures.",
)
NOT_COUNTED = (
    "overtime premiums while the machines stand for the installation",
    "gains in quality, and hurts that do not happen",
    "machine hours beyond what is ordered: told in hours, not in money",
    "hours that come free in pieces too small to use, beyond the stated share",
    "stock and work in process, space that becomes free, taxes on property",
)


def read_me_page(desk: Desk, graph: Graph) -> None:
    """What the book is, what it answers, how it is used, its colours and sheets."""
    page, study = desk.page("Read me", (24, 100)), graph.study
    inquiry = study.inquiry
    page.wide(0, f"Business case: {inquiry.name}", "title", height=24)
    row = 2
    for what, words in (
        (
            "What this is",
            f"The business case of one concept against going on as today, in full, with formulas: "
            f"{graph.result.concept.title}.",
        ),
        ("Answer of the study", f"{ANSWERS[study.decision.answer]}."),
        *(("", sentence(each, study.facts, currency=graph.currency)) for each in study.decision.sentences),
        ("Shop", inquiry.shop.name or "not named"),
        ("Money", f"{graph.currency}; thousands are grouped, shares are per cent"),
        (
            "Made by",
            f"millhand {study.version}, seed {study.seed}; the facts and formulas are those of report.html and "
            f"study.json",
        ),
        ("Caution", CAUTION),
    ):
        row = _line(page, row, what, words)
    for heading, lines in (("How to use it", USE), ("What follows an input, and what does not", FOLLOWS)):
        row = _chapter(page, row + 1, heading, tuple(("", words) for words in lines))
    page.group(row + 1, "Colours")
    row += 2
    for style, words in COLOURS[: -1 if study.copy == "customer" else None]:
        page.text(row, 0, "example", f"{style}_sample" if style in ("input", "found") else style)
        row = _line(page, row, None, words)
    absent = {name for name, there in ((MAPS, study.maps), (TAX, taxed(graph))) if not there}
    sheets = tuple(each for each in SHEETS if each[0] not in absent)
    row = _chapter(page, row + 1, "Sheets", sheets)
    page.printed(row)


def notes_page(desk: Desk, graph: Graph) -> None:
    """Conventions, what is not counted, what is not in the price, what would change the answer, open questions."""
    page, study = desk.page("Notes", (24, 100)), graph.study
    page.wide(0, "Notes", "title", height=24)
    row = 2
    told = tuple(sentence(each, study.facts, currency=graph.currency) for each in study.decision.would_change)
    orders = graph.study.decision.orders
    ordered = tuple(sentence(each, study.facts, currency=graph.currency) for each in (orders.words if orders else ()))
    asks = tuple(
        tuple(sentence(each, study.facts, currency=graph.currency) for each in (opening(ask.words), opening(ask.why)))
        for ask in study.decision.asks
    )
    missing = tuple(
        (opening(name.replace("_", " ")), sentence(words, study.facts, currency=graph.currency))
        for name, words in graph.case.reasons.items()
    )
    told_of_it = f"{graph.estimate.estimate_class} {graph.estimate.past}".strip()
    sure = sentence(told_of_it, study.facts, currency=graph.currency)
    for heading, lines in (
        ("How it is counted", tuple(("", words) for words in CONVENTIONS)),
        ("Not counted", tuple(("", opening(words)) for words in NOT_COUNTED)),
        ("Not in the price", tuple(("", opening(words)) for words in graph.estimate.excluded)),
        ("How sure the price is", (("", sure),) if sure else ()),
        ("Figures that the study has none of", missing),
        ("Words of the inquiry that the case rests on", tuple(_choices(graph))),
        ("What would change the answer", tuple(("", words) for words in told)),
        ("When fewer or more are ordered", tuple(("", words) for words in ordered)),
        ("What to ask next", tuple(("", f"{words} {why}") for words, why in asks)),
    ):
        if lines:
            row = _chapter(page, row, heading, lines) + 1
    page.printed(row)


CHOICES = ("people.on_cost_per", "people.freed_use", "wishes.integrator", ".control", ".door", ".clamping", ".premium",
           ".paid")  # fmt: skip


def _choices(graph: Graph) -> Iterator[tuple[str, str]]:
    """Words that decide which lines there are and how they count."""
    for key, choice in graph.study.choices.items():
        if key.endswith(CHOICES):
            words = choice.title or label(key)
            yield choice.value.replace("_", " "), f"{opening(words)} ({choice.basis}: {choice.source})"


def _chapter(page: Page, row: int, heading: str, lines: tuple[tuple[str, str], ...]) -> int:
    """A heading and its lines; the next free row."""
    page.group(row, heading)
    row += 1
    for what, words in lines:
        row = _line(page, row, what, words)
    return row


def _line(page: Page, row: int, what: str | None, words: str) -> int:
    """A word and what there is to say about it; the next free row."""
    if what is not None:
        page.text(row, 0, what)
    page.text(row, 1, words, "prose")
    return row + 1
