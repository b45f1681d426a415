"""A study with what no customer is to see: cost, margin, past jobs, and a note."""

from dataclasses import replace

from millhand.model.study import Study
from millhand.model.walk import with_facts
from millhand.trace import Sheet, apply
from tests.report.fixture_study import ARM, number, study

NOTE = "they would pay more than they say"
WAGE = "people.wage"


def internal_study() -> Study:
    """The small study with a margin, figures of past jobs, and a note beside the wage."""
    base = study()
    sheet = Sheet((*base.facts.values(), *base.choices.values()))
    at = next(place for place, each in enumerate(base.results) if each.concept.id == ARM)
    estimate = base.results[at].estimate
    assert estimate is not None
    price, top = sheet[estimate.installed], f"concepts.{ARM}.estimate"
    share = number(sheet, "catalogue.margin_share", 0.1875)
    margin = apply(sheet, "margin_money", f"{top}.margin", price_money=price, margin_share=share)
    cost = apply(sheet, "cost_money", f"{top}.cost", price_money=price, margin_money=margin)
    jobs = tuple(number(sheet, f"past.another_customer_{each}", 1.0 + 0.1 * each) for each in (1, 2, 3))
    bias = apply(sheet, "past_bias", "money.past.bias", paid_over_quoted=jobs)
    told = replace(estimate, cost=cost.id, margin=margin.id, past=f"In past jobs it was [[{bias.id}|percent]].")
    results = (*base.results[:at], replace(base.results[at], estimate=told), *base.results[at + 1 :])
    noted = replace(sheet[WAGE], note=NOTE)
    return replace(
        base, inquiry=with_facts(base.inquiry, {WAGE: noted}), facts={**sheet.facts, WAGE: noted}, results=results
    )
