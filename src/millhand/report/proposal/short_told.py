"""On two pages: what the shop told beside the rest, and what becomes of a wish that is not met."""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.part import ManualElement
from millhand.model.shop import Shift
from millhand.report.proposal.ground import Ground, called, figure
from millhand.report.proposal.middles import middle, what_it_is
from millhand.report.proposal.records import Figure, Given, Item, Joined, Say, Term
from millhand.report.view import clock

Row = tuple[Item, Item]
BAR = "bar_feeder"  # the change by hand that takes bars where pieces come


def told_rows(inquiry: Inquiry) -> Iterator[Row]:
    """When and for what pay people are there, what is done by hand, what room there is."""
    times = tuple(shift_time(each) for each in inquiry.shifts)
    staff: dict[str, Item] = {"operators": figure(inquiry.people.operators.id, "count", "value")}
    pay: dict[str, Item] = {
        "wage": Figure(fact=inquiry.people.wage_per_h.id, form="money", part="value"),
        "on_cost": Figure(fact=inquiry.people.on_cost.id, form="percent", part="value"),
    }
    wage, more = (is_said(each) for each in (inquiry.people.wage_per_h, inquiry.people.on_cost))
    how = "pay" if wage and more else "pay_more_assumed" if wage else "pay_assumed"
    paid = Say(key=f"short.{how}", slots=pay)
    yield Say(key="short.hours"), Joined(items=(*times, Say(key="short.staff", slots=staff), paid), between="; ")
    loads = tuple(element_item(each) for each in inquiry.today.elements if is_said(each.time_s))
    if loads:
        yield Say(key="short.by_hand"), Say(key="short.each_load", slots={"elements": Joined(items=loads)})
    room = tuple(room_of(inquiry))
    if room:
        yield Say(key="short.room"), Joined(items=room, between="; ")


def element_item(element: ManualElement) -> Item:
    """One piece of work by hand: its time, and in how many loads once where that is not each."""
    slots: dict[str, Item] = {"name": called(element.name), "time": figure(element.time_s.id, "seconds", "value")}
    if element.every_parts is not None:
        parts: Item = figure(element.every_parts.id, "count", "value")
        return Say(key="short.element_parts", slots=slots | {"parts": parts})
    if element.every_n.value < 1.0:
        return Say(key="short.element_several", slots=slots)
    if element.every_n.value == 1.0:
        return Say(key="short.element", slots=slots)
    often: Item = figure(element.every_n.id, "count", "value")
    return Say(key="short.element_often", slots=slots | {"often": often})


def is_said(fact: Fact) -> bool:
    """Whether somebody said it."""
    return fact.basis != "assumed"


def shift_time(shift: Shift) -> Item:
    """From when to when; the length alone where nobody said when it begins."""
    if not is_said(shift.start_s):
        slots: dict[str, Item] = {"name": called(shift.name), "length": figure(shift.length_s.id, "hours", "value")}
        return Say(key="short.shift_length", slots=slots)
    start, end = shift.start_s.value, shift.start_s.value + shift.length_s.value
    ends: dict[str, Item] = {"start": of_day(start), "end": of_day(end)}
    return Say(key="short.shift_time", slots={"name": called(shift.name)} | ends)


def of_day(seconds: float) -> Item:
    """A time of the day to the minute."""
    return Given(text=clock(seconds).rpartition(":")[0])


def room_of(inquiry: Inquiry) -> Iterator[Item]:
    """Free floor, with its sides as they were told, and clear height."""
    floor, height = inquiry.wishes.floor_m2, inquiry.wishes.height_m
    if floor is not None and is_said(floor):
        slots: dict[str, Item] = {"area": figure(floor.id, "area", "value"), "told": Given(text=floor.note or "")}
        yield Say(key="short.strip" if inquiry.wishes.floor_sides and floor.note else "short.floor", slots=slots)
    if height is not None and is_said(height):
        yield Say(key="short.height", slots={"height": figure(height.id, "metres", "value")})


def beside_its_range(ground: Ground) -> Iterator[Item]:
    """Of a middle that lies outside the range beside it, what both are of: as the long form always says."""
    case, half = ground.subject.case if ground.subject else None, middle(ground, "payback")
    if case is None or case.payback_months is None or half is None:
        return
    payback = ground.facts[case.payback_months]
    if payback.low is not None and payback.high is not None and not payback.low <= ground.value(half) <= payback.high:
        yield from what_it_is(ground)


def not_met(ground: Ground) -> Iterator[Item]:
    """That hours alone were asked for and none are counted."""
    performance = ground.subject.performance if ground.subject else None
    if performance is None or performance.unattended_per_h:
        return
    if ground.study.inquiry.wishes.unattended_s.value > 0.0:
        yield Say(key="alone.not_met")


def rests_on(ground: Ground) -> Iterator[Item]:
    """What is counted as possible at a proposed change by hand, though nobody said so: it stands beside the answer."""
    change = ground.subject.concept.change if ground.subject is not None else None
    start = f"catalogue.{change}."
    open_ones = (fact.question for key, fact in ground.facts.items() if change and key.startswith(start))
    question = next((each for each in open_ones if each), None)
    come = ground.study.inquiry.parts[0].condition
    if question is not None and change == BAR and come.basis != "assumed":
        yield Say(key="answer.needs_bar", slots={"condition": Term(text=come.value)})
    if question is not None:
        yield Say(key="answer.counted_as", slots={"question": Term(text=question)})
