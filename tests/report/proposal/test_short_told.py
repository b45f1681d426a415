"""What two pages say of the shop's own words, of a middle beside its range, of hours alone."""

from dataclasses import replace

from millhand.model.inquiry import FloorSides, Inquiry
from millhand.report.proposal.ask import of_another_change
from millhand.report.proposal.ground import Ground, ground
from millhand.report.proposal.records import Item
from millhand.report.proposal.short import freed_for
from millhand.report.proposal.short_told import beside_its_range, element_item, not_met, rests_on, told_rows
from tests.report.proposal.test_middles import fact
from tests.report.proposal.told_proposal import base, proposed, teller


def plain(of: Ground, *items: Item) -> str:
    """The words."""
    says = replace(teller("en", "short"), facts=of.facts)
    return " ".join(says.plain(each) for each in items).replace("\u202f", " ")


def with_floor(note: str | None) -> Inquiry:
    """The fixture's inquiry with a floor told by its sides, or as an area."""
    inquiry = proposed().inquiry
    floor = inquiry.wishes.floor_m2
    assert floor is not None
    side = replace(floor, value=2.0, unit="m", low=None, high=None)
    sides = FloorSides(
        long_m=replace(side, id="wishes.floor_long", value=7.0), short_m=replace(side, id="wishes.floor_short")
    )
    wishes = replace(inquiry.wishes, floor_m2=replace(floor, note=note), floor_sides=sides if note else None)
    return replace(inquiry, wishes=wishes)


def by_hand() -> Ground:
    """The same study where a change by hand is advised."""
    done = proposed()
    decided = replace(done.decision, answer="by_hand", winner="by_hand-second_vise", second=None)
    return ground(replace(done, decision=decided, acceptance=None), long=False)


def test_hours_pay_work_by_hand_and_room_stand_there() -> None:
    """From when to when, what an hour costs, each element with its time, the floor with its sides."""
    of = base("short")
    rows = [plain(of, *row) for row in told_rows(with_floor("7 m x 2 m"))]

    assert rows[0] == (
        "Shifts and pay early 06:00 to 14:30; operators a shift: 1; 27.50 USD an hour, on-cost 30 % (assumed)"
    )
    assert rows[1].startswith("By hand each load: open, blow off 12 s, part out, next in, clamp 30 s")
    assert rows[2] == (
        "Room 14 m² free at the machines, told as 7 m x 2 m: a cell is held against area and sides; what stands "
        "beside it only a look at the site shows"
    )
    assert [plain(of, *row) for row in told_rows(with_floor(None))][2] == "Room 14 m² free at the machines"


def test_work_by_hand_says_how_often_it_is_done() -> None:
    """Each load, once in several, several times in one, or once in so many parts."""
    one = proposed().inquiry.today.elements[0]
    of = base("short")
    counts = {each: fact(f"test.n{each}", each, "1") for each in (20.0, 0.5)}
    known = replace(of, facts={**of.facts, **{each.id: each for each in counts.values()}})
    told = {n: plain(known, element_item(replace(one, every_n=each))) for n, each in counts.items()}
    by_parts = plain(known, element_item(replace(one, every_n=counts[20.0], every_parts=counts[20.0])))

    assert told[20.0].endswith(" 12 s once in 20 loads")
    assert told[0.5].endswith(" 12 s several times")
    assert by_parts.endswith(" 12 s once in 20 parts")


def test_what_is_counted_as_possible_stands_beside_the_answer() -> None:
    """The question of the change, and for bars what the shop said of its raw parts."""
    of = by_hand()
    assert of.subject is not None
    concept = replace(of.subject.concept, kind="by_hand", change="bar_feeder")
    asks = replace(fact("outside", 0.15, "1"), id="catalogue.bar_feeder.outside", question="Is the part cut from bar?")
    fed = replace(of, subject=replace(of.subject, concept=concept), facts={**of.facts, asks.id: asks})

    assert plain(fed, *rests_on(fed)) == (
        "You told us that raw parts come sawn: this way needs them cut from bar. "
        "Counted as possible until somebody answers: Is the part cut from bar?"
    )
    other = replace(of, subject=replace(of.subject, concept=replace(concept, change="walking_order")))
    assert plain(other, *rests_on(other)) == ""


