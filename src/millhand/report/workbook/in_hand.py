"""Which of the gains are money in hand, and which are hours that are used otherwise."""

import math
from collections.abc import Iterator

from millhand.report.workbook.flows import Flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.measure import MONTH, Measure

PAID_LESS = {
    "vacancy": "an open post stays open",
    "overtime": "less overtime is paid",
    "temporary": "fewer temporary people are paid",
}  # uses of freed hours by which less is paid; all others use the hours for something else
NO_USE = "no use is named: ask before it counts"


def otherwise(graph: Graph) -> tuple[str, float]:
    """What the hours that go to other work are worth, where several fates were told: reference and number."""
    fact_id = f"concepts.{graph.result.concept.id}.case.fates.redeployed"
    return (graph.reference(fact_id), graph.value(fact_id)) if fact_id in graph.facts else ("0", 0.0)


def in_hand(graph: Graph, told: Flows) -> Iterator[Measure]:
    """The gains of a steady year by their kind, and a payback by the money in hand alone."""
    form, use = f'#,##0" {graph.currency}"', graph.study.inquiry.people.freed_use.value
    why = PAID_LESS.get(use, NO_USE if use == "none" else f"the hours go to other work: {use}")
    labour, output = (
        [(graph.reference(each.amount), graph.value(each.amount)) for each in graph.lines(*groups)]
        for groups in (("labour",), ("output", "alone"))
    )
    worth, parts = (math.fsum(value for _, value in each) for each in (labour, output))
    paid = use in PAID_LESS
    all_of_it = "+".join(reference for reference, _ in labour) or "0"
    other, less = otherwise(graph)
    if graph.study.inquiry.people.freed is not None:
        hand, used = (f"{all_of_it}-{other}", worth - less), (other, less)
        ways = ("posts that are not filled, less overtime, fewer temporary people", "other work in the shop")
    else:
        whole, none = (all_of_it, worth), ("0", 0.0)
        hand, used = (whole, none) if paid else (none, whole)
        ways = (why if paid else "none: the hours are used otherwise", "none: less is paid" if paid else why)
    for name, words, (says, value), how in (
        ("labour_in_hand", "Labour for which less is paid", hand, ways[0]),
        ("labour_used", "Labour that is used otherwise", used, ways[1]),
    ):
        yield Measure(words=words, name=name, says=says, value=value, form=form, how=how)
    yield Measure(
        words="Output",
        name="output_in_hand",
        says="+".join(reference for reference, _ in output) or "0",
        value=parts,
        form=form,
        how="in hand when the parts are sold and paid, after their material and direct cost",
    )
    cost = told.side(1, gains=False) - math.fsum(min(0.0, value) for _, value in (*labour, *output))
    negative = "".join(f"-MIN(0,{reference})" for reference, _ in (*labour, *output))
    yield Measure(
        words="Cost to run", name="cost_in_hand", says=f"costs_a_year{negative}", value=cost, form=form, how="paid out"
    )
    kept = hand[1] + parts + cost
    yield Measure(
        words="In hand in a steady year", name="kept_in_hand",
        says="labour_in_hand+output_in_hand+cost_in_hand", value=kept, form=form, how="sum of the three that are money",
    )  # fmt: skip
    yield Measure(
        words="Payback by money in hand alone, without growth",
        says='IF(kept_in_hand>0,12*paid_before/kept_in_hand,"never")',
        value=12.0 * told.outlay / kept if kept > 0.0 else "never",
        form=MONTH,
        how="paid before hand-over over what is in hand in a steady year; no ramp-up, no growth",
    )
