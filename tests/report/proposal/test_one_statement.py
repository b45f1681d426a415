"""What two sections say of one thing is one statement: price and its ranges, what is held, who does what."""

from dataclasses import replace

import pytest

from millhand.model.company import Company
from millhand.model.estimate import PriceLine
from millhand.report.proposal.agreed import duties, duty_rows, letters_of, terms
from millhand.report.proposal.appendix import items_of
from millhand.report.proposal.by_hand import duty_rows as hand_rows
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.ground import ground as of_study
from millhand.report.proposal.money import of_line, price
from millhand.report.proposal.records import Figure, Item, Joined, Say, Section, Table, Term
from millhand.report.proposal.scope import scope, things
from millhand.report.proposal.telling import Teller
from millhand.report.tongue import tongue
from tests.report.proposal.test_by_hand import advising
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


def test_the_sum_of_price_and_own_work_adds_up_column_by_column() -> None:
    """Its ends stand under those that the price has, as the same figures; without the sum no such table."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.estimate is not None
    own = fact("test.own", 70.0, "money")
    made = replace(ground.subject, estimate=replace(ground.subject.estimate, own=own.id))
    top = f"concepts.{ground.subject.concept.id}.estimate"
    amounts = {"usual_low": 80.0, "usual_high": 140.0, "own_low": 56.0, "own_high": 98.0, "all_in": 170.0,
               "all_in_low": 136.0, "all_in_high": 238.0}  # fmt: skip
    sums = [fact(f"{top}.{name}", amount, "money") for name, amount in amounts.items()]
    plain = replace(ground, subject=made, facts={**ground.facts, own.id: own})
    summed = replace(plain, facts={**plain.facts, **{each.id: each for each in sums}})

    found = price(summed)
    assert found is not None
    table = [each for each in found.blocks if isinstance(each, Table)][-1]
    ids = [[each.fact for each in row if isinstance(each, Figure)] for row in table.rows]
    assert ids[0] == [f"{top}.usual_low", ground.subject.estimate.installed, f"{top}.usual_high"]
    for low, likely, high in (ids[0], ids[1], ids[2]):
        assert "low" in low
        assert "high" in high
        assert likely in (ground.subject.estimate.installed, own.id, f"{top}.all_in")
    for column in (0, 2):
        parts = [summed.facts[row[column]].value for row in ids]
        assert parts[0] + parts[1] == parts[2]
    assert "price.all_in" in said(found)
    assert "price.all_in" not in said(price(plain))


def test_what_the_fence_that_keeps_its_distances_takes_is_told_in_figures() -> None:
    """Metres, floor and money where they are known; else nothing of the kind."""
    ground = base("long")
    assert ground.subject is not None
    top = f"concepts.{ground.subject.concept.id}.safeguarding.wider"
    known = [fact(f"{top}.{name}", value, unit) for name, value, unit in (
        ("out", 0.4, "m"), ("fence", 3.2, "m"), ("floor", 6.8, "m2"), ("price", 900.0, "money"))]  # fmt: skip
    told = replace(ground, facts={**ground.facts, **{each.id: each for each in known}})

    assert {"out", "fence", "floor", "price"} <= said(price(told))["price.wider_fence"].slots.keys()
    assert "price.wider_fence" not in said(price(ground))


def aged(ground: Ground) -> Ground:
    """The same with prices that are a year old when somebody orders."""
    known = [fact("money.price_age", 1.0, "y"), fact("money.escalation", 0.03, "1")]
    return replace(ground, facts={**ground.facts, **{each.id: each for each in known}})


def test_a_day_of_validity_says_what_is_held_until_it() -> None:
    """With a day the terms say so, and for an order of when the price is; without a day, nothing."""
    ground = base("long")
    moved = aged(ground)
    plain = replace(ground, facts={name: each for name, each in ground.facts.items() if name != "money.price_age"})

    assert said(terms(moved, Company(valid_days=60))).keys() >= {"terms.held", "terms.held_for"}
    assert said(terms(plain, Company(valid_days=60))).keys() & {"terms.held", "terms.held_for"} == {"terms.held"}
    assert not said(terms(moved, Company())).keys() & {"terms.held", "terms.held_for"}


@pytest.mark.parametrize(
    ("language", "until", "of", "holds"),
    [
        ("en", "Up to that day the estimate does not change", "gathered in 2026", "their rise of 3 % a year"),
        ("de", "Bis zu diesem Tag ändert sich die Schätzung nicht", "2026 gesammelt", "1 Jahr mit 3 % im Jahr"),
    ],
)
def test_the_age_of_the_prices_is_no_day_of_an_order(language: str, until: str, of: str, holds: str) -> None:
    """Of when the prices are, what rise they hold, and that no day up to the validity moves them, in one place."""
    moved = aged(base("long"))
    assert moved.subject is not None
    assert moved.subject.estimate is not None
    listed = replace(moved.subject, estimate=replace(moved.subject.estimate, prices_of="2026"))
    found = said(terms(replace(moved, subject=listed), Company(valid_days=60)))
    says = Teller(tongue=tongue(language), facts=moved.facts, currency="EUR", pictures={})
    told = says.plain(found["terms.held_of"]).replace("\u202f", " ").replace("\u00a0", " ")

    for each in (until, of, holds):
        assert each in told
    assert "another day" not in told


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


def test_a_legend_names_the_letters_that_occur() -> None:
    """No more, and each by the table that it belongs to."""
    legend = letters_of({"one": "SC--CS", "two": "C-----"}, "doing").item
    assert isinstance(legend, Say)
    who = legend.slots["who"]
    assert isinstance(who, Joined)
    assert [each.key for each in who.items if isinstance(each, Say)] == ["doing.is_S", "duty.is_C"]


def test_what_the_price_leaves_to_the_shop_is_the_shops_in_the_table_of_who_does_what() -> None:
    """Air and power up to the cell, and programs of further families: nobody else brings, connects or programs them."""
    for told in duty_rows().values():
        assert told["air"][:3] == "CCC"
        assert told["part_programs"][0] == told["part_programs"][3] == "C"
    assert hand_rows()["moving"]["power"][:3] == "CCC"


def test_the_list_has_what_sections_take_for_granted() -> None:
    """What other sections speak of as being there stands in the list, and what a line only may hold is confirmed."""
    told = {each["name"]: each for each in things()}

    assert all(told[each]["confirm"] for each in ("door_changes", "blow_off", "dress_pack", "request", "assessment"))
    assert "lines" not in told["service"]


def test_a_line_of_several_pieces_says_how_many() -> None:
    """Two machines ask for two vises in one line; a line of one piece has its words alone."""
    ground = base("long")
    counts = [fact("test.two", 2.0, "1"), fact("test.one", 1.0, "1")]

    def line(*names: str) -> Item:
        """The words of a line with these counts."""
        amount = replace(fact("test.vises", 8000.0, "money"), inputs=tuple(("counts[]", each) for each in names))
        facts = {**ground.facts, amount.id: amount, **{each.id: each for each in counts}}
        one = PriceLine(id="powered_vise", words="vise", group="equipment", amount=amount)
        return of_line(replace(ground, facts=facts), one)

    several = line("test.two", "test.one")
    assert isinstance(several, Say)
    assert isinstance(several.slots["count"], Joined)
    assert [each.fact for each in several.slots["count"].items if isinstance(each, Figure)] == ["test.two", "test.one"]
    assert line("test.one") == line() == Term(text="vise")


def test_a_change_by_hand_says_in_how_many_orders_and_who_its_supplier_is() -> None:
    """Two orders where there are several machines; whose supplier it is where somebody's paper it is; neither where
    nothing is bought."""
    ground = of_study(advising("drop_and_boxes"), long=True)
    machines = ground.study.inquiry.machines
    one = tuple(replace(each, count=replace(each.count, value=1.0)) for each in machines[:1])
    alone = replace(ground, study=replace(ground.study, inquiry=replace(ground.study.inquiry, machines=one)))
    several = replace(ground, study=replace(ground.study, inquiry=replace(ground.study.inquiry, machines=one * 2)))
    sender, keys = Company(name="Sample Cells"), {"terms.orders_two", "terms.by_hand_supplier"}

    assert keys <= said(terms(several, sender)).keys()
    assert said(terms(alone, sender)).keys() & keys == {"terms.by_hand_supplier"}
    assert said(terms(several, Company())).keys() & keys == {"terms.orders_two"}
    assert not said(terms(base("long"), sender)).keys() & keys
    assert "excluded.by_hand" in said(scope(ground))
    assert "excluded.by_hand" not in said(scope(base("long")))


def test_a_drive_for_a_door_is_nobodys_where_every_door_has_one() -> None:
    """The table of who does what names it only where a door is opened by hand today, as the list of the price does."""
    ground = base("long")
    first = ground.study.inquiry.machines[0]

    def named(door: str) -> set[str]:
        """What the table names where every door is this."""
        inquiry = replace(ground.study.inquiry, machines=(replace(first, door=replace(first.door, value=door)),))
        return set(said(duties(replace(ground, study=replace(ground.study, inquiry=inquiry)))))

    assert named("hand") - named("powered") == {"duty.door"}