def test_a_part_of_a_post_fills_none() -> None:
    """No '0 posts' beside a post that is filled."""
    of = base("short")
    heads = fact("freed_heads", 0.0, "1")
    people = replace(of.study.inquiry.people, freed_use=replace(of.study.inquiry.people.freed_use, value="vacancy"))
    asked = replace(of.study.inquiry, people=people)
    part = replace(of, study=replace(of.study, inquiry=asked), facts={**of.facts, heads.id: heads})
    whole = replace(part, facts={**of.facts, heads.id: replace(heads, value=1.0)})

    assert "fill no whole post" in plain(part, *freed_for(part))
    assert "do not fill it" in plain(part, *freed_for(part))
    assert plain(whole, *freed_for(whole)).startswith("Whole posts of one shift that these hours fill: 1.")
    assert plain(whole, *freed_for(whole)).endswith("As you told, the freed hours fill a post that is open.")


def test_what_nobody_said_is_not_told_as_the_shops() -> None:
    """An element whose time is assumed, a floor and a start that nobody gave."""
    inquiry = proposed().inquiry
    elements = tuple(replace(each, time_s=replace(each.time_s, basis="assumed")) for each in inquiry.today.elements)
    shift = replace(inquiry.shifts[0], start_s=replace(inquiry.shifts[0].start_s, basis="assumed"))
    bare = replace(inquiry, today=replace(inquiry.today, elements=elements), shifts=(shift,),
                   wishes=replace(inquiry.wishes, floor_m2=None, height_m=None))  # fmt: skip
    rows = [plain(base("short"), *row) for row in told_rows(bare)]

    assert len(rows) == 1
    assert rows[0].startswith("Shifts and pay early 8.5 h; ")


def test_a_middle_outside_its_range_is_explained_as_in_the_long_form() -> None:
    """Inside it the large figure says enough; outside both are told."""
    of = base("short")
    payback = of.subject.case.payback_months if of.subject and of.subject.case else None
    assert payback is not None
    low, high = of.facts[payback].low, of.facts[payback].high
    assert low is not None
    assert high is not None
    for months, said in (((low + high) / 2, False), (high + 5.0, True)):
        half = fact("middle.payback", months, "months")
        told = plain(replace(of, facts={**of.facts, half.id: half}), *beside_its_range(
            replace(of, facts={**of.facts, half.id: half})))  # fmt: skip
        assert ("Money back in half of the cases by" in told) == said


def test_a_wish_for_hours_alone_that_is_not_met_is_said() -> None:
    """Of a way that counts none; of one that does, and of no wish, nothing."""
    of = by_hand()
    assert "that you asked for are not met" in plain(of, *not_met(of))
    wishes = of.study.inquiry.wishes
    none = replace(wishes, unattended_s=replace(wishes.unattended_s, value=0.0))
    without = replace(of, study=replace(of.study, inquiry=replace(of.study.inquiry, wishes=none)))
    assert plain(without, *not_met(without)) == ""


def test_questions_about_other_changes_by_hand_wait_on_two_pages() -> None:
    """Those about the shop and the proposed change go first; on the long paper the order of the study stays."""
    of = by_hand()
    assert of.subject is not None
    own = of.subject.concept.change
    other = replace(of.subject, concept=replace(of.subject.concept, id="by_hand-other", change="other"))
    study = replace(of.study, results=(*of.study.results, other))
    with_other = replace(of, study=study)

    assert own
    assert not of_another_change(with_other, f"catalogue.{own}.outside")
    assert not of_another_change(with_other, "people.wage")
    assert of_another_change(with_other, "catalogue.other.outside")
