"""What two pages say of the shop's own words, of a middle beside its range, of hours alone, of a cell not advised."""

from dataclasses import replace

from millhand.model.inquiry import FloorSides, Inquiry
from millhand.report.proposal.ask import of_another_change
from millhand.report.proposal.ground import Ground, ground
from millhand.report.proposal.records import Item
from millhand.report.proposal.short_told import beside_its_range, cell_instead, not_met, told_rows
from tests.report.fixture_study import ARM
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

    assert rows[0] == "Hours and pay early 06:00 to 14:30; 27.50 USD an hour, on-cost 30 %"
    assert rows[1].startswith("By hand open, blow off 12 s, part out, next in, clamp 30 s")
    assert rows[2] == (
        "Room 14 m² free at the machines, told as 7 m x 2 m: a cell is held against area and sides; what stands "
        "beside it only a look at the site shows"
    )
    assert [plain(of, *row) for row in told_rows(with_floor(None))][2] == "Room 14 m² free at the machines"


def test_what_nobody_said_is_not_told_as_the_shops() -> None:
    """An element whose time is assumed, a floor and a start that nobody gave."""
    inquiry = proposed().inquiry
    elements = tuple(replace(each, time_s=replace(each.time_s, basis="assumed")) for each in inquiry.today.elements)
    shift = replace(inquiry.shifts[0], start_s=replace(inquiry.shifts[0].start_s, basis="assumed"))
    bare = replace(inquiry, today=replace(inquiry.today, elements=elements), shifts=(shift,),
                   wishes=replace(inquiry.wishes, floor_m2=None, height_m=None))  # fmt: skip
    rows = [plain(base("short"), *row) for row in told_rows(bare)]

    assert len(rows) == 1
    assert rows[0].startswith("Hours and pay early 8.5 h; ")


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


def test_a_cell_that_is_not_advised_has_its_price_and_its_reason() -> None:
    """The best one that works; where none does, what ended the nearest."""
    of = by_hand()
    told = plain(of, *cell_instead(of))
    assert told.startswith("A cell with a robot was looked at as well. The best one (Drawers, Fenced arm 20 kg, ")
    assert "costs 130 000 USD" in told
    assert "is not advised: " in told
    assert plain(base("short"), *cell_instead(base("short"))) == ""

    done = of.study
    fallen = tuple(
        replace(each, verdicts=tuple(replace(one, holds=False, kills=True) for one in each.verdicts), estimate=None)
        if each.concept.id == ARM else each for each in done.results
    )  # fmt: skip
    nothing = ground(replace(done, results=fallen), long=False)
    said = plain(nothing, *cell_instead(nothing))
    assert said.startswith("Cells with a robot were looked at as well, and none can do this work. Nearest came ")


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
