"""The fixture study with a second cell that can work and was simulated: enough for a chart of what is weighed."""

from dataclasses import replace
from functools import cache

from millhand.model.decision import Ranked
from millhand.model.study import Study
from tests.report.fixture_study import ARM, LIGHT, study


@cache
def two_cells() -> Study:
    """The light arm takes the figures of a dearer way, so that the other cell beats it."""
    one = study()
    weighed = one.decision.tradeoff
    assert weighed is not None
    aims = next(each for each in weighed.traded if each.concept == ARM).aims
    price, months = one.facts[f"concepts.{ARM}.estimate.installed"], one.facts["parts.bracket.contribution"]
    dear = replace(price, id=f"concepts.{LIGHT}.estimate.installed", value=1.2 * price.value)
    late = replace(months, id=f"concepts.{LIGHT}.sure.p1", value=31.0, unit="months", low=None, high=None)
    other = replace(
        weighed.traded[-1], concept=LIGHT, beaten_by=(ARM,),
        aims={**aims, "price": dear.id, "payback_p50": late.id, "payback_p90": None},
    )  # fmt: skip
    ranking = tuple(
        Ranked(concept=LIGHT, place=4, fell=None, words="It costs more and brings less.")
        if each.concept == LIGHT
        else each
        for each in one.decision.ranking
    )
    free = (replace(each, beaten_by=()) if each.concept == ARM else each for each in weighed.traded)
    decided = replace(one.decision, ranking=ranking, tradeoff=replace(weighed, traded=(*free, other)))
    return replace(one, decision=decided, facts={**one.facts, dear.id: dear, late.id: late})
