"""When people are there and how many of them, as today and after a change by hand: each change of hours a function."""

import math

from millhand.model.catalogue import HandChange
from millhand.model.inquiry import Inquiry
from millhand.model.shop import Shift
from millhand.stages.cells.shared import Interval, last_shift, manned, pauses_of


def spread_of(change: HandChange | None) -> float:
    """How many times as many machines one head tends."""
    spread = change.effects.get("machines_per_operator") if change is not None else None
    return spread.value if spread is not None else 1.0


def heads_by_shift(inquiry: Inquiry, change: HandChange | None) -> dict[str, int]:
    """Heads in each manned shift, at least one: fewer where each tends more, one fewer in a lighter last shift."""
    spread, last = spread_of(change), last_shift(inquiry)
    heads = {shift.name: max(1, math.ceil(shift.operators.value / spread - 1e-9)) for shift in manned(inquiry)}
    if change is not None and change.hours == "lighter" and last is not None:
        heads[last.name] = max(1, heads[last.name] - 1)
    return heads


def stands_in(inquiry: Inquiry, change: HandChange | None) -> bool:
    """Whether one stands in for the other, so that each serves all the machines: as today, or by the change."""
    today = inquiry.people.tend.value == "together" or inquiry.people.break_cover.value == "each_other"
    return today or (change is not None and change.hours in ("together", "staggered", "lighter"))


def pauses_by_hand(inquiry: Inquiry, shift: Shift, number: int, change: HandChange | None) -> list[Interval]:
    """When the operator of that number is away in a shift, counted from its start, as far as nobody loads meanwhile."""
    cover, hours = inquiry.people.break_cover.value, change.hours if change is not None else ""
    pauses = pauses_of(shift)
    if cover == "relief" or hours == "relief":
        return []
    if (cover == "each_other" or hours == "staggered") and number % 2 == 0:
        pauses = staggered(shift, pauses)
    lost = change.effects.get("breaks_lost") if change is not None else None
    return pauses if lost is None else [(into, length * lost.value) for into, length in pauses]


def staggered(shift: Shift, pauses: list[Interval]) -> list[Interval]:
    """The pauses of every second head: each after that of the others, or before it where that is no time of its own."""
    found: list[Interval] = []
    for into, length in pauses:
        free = [begin for begin in (into + length, into - length) if is_free(shift, pauses, (begin, length))]
        found.append((free[0] if free else into, length))
    return found


def is_free(shift: Shift, pauses: list[Interval], wanted: Interval) -> bool:
    """Whether a pause lies inside the shift and beside all pauses that are there."""
    begin, length = wanted
    inside = begin >= 0.0 and begin + length <= shift.length_s.value
    return inside and all(begin >= into + long or begin + length <= into for into, long in pauses)
