"""Which way leads: at likely values, in half of the cases, and how often of all the cases drawn; how near they are."""

from collections.abc import Iterator

from millhand.model.study import Result
from millhand.report.proposal.ground import Ground, concept_item, figure
from millhand.report.proposal.records import Item, Paragraph, Say
from millhand.report.view import bare

WORTH, BEST = "npv_p50", "best_chance"


def drawn_of(ground: Ground, result: Result, name: str) -> str | None:
    """What half of the draws of a way stay below, or in which share of them it is worth most."""
    return next(ground.known(f"concepts.{result.concept.id}.sure.{name}"), None)


def leads(ground: Ground) -> Iterator[Paragraph]:
    """One plain statement in the long form; nothing where the ways were not drawn, nor where another is worth more at
    likely values: then the proposed one comes first by the rule that the table of the ways tells."""
    own = ground.subject
    if not ground.long or not ground.proposed or own is None or own.case is None or not ground.cell:
        return
    half, best = drawn_of(ground, own, WORTH), drawn_of(ground, own, BEST)
    drawn = [each for each in ground.study.results if each.concept.kind != "today" and drawn_of(ground, each, WORTH)]
    worths = [each.case.npv for each in ground.study.results if each.case is not None]
    if half is None or best is None or not drawn or any(more(ground, each, own.case.npv) for each in worths):
        return
    top = max(drawn, key=lambda each: ground.value(drawn_of(ground, each, WORTH) or half))
    first = drawn_of(ground, top, WORTH) or half
    slots: dict[str, Item] = {
        "own": figure(own.case.npv, "money_2", "value"), "own_half": figure(half, "money_2", "value"),
        "own_best": figure(best, "percent", "value"), "other": concept_item(top.concept),
        "other_half": figure(first, "money_2", "value"),
        "other_best": figure(drawn_of(ground, top, BEST), "percent", "value"),
    }  # fmt: skip
    yield Paragraph(
        item=Say(key="answer.leads_other" if more(ground, first, half) else "answer.leads_both", slots=slots)
    )


def more(ground: Ground, first: str, second: str) -> bool:
    """Whether one worth is more than another, and prints so."""
    one, other = ground.facts[first], ground.facts[second]
    return one.value > other.value and bare(one, "money_2") != bare(other, "money_2")
