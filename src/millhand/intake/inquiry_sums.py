"""Sums over an inquiry that its figures are held against: hours present, machine time asked for, parts a year."""

from collections.abc import Iterator

from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.part import ManualElement, Operation, Part
from millhand.model.shop import Shift

DAY_S, HOUR_S = 86400.0, 3600.0


def place_of(fact: Fact | Choice) -> str:
    """Where a written fact stands in its file."""
    return fact.source.partition(",")[0]


def written(*facts: Fact | Choice) -> bool:
    """Whether all of these were said by somebody, not assumed."""
    return all(fact.basis != "assumed" for fact in facts)


def manned(inquiry: Inquiry) -> tuple[Shift, ...]:
    """The shifts in which somebody is there."""
    return tuple(shift for shift in inquiry.shifts if shift.manned.value == "yes")


def breaks_s(shift: Shift, *, assumed: bool = True) -> float:
    """The length of all breaks of a shift, on request without those that are only assumed."""
    return sum(pause.length_s.value for pause in shift.breaks if assumed or written(pause.length_s))


def present_s(inquiry: Inquiry, *, assumed_breaks: bool = True) -> float:
    """Mean time that somebody is at the machines in a manned shift, weighted by days; 0 without manned shifts."""
    shifts = manned(inquiry)
    days = sum(shift.days_per_week.value for shift in shifts)
    hours = sum(
        shift.days_per_week.value * (shift.length_s.value - breaks_s(shift, assumed=assumed_breaks)) for shift in shifts
    )
    return hours / days if days else 0.0


def covered_s(inquiry: Inquiry) -> float:
    """Time of a day that lies in at least one shift, manned or not."""
    spans = sorted((shift.start_s.value, shift.start_s.value + shift.length_s.value) for shift in inquiry.shifts)
    folded = sorted(piece for start, end in spans for piece in folded_day(start, end))
    total, last = 0.0, 0.0
    for start, end in folded:
        total += max(0.0, end - max(start, last))
        last = max(last, end)
    return total


def folded_day(start_s: float, end_s: float) -> Iterator[tuple[float, float]]:
    """A span of hours as one or two pieces of the same day."""
    yield start_s, min(end_s, DAY_S)
    if end_s > DAY_S:
        yield 0.0, min(end_s - DAY_S, DAY_S)


def mix(inquiry: Inquiry) -> dict[str, float]:
    """The share of each part in what is ordered."""
    total = sum(part.orders_per_y.value for part in inquiry.parts)
    return {part.name: part.orders_per_y.value / total if total else 1 / len(inquiry.parts) for part in inquiry.parts}


def operations_at(inquiry: Inquiry, machine: Machine) -> Iterator[tuple[Part, Operation]]:
    """Every operation that one kind of machine does."""
    return ((part, op) for part in inquiry.parts for op in part.operations if op.machine == machine.name)


def least_time_s(operation: Operation) -> float:
    """The machine time of one part, read as short as the file allows; its own stops only as far as they were said."""
    time, dressing, bar = operation.time_s, operation.dressing, operation.bar
    seconds = time.low if time.basis == "assumed" and time.low is not None else time.value
    own = 0.0
    if dressing is not None and written(dressing.every_parts, dressing.takes_s):
        own += dressing.takes_s.value / dressing.every_parts.value
    if bar is not None and written(bar.change_s):
        own += bar.change_s.value * bar.bars.value / parts_in_load(operation)
    return seconds / operation.parts_per_cycle.value + own


def parts_in_load(operation: Operation) -> float:
    """Parts from one visit to the next."""
    cycles = operation.cycles_per_visit.value if operation.cycles_per_visit is not None else 1.0
    return operation.parts_per_cycle.value * cycles


def asked_s(inquiry: Inquiry, machine: Machine) -> float:
    """Machine time that the parts shipped in a shift take on all machines of one kind."""
    shares, parts = mix(inquiry), inquiry.today.parts_per_shift.value
    return sum(shares[part.name] * parts * least_time_s(op) for part, op in operations_at(inquiry, machine))


def setups_s(inquiry: Inquiry, machine: Machine) -> float:
    """Set-up time of a shift on all machines of one kind: so many lots as the parts shipped are."""
    shares, parts, setup = mix(inquiry), inquiry.today.parts_per_shift.value, inquiry.today.setup_s.value
    return sum(shares[p.name] * parts / p.lot_size.value * setup for p, _ in operations_at(inquiry, machine))


