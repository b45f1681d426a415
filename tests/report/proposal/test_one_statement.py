"""What two sections say of one thing is one statement: price and its ranges, what is held, who does what."""

from dataclasses import replace

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
    made = replace(ground.subject, estimate=replace(ground.subject.estimate, own=own.id))  # type: ignore[type-var]
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
