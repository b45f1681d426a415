"""What an inquiry keeps is looked at in any case, what it leaves out is said, and the funnel still adds up."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import NamedTuple

from millhand.model.fact import Choice, Fact
from millhand.model.floor import standing
from millhand.model.study import Dropped
from millhand.model.tradeoff import Funnel
from millhand.model.walk import facts_in
from millhand.report.comparison import in_sight
from millhand.report.customer import for_customer
from millhand.report.marks import marks_of
from millhand.report.tradeoff import funnel_rows
from millhand.road import Desk, Plan, planned_leanly, visited
from millhand.run import LocalRunner, Nobody
from millhand.stages.concepts import concepts, dropped, how_many, wished_away
from millhand.stages.performance.hours import hours
from millhand.stages.tradeoff import Space, tradeoff
from millhand.study import Outputs, simulated, worked_out
from millhand.trace import Sheet
from tests.intake.test_inquiry_concepts import CELL, asked, catalogue
from tests.report.fixture_study import ARM, study

ONLY = "only: {presenter: trays, mount: pedestal, gripper: parallel_single}\n"
WISHES = (
    f"{{name: ours, is: kept, of: {CELL}, arm: fenced_60}}",
    f"{{name: west, is: kept, of: {CELL}, pinned: [{{what: arm, x: 200 mm, y: -1 m}}]}}",
    f"{{name: far, is: kept, of: {CELL}, pinned: [{{what: arm, x: 200 mm, y: -4 m}}]}}",
    "{name: walked, is: left_out, safeguarding: scanner, by: The owner, reason: people pass}",
    "{name: helper, is: left_out, of: by_hand-helper}\n" + ONLY.rstrip(),
)


def names(*wishes: str) -> dict[str, str]:
    """The concepts with the wish that keeps each."""
    return {each.id: each.wish for each in concepts(asked(*wishes), catalogue())}


class Made(NamedTuple):
    """The road of a study up to the funnel, without its draws."""

    plans: dict[str, Plan]
    counts: Outputs
    funnel: Funnel
    facts: Mapping[str, Fact | Choice]


@cache
def made() -> Made:
    """With all kinds of wishes, kept to few components and, by hand, to today."""
    inquiry, cells = visited(asked(*WISHES)), catalogue()
    sheet = Sheet((*facts_in(inquiry), *facts_in(cells)))
    desk = Desk(
        inquiry=inquiry, catalogue=cells, pattern=hours(inquiry, sheet), seed=1, runner=LocalRunner(), watch=Nobody()
    )  # fmt: skip
    wanted = [each for each in concepts(inquiry, cells) if each.kind != "by_hand"]
    plans, needless = planned_leanly(desk, wanted, sheet)
    counts = simulated(desk, plans, sheet)
    results = worked_out(desk, plans, counts, sheet)
    funnel = tradeoff(Space(*how_many(inquiry, cells), len(needless)), results, None, sheet).funnel
    return Made({each.concept.id: each for each in plans}, counts, funnel, {each.id: each for each in sheet})


def test_other_parts_make_another_concept_and_places_one_of_its_own() -> None:
    """A larger arm of the class, which nobody would look at; pieces by hand beside what the search places."""
    found = names(*WISHES)

    assert found[CELL.replace("fenced_20", "fenced_60")] == "ours"
    assert (found[CELL], found[f"{CELL}-west"]) == ("", "west")
    assert not [name for name in found if name.endswith("scanner") or name == "by_hand-helper"]


def test_a_wish_to_leave_out_says_by_whom_and_why_and_one_that_means_nothing_says_so() -> None:
    """Beside the rules' own words."""
    found = [(name, words) for name, words, _ in wished_away(asked(*WISHES), catalogue())]

    assert ("scanner", "left out by hand by The owner: people pass") in found
    nothing = asked("{name: a, is: left_out, presenter: trays, mount: pedestal, arm: scara_10}")
    assert [words for _, words, _ in wished_away(nothing, catalogue())] == [
        "left out by hand (nothing that could be looked at is meant by it)"
    ]


def test_a_rule_stands_against_a_concept_that_makes_no_sense_and_the_study_says_so() -> None:
    """Not lost in silence, and not worked out with figures that nobody has."""
    odd = asked(f"{{name: odd, is: kept, of: {CELL}, safeguarding: scanner}}")

    assert not [each for each in concepts(odd, catalogue()) if each.wish]
    ((name, words, wish),) = wished_away(odd, catalogue())
    assert (name, wish) == (CELL.removesuffix("fence") + "scanner", "odd")
    assert words.startswith("wanted by hand as odd, and not looked at: a fenced arm is ranked behind its fence")


