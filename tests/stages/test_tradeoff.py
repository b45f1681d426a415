"""Where every combination was left, and what nothing beats: on a small study made by hand."""

import pytest

from millhand.model.study import Study
from millhand.stages.tradeoff import Space, tradeoff
from millhand.trace import Sheet
from tests.report.fixture_study import ARM, LIGHT, VISE, study


@pytest.fixture(scope="module")
def made() -> Study:
    """Today, a second vise, a cell that works and one that its payload ends."""
    return study()


def value(made: Study, fact_id: str | None) -> float:
    """The number of a fact."""
    assert fact_id is not None
    return made.facts[fact_id].value


def test_every_combination_is_counted_once(made: Study) -> None:
    """By rule, by size, fallen, not simulated, simulated: together all there are."""
    assert made.decision.tradeoff is not None
    funnel = made.decision.tradeoff.funnel
    parts = (funnel.by_rule, funnel.by_size, funnel.by_bound, funnel.simulated, *(each.number for each in funnel.fell))

    assert sum(value(made, each) for each in parts) == value(made, funnel.combinations) == 12.0


def test_the_nearest_miss_of_a_check_stands_with_its_margin(made: Study) -> None:
    """The light arm that carries too little."""
    assert made.decision.tradeoff is not None
    (fell,) = made.decision.tradeoff.funnel.fell

    assert (fell.check, fell.nearest) == ("payload", LIGHT)
    assert value(made, fell.margin) < 0.0


def test_today_and_the_way_by_hand_are_weighed_too(made: Study) -> None:
    """Going on costs nothing, so that nothing beats it in everything; who is beaten says by whom."""
    assert made.decision.tradeoff is not None
    rows = {each.concept: each for each in made.decision.tradeoff.traded}

    assert set(rows) == {"today", VISE, ARM}
    assert rows["today"].beaten_by == rows[VISE].beaten_by == ()
    assert rows[ARM].beaten_by == (VISE,)  # dearer, later, on more floor, and no run alone is known of it
    assert value(made, made.decision.tradeoff.front) == 2.0


def test_what_a_job_ties_is_the_price_without_what_serves_again(made: Study) -> None:
    """Arm, gripper, presenter, outfeed and guards can be used elsewhere."""
    assert made.decision.tradeoff is not None
    aims = next(each.aims for each in made.decision.tradeoff.traded if each.concept == ARM)
    bought = next(each.estimate for each in made.results if each.concept.id == ARM)
    assert bought is not None
    again = sum(
        value(made, each.amount.id)
        for each in bought.lines
        if each.id in {"arm", "gripper", "presenter", "outfeed", "safeguarding"}
    )

    assert value(made, aims["tied"]) == pytest.approx(value(made, aims["price"]) - again)
    assert value(made, aims["missing"]) == pytest.approx(1.0 - 0.62)


def test_without_draws_only_the_funnel_is_there(made: Study) -> None:
    """Nothing to be weighed."""
    names = ("funnel.", "concepts.")
    sheet = Sheet(fact for fact in made.facts.values() if not (fact.id.startswith(names[0]) or ".tradeoff." in fact.id))
    alone = tradeoff(Space(combinations=9, left_out=0, added=0, needless=0), made.results, None, sheet)

    assert alone.traded == ()
    assert sheet.value(alone.front) == 0.0
    assert sheet.value(alone.funnel.combinations) == 9.0
