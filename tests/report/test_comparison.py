"""One comparison for all faces: who stands where, what is in sight, what fell and why."""

import dataclasses
from dataclasses import replace

from millhand.report.comparison import (
    fact_by_formula,
    fallen,
    in_sight,
    killers,
    label,
    living,
    looked_at,
    loss_words,
    measure,
    rows,
    subject,
    title,
    today_figures,
    today_of,
)
from millhand.report.origins import answer_ids, assumptions, behind, cautions, cell_origins, formulas_used, groups
from tests.report.fixture_study import ARM, LIGHT, VISE, study


def test_rows_come_by_place_and_then_what_fell() -> None:
    """A figure that does not exist is None; today has no price and no payback."""
    found = {row.concept: row for row in rows(study())}

    assert list(found) == [ARM, VISE, "today", LIGHT]
    assert found["today"].price is None
    assert found[LIGHT].attended is None
    assert found[ARM].payback == f"concepts.{ARM}.case.payback"


def test_what_fell_comes_with_the_verdict_that_ended_it() -> None:
    """The living and the fallen are all there are."""
    ended = fallen(study())

    assert [(row.concept, verdict.check if verdict else None) for row, verdict in ended] == [(LIGHT, "payload")]
    assert len(living(study())) + len(ended) == len(study().results)


def test_the_answer_today_and_one_by_hand_are_always_in_sight() -> None:
    """However few rows are wanted."""
    assert in_sight(study(), 0) == (ARM, VISE, "today")


def test_the_money_is_that_of_the_winner_or_of_the_second() -> None:
    """Today itself has no money to look at."""
    no = dataclasses.replace(study(), decision=dataclasses.replace(study().decision, winner="today", second=ARM))
    best = subject(no)

    assert best is not None
    assert best.concept.id == ARM
    assert looked_at(no)[0].concept.id == "today"
    assert {each.concept.id for each in looked_at(no)} == {"today", ARM, VISE}


def test_at_most_three_questions_could_end_the_job() -> None:
    """Only those that say so."""
    assert [ask.fact for ask in killers(study())] == [
        "people.share_usable",
        "parts.bracket.contribution",
        "machines.mill_3.chip_limit",
    ]


def test_words_for_records() -> None:
    """Measures and facts read as a person says them; the unit of a swing says what it moves."""
    assert measure("irr") == "Internal rate"
    assert measure("floor_cost") == "Floor cost"
    assert label(f"concepts.{ARM}.case.npv") == "Case: npv"
    assert title(replace(study().facts["people.wage"], title="pay of an hour")) == "Pay of an hour"


def test_what_today_has_beside_its_record() -> None:
    """Found by the formula that gave it; the rest is None."""
    figures = today_figures(study(), today_of(study()))

    assert figures["cost"] == "concepts.today.case.labour_a_part"
    assert figures["loss"] is None
    assert today_figures(study(), None) == {}
    assert fact_by_formula(study(), "today", "move_time_s") is None


def test_an_answer_is_followed_down_to_its_roots() -> None:
    """Through formulas to the inputs, and through a solver's cell to the facts its numbers came from."""
    facts = study().facts
    reached = behind(facts, [f"concepts.{ARM}.case.npv"], {})
    rate = f"concepts.{ARM}.performance.attended"
    name = facts[rate].source.rpartition(" ")[2]

    assert {"money.rate", f"concepts.{ARM}.estimate.installed"} - reached == {f"concepts.{ARM}.estimate.installed"}
    assert behind(facts, [rate], {name: ("people.wage",)}) == {rate, "people.wage"}
    assert set(cell_origins(study()).values()) == {()}


def test_assumptions_come_by_what_they_move() -> None:
    """Drivers first, by their swing; then the others by name; nothing that was given."""
    found = assumptions(study())

    assert all(study().facts[each.fact].basis == "assumed" for each in found)
    names = [each.fact for each in found if each.swing is None]
    assert names == sorted(names)
    assert "money.rate" in names
    assert set(answer_ids(study())) <= set(study().facts)


def test_a_loss_outside_the_ordinary_is_a_question() -> None:
    """Below nought and above a quarter; nothing in between, ends included."""
    assert loss_words(-0.01).startswith("More is shipped than the times given here can make")
    assert loss_words(0.26).startswith("This loss is larger than waiting")
    assert loss_words(0.0) == loss_words(0.25) == ""


def test_facts_fall_into_chapters() -> None:
    """A concept is a chapter of its own."""
    chapters = groups(study().facts)

    assert f"concepts.{ARM}" in chapters
    assert sum(map(len, chapters.values())) == len(study().facts)


def test_formulas_and_their_cautions_are_found_by_the_figures() -> None:
    """Each formula once, each caution once, also of the figures behind."""
    facts = study().facts

    assert [formula.name for formula in formulas_used({key: facts[key] for key in [f"concepts.{ARM}.case.npv"]})] == [
        "present_worth"
    ]
    assert cautions(facts, [f"concepts.{ARM}.feasibility.payload.demand", None])
    assert cautions(facts, ["people.wage"]) == ()