def test_what_is_kept_stays_where_its_parts_are_left_out() -> None:
    """By its name alone."""
    found = names(f"{{name: a, is: kept, of: {CELL}}}", "{name: b, is: left_out, safeguarding: fence}")

    assert [name for name in found if name.endswith("fence")] == [CELL]
    assert found[CELL] == "a"


def test_combinations_are_counted_with_what_is_added_and_left_out() -> None:
    """Two stand by hand alone; what a rule drops anyhow is not left out by hand."""
    of = asked(WISHES[-1])
    more = how_many(asked(*WISHES), catalogue())

    assert more == (how_many(of, catalogue())[0] + 2, 2, 2)
    assert len(dropped(of, catalogue())) > 0


def test_pieces_of_a_concept_go_before_those_of_the_shop() -> None:
    """Each by what it is."""
    (wish,) = asked(f"{{name: a, is: kept, of: {CELL}, pinned: [{{what: arm, x: 1 m, y: 0 m}}]}}").concepts
    (arm,) = wish.pinned
    shop = Choice(id="x", value="arm", options=("arm",), basis="given", source="")

    assert standing((), (arm,)) == (arm,)
    assert standing((type(arm)(what=shop, x_m=arm.y_m, y_m=arm.y_m),), (arm,)) == (arm,)


def test_what_is_kept_is_simulated_whatever_it_is_worth() -> None:
    """The larger arm and the one that stands by hand, there."""
    found = {each.concept.wish: each for each in made().plans.values() if each.concept.wish}

    assert {found[name].concept.id for name in ("ours", "west")} <= set(made().counts)
    drawn = found["west"].layout.drawn
    assert drawn is not None
    assert {(made().facts[each.x_m].value, made().facts[each.y_m].value) for each in drawn.feet} == {(0.2, -1.0)}


def test_what_is_kept_and_cannot_work_keeps_its_checks_and_margins() -> None:
    """Out of reach: the check that ends it, and by how much it fails."""
    far = made().plans[f"{CELL}-far"]
    failing = {each.check: made().facts[each.margin].value for each in far.verdicts if each.kills and not each.holds}

    assert far.cell is None
    assert "reach" in failing
    assert all(isinstance(margin, float) and margin < 0.0 for margin in failing.values())


def test_the_funnel_adds_up_with_both() -> None:
    """Every step counted, none twice."""
    funnel, facts = made().funnel, made().facts
    assert funnel.left_out is not None
    assert funnel.added is not None
    parts = (funnel.by_rule, funnel.by_size, funnel.by_bound, funnel.simulated, *(each.number for each in funnel.fell))
    total = sum(float(facts[each].value) for each in (*parts, funnel.left_out))

    assert total == facts[funnel.combinations].value
    assert (facts[funnel.left_out].value, facts[funnel.added].value) == (2.0, 2.0)


def test_what_is_kept_is_in_sight_and_the_steps_of_the_funnel_are_said() -> None:
    """In a study that would show it further down otherwise."""
    plain = study()
    assert plain.decision.tradeoff is not None
    funnel = replace(plain.decision.tradeoff.funnel, left_out=plain.decision.tradeoff.front, added=None)
    with_both = replace(plain.decision, tradeoff=replace(plain.decision.tradeoff, funnel=funnel))
    results = tuple(
        replace(each, concept=replace(each.concept, wish="ours")) if each.concept.id == ARM else each
        for each in plain.results
    )

    assert ARM in in_sight(replace(plain, results=results), count=0)
    said = [each.words for each in funnel_rows(replace(plain, decision=with_both), marks_of(plain))]
    assert "left out by hand, each said in words below" in said
    assert "of them there by hand alone" not in said


def test_a_customers_copy_does_not_say_who_wishes_what_and_why() -> None:
    """What is left out is told, the reason is not."""
    inquiry = asked(*WISHES)
    away = tuple(Dropped(choices=one, words=words, wish=wish) for one, words, wish in wished_away(inquiry, catalogue()))
    with_wishes = replace(study().inquiry, concepts=inquiry.concepts)
    copy = for_customer(replace(study(), inquiry=with_wishes, dropped=away))

    assert "people pass" not in str(copy.inquiry.concepts) + str(copy.dropped)
    assert [each.words for each in copy.dropped if each.wish == "walked"] == ["left out by hand"]
