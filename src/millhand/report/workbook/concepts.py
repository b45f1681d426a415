"""The sheet of all concepts that were priced, side by side, as values."""

from collections.abc import Sequence

from millhand.model.study import Result
from millhand.report.comparison import KINDS, at_bound, living, opening, result_of
from millhand.report.view import sentence
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.pen import Desk

HEADS = (
    "Place",
    "Concept",
    "Kind",
    "Installed price",
    "Own work",
    "Saving a year",
    "Freed hours a year",
    "Parts a year",
    "Payback, months",
    "From the order, months",
    "Discounted, months",
    "Net present worth",
    "Internal rate",
    "Chance of the hurdle",
    "Words",
)
WIDTHS = (7, 52, 10, 12, 11, 11, 11, 11, 11, 11, 11, 13, 10, 11, 46)
NOT_SIMULATED = "Not simulated: figures at the load bound, at most. "
FORMS = ("#,##0", "#,##0", "#,##0", "#,##0", "#,##0", "0.0", "0.0", "0.0", "#,##0", "0.0%", "0%")


def concepts_page(desk: Desk, graph: Graph) -> None:
    """Write one row a concept, in the order of the ranking; the one of this book is green."""
    page, study = desk.page("Concepts", WIDTHS), graph.study
    page.wide(0, f"Concepts in {graph.currency}", "title", height=24)
    page.wide(
        1,
        "Values as the study found them; they do not follow the inputs. All are against going on as today. The green "
        "one is worked out in this book.",
        "note",
    )
    page.head(3, HEADS, right=(0, *range(3, 14)), height=42)
    row = 4
    for each in living(study):
        result = result_of(study, each.concept)
        if result is None:
            continue
        chosen = result.concept.id == graph.result.concept.id
        style = "chosen" if chosen else "text"
        if each.place is not None:
            page.number(row, 0, each.place, form="0", style="key" if chosen else "number")
        page.text(row, 1, opening(each.title), style)
        page.text(row, 2, KINDS[result.concept.kind], "text")
        for column, (fact_id, form) in enumerate(zip(figures(result), FORMS, strict=True), start=3):
            if fact_id and fact_id in study.facts:
                fact = study.facts[fact_id]
                page.number(row, column, fact.value * (12.0 if fact.unit == "y" and form == "0.0" else 1.0), form=form)
            elif column in (8, 9, 10) and result.case and result.concept.kind != "today":
                page.text(row, column, "none", "number")
        page.text(row, 14, (NOT_SIMULATED if at_bound(result) else "") + _words(graph, each.words), "small")
        row += 1
    page.sheet.freeze_panes(4, 2)
    page.printed(row - 1, repeat=(3, 3))


def _words(graph: Graph, words: str) -> str:
    """The words of a place, figures filled in."""
    return sentence(words, graph.study.facts, currency=graph.currency)


def figures(result: Result) -> Sequence[str | None]:
    """The facts of one row; None where there is none."""
    estimate, case, seen = result.estimate, result.case, result.performance
    return (
        estimate.installed if estimate else None,
        estimate.own if estimate else None,
        case.saving_per_y if case else None,
        case.year.freed_h_per_y if case else None,
        seen.parts_per_y if seen else None,
        case.payback_months if case else None,
        case.payback_from_order_months if case else None,
        case.discounted_payback_months if case else None,
        case.npv if case else None,
        case.irr if case else None,
        case.hurdle_chance if case else None,
    )
