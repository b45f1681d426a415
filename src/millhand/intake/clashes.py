"""Figures of an inquiry that can hardly be right together: what they come to, by how much, which to ask for again.

What was assumed is read at its kinder end, so that an assumption alone accuses nobody. What cannot be at all, hours
over the day, more cut than the machines have hours, is refused in `contradictions`.
"""

from collections.abc import Iterator
from itertools import combinations

from millhand.intake.feeding_clashes import window_missed
from millhand.intake.inquiry_sums import (
    HOUR_S,
    asked_s,
    hands_s,
    head_s,
    loading_s,
    machine_s_per_y,
    manned,
    operations_at,
    ordered_s,
    overlap_s,
    place_of,
    present_s,
    written,
)
from millhand.intake.text import duration
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.odd import Odd

HANDOVER_S = HOUR_S  # so long two shifts may be there together to hand over
FAR = 1.05  # cutting and loading over the hours: a stopwatch and a shift are not truer than that


def clashes(inquiry: Inquiry) -> Iterator[Odd]:
    """Every such pair, each kind in its own words."""
    for check in (orders_over_hours, operator_over_full, floor_to_floor_as_cutting, shifts_overlap, window_missed):
        yield from check(inquiry)


def clash(code: str, read: str, write: str, *facts: Fact | Choice) -> Odd:
    """What was read, by how much it does not fit, and what to write or ask; at the place of the first written fact."""
    told = next((fact for fact in facts if written(fact)), None)
    ids = tuple(dict.fromkeys(fact.id for fact in facts))
    return Odd(code=code, words=f"{read}. {write}", facts=ids, where=place_of(told) if told else "", clash=True)


def orders_over_hours(inquiry: Inquiry) -> Iterator[Odd]:
    """Machine time times the parts ordered in a year, over all hours that the machines have in the shifts."""
    for machine in inquiry.machines:
        asked, offered = ordered_s(inquiry, machine), machine_s_per_y(inquiry, machine)
        if offered <= 0.0 or asked <= offered:
            continue
        each = tuple(operations_at(inquiry, machine))
        ordered = sum(part.orders_per_y.value for part, _ in each)
        read = (
            f"{ordered:.0f} parts ordered a year x machine time take {hours(asked)} at {machine.name}, and its shifts "
            f"with the hours alone have {hours(offered)} a year: {asked / offered - 1.0:.0%} too much"
        )
        write = (
            "Ask again for orders_per_y, the time of one cycle and parts_per_cycle; if all three are right, the rest "
            "is made elsewhere, or in hours that are not written"
        )
        orders, times = (part.orders_per_y for part, _ in each), (op.time_s for _, op in each)
        yield clash("orders_over_hours", read, f"{write}.", *orders, *times, machine.count)


def operator_over_full(inquiry: Inquiry) -> Iterator[Odd]:
    """People's work on the parts shipped in a shift, over the time that the heads are there."""
    asked, offered = hands_s(inquiry), head_s(inquiry)
    if offered <= 0.0 or asked <= offered:
        return
    today, elements = inquiry.today, inquiry.today.elements
    read = (
        f"{today.parts_per_shift.value:g} parts a shift x the elements of today's work take {hours(asked)} of people, "
        f"and they are there {hours(offered)}: an operator at {asked / offered:.0%}, without walking, stops or rest"
    )
    write = (
        "Ask again for the times and every_n of today.elements (each is for one machine load), parts_per_shift, and "
        "operators: does somebody else help?"
    )
    heads = (shift.operators for shift in manned(inquiry))
    times = (element.time_s for element in elements)
    yield clash("operator_over_full", read, write, today.parts_per_shift, *times, *heads)


def floor_to_floor_as_cutting(inquiry: Inquiry) -> Iterator[Odd]:
    """A time said to be cutting alone that fits the hours alone, and far from fits once loading is added to it."""
    there = present_s(inquiry, assumed_breaks=False)
    for machine in inquiry.machines:
        ops = [op for _, op in operations_at(inquiry, machine)]
        told = [op for op in ops if op.time_is.value == "cycle" and written(op.time_is, op.time_s)]
        offered, cutting = machine.count.value * there, asked_s(inquiry, machine)
        both = cutting + loading_s(inquiry, machine)
        if not told or not cutting <= offered < both / FAR:
            continue
        read = (
            f"cutting alone fills {cutting / offered:.0%} of the hours of {machine.name}, which fits the parts "
            f"shipped; with loading, for which it stands, it would be {both / offered:.0%}, "
            f"{both / offered - 1.0:.0%} more than there is"
        )
        write = (
            "Was the time taken from floor to floor? Then write time_is: floor_to_floor; if the machine cuts so long, "
            "ask again how long it stands to be loaded (today.elements, side: outside) and for parts_per_shift"
        )
        outside = (element.time_s for element in inquiry.today.elements if element.side.value == "outside")
        meant = (fact for op in told for fact in (op.time_is, op.time_s))
        yield clash("floor_to_floor_as_cutting", read, f"{write}.", *meant, *outside, inquiry.today.parts_per_shift)


def shifts_overlap(inquiry: Inquiry) -> Iterator[Odd]:
    """Two shifts that are there together for longer than they need to hand over."""
    listed = [shift for shift in manned(inquiry) if written(shift.start_s)]
    for one, other in combinations(listed, 2):
        shared = overlap_s(one, other)
        if shared <= HANDOVER_S:
            continue
        read = (
            f"{one.name} and {other.name} are there together for {duration(shared)} a day, "
            f"{duration(shared - HANDOVER_S)} longer than a handover of {duration(HANDOVER_S)}: machine hours count "
            "once, people's hours twice"
        )
        write = f"Ask whether two crews stand there; else write from and to of {other.name} after {one.name}"
        yield clash("shifts_overlap", read, f"{write}.", other.start_s, other.length_s, one.start_s, one.length_s)


def hours(seconds: float) -> str:
    """Hours in three digits; a year's hours are not told as days.

    >>> hours(36000.0), hours(30_000_000.0)
    ('10 h', '8330 h')
    """
    told = seconds / HOUR_S
    return f"{told:.3g} h" if told < 1000.0 else f"{round(told, -1):.0f} h"
