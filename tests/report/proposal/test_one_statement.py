"""What two sections say of one thing is one statement: price and its ranges, what is held, who does what."""

from dataclasses import replace

from millhand.model.company import Company
from millhand.report.proposal.agreed import terms
from millhand.report.proposal.appendix import items_of
from millhand.report.proposal.money import price
from millhand.report.proposal.records import Figure, Item, Joined, Say, Section
from tests.report.proposal.test_sections_agree import fact
from tests.report.proposal.told_proposal import base


def said(section: Section | None) -> dict[str, Say]:
    """Every sentence of a section by its key."""
    assert section is not None
    found: dict[str, Say] = {}

    def walk(item: Item) -> None:
        """A sentence, and those within it."""
        if isinstance(item, Joined):
            for each in item.items:
                walk(each)
        elif isinstance(item, Say):
            found[item.key] = item

    for item in items_of(section.blocks):
        walk(item)
    return found


def test_the_sum_of_price_and_own_work_says_which_range_it_has() -> None:
    """Beside the ends of the draws stand those that the price has, as the same figures; without the latter neither."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.estimate is not None
    own = fact("test.own", 70.0, "money")
    made = replace(ground.subject, estimate=replace(ground.subject.estimate, own=own.id))
    top = f"concepts.{ground.subject.concept.id}.estimate"
    ends = [fact(f"{top}.{name}", amount, "money") for name, amount in (("usual_low", 100.0), ("usual_high", 900.0))]
    plain = replace(ground, subject=made, facts={**ground.facts, own.id: own})
    classed = replace(plain, facts={**plain.facts, **{each.id: each for each in ends}})

    told = said(price(classed))
    both = told["price.all_in_class"].slots
    assert both["ends"] == told["price.all_in"].slots["ends"]
    for name in ("low", "high"):
        figure, alone = both[name], told["price.words"].slots[name]
        assert isinstance(figure, Figure)
        assert isinstance(alone, Figure)
        assert figure.fact == alone.fact
    assert "price.all_in_class" not in said(price(plain))


def test_a_day_of_validity_says_what_is_held_until_it() -> None:
    """With a day the terms say so, and for an order of when the price is; without a day, nothing."""
    ground = base("long")
    aged = [fact("money.price_age", 1.0, "y"), fact("money.escalation", 0.03, "1")]
    moved = replace(ground, facts={**ground.facts, **{each.id: each for each in aged}})
    plain = replace(ground, facts={name: each for name, each in ground.facts.items() if name != "money.price_age"})

    assert said(terms(moved, Company(valid_days=60))).keys() >= {"terms.held", "terms.held_for"}
    assert said(terms(plain, Company(valid_days=60))).keys() & {"terms.held", "terms.held_for"} == {"terms.held"}
    assert not said(terms(moved, Company())).keys() & {"terms.held", "terms.held_for"}


def test_terms_say_which_tests_are_the_acceptance_on_site() -> None:
    """The shifts are none of it; what becomes of it without the run alone is said where there is such a run."""
    ground = base("long")
    tests = ground.study.acceptance
    assert tests is not None
    run = fact("test.alone", 3600.0, "s")
    alone, attended = (replace(tests, alone_s=each) for each in (run.id, None))
    keys = [
        said(terms(replace(ground, study=replace(ground.study, acceptance=each)), Company())).keys()
        for each in (alone, attended, None)
    ]

    assert ["terms.tests_of_it" in each for each in keys] == [True, True, False]
    assert ["terms.tests_alone" in each for each in keys] == [True, False, False]