def shifts_per_y(inquiry: Inquiry) -> float:
    """Manned shifts a year."""
    week = max((shift.days_per_week.value for shift in inquiry.shifts), default=0.0)
    days = inquiry.shop.work_days_per_y.value
    return sum(days * shift.days_per_week.value / week for shift in manned(inquiry)) if week else 0.0


def machine_count(inquiry: Inquiry) -> float:
    """All machines together."""
    return sum(machine.count.value for machine in inquiry.machines)


def outside_s(inquiry: Inquiry, operation: Operation | None = None, *, assumed: bool = True) -> float:
    """Manual work of one load while the machine stands, on request without what is only assumed."""
    return sum(
        element.time_s.value
        for element in elements_at(inquiry, operation)
        if element.side.value == "outside" and element.every_n.value == 1 and (assumed or written(element.time_s))
    )


def elements_at(inquiry: Inquiry, operation: Operation | None) -> tuple[ManualElement, ...]:
    """The elements of a load at one operation; None: those of all."""
    elements = inquiry.today.elements
    return tuple(each for each in elements if operation is None or each.operation in (None, operation.name))


# --- what people and machines would need, what is assumed read at its kinder end ---


def least(fact: Fact) -> float:
    """A figure as it was said; one that nobody said, as small as it is in common shops."""
    return fact.low if fact.basis == "assumed" and fact.low is not None else fact.value


def most(fact: Fact) -> float:
    """A figure as it was said; one that nobody said, as large as it is in common shops."""
    return fact.high if fact.basis == "assumed" and fact.high is not None else fact.value


def loads_per_shift(inquiry: Inquiry, part: Part, operation: Operation) -> float:
    """Machine loads of one operation that the parts shipped in a shift take."""
    return mix(inquiry)[part.name] * inquiry.today.parts_per_shift.value / parts_in_load(operation)


def load_s(inquiry: Inquiry, operation: Operation, *sides: str, kindly: bool = True) -> float:
    """Manual work of one load at an operation on these sides, each element shared over its loads; on request what is
    assumed as it is likely."""
    return sum(
        least(element.time_s) / most(element.every_n) if kindly else element.time_s.value / element.every_n.value
        for element in elements_at(inquiry, operation)
        if element.side.value in sides
    )


def loading_s(inquiry: Inquiry, machine: Machine, *, kindly: bool = True) -> float:
    """Time that all machines of one kind stand to be loaded for the parts shipped, beside times of one cycle alone."""
    alone = [(part, op) for part, op in operations_at(inquiry, machine) if op.time_is.value == "cycle"]
    return sum(load_s(inquiry, op, "outside", kindly=kindly) * loads_per_shift(inquiry, part, op) for part, op in alone)


def hands_s(inquiry: Inquiry) -> float:
    """People's work on the parts shipped in a shift: the elements of every load, no walking, no stops, no rest."""
    sides = ("outside", "inside")
    return sum(
        load_s(inquiry, op, *sides) * loads_per_shift(inquiry, part, op)
        for part in inquiry.parts
        for op in part.operations
    )


def head_s(inquiry: Inquiry) -> float:
    """Mean time of all heads together in a manned shift, weighted by days; breaks only as far as they were said."""
    shifts = manned(inquiry)
    days = sum(shift.days_per_week.value for shift in shifts)
    there = sum(
        shift.days_per_week.value * most(shift.operators) * (shift.length_s.value - breaks_s(shift, assumed=False))
        for shift in shifts
    )
    return there / days if days else 0.0


def ordered_s(inquiry: Inquiry, machine: Machine) -> float:
    """Machine time that the parts ordered in a year take on all machines of one kind."""
    return sum(least(part.orders_per_y) * least_time_s(op) for part, op in operations_at(inquiry, machine))


def machine_s_per_y(inquiry: Inquiry, machine: Machine) -> float:
    """Time that all machines of one kind have in a year: the manned shifts, and the hours alone that are wished."""
    days = most(inquiry.shop.work_days_per_y)
    staffed = (
        present_s(inquiry, assumed_breaks=False) * shifts_per_y(inquiry) * days / inquiry.shop.work_days_per_y.value
    )
    return machine.count.value * (staffed + most(inquiry.wishes.unattended_s) * days)


def overlap_s(one: Shift, other: Shift) -> float:
    """Time of a day in which both shifts are there; either may run past midnight.

    Shifts that share no day of the week are taken to begin on the same ones, as all patterns here do.
    """
    first, second = (
        list(folded_day(shift.start_s.value, shift.start_s.value + shift.length_s.value)) for shift in (one, other)
    )
    return sum(max(0.0, min(b, d) - max(a, c)) for a, b in first for c, d in second)
