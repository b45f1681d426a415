"""What all cells of a study share: numbers that remember their facts, machines as stations, calendars of a week."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import ceil

from millhand.model.cell import Calendar, Origin
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.shop import Shift
from millhand.model.span import Span
from millhand.model.station import Fault, Station, Wear
from millhand.model.timing import OperationTiming, Timing
from millhand.trace import Sheet

DAY_S, WEEK_S = 86_400.0, 604_800.0
Interval = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A cell being written: where its numbers came from is kept beside, by JSON pointer into the file form."""

    inquiry: Inquiry
    timing: Timing
    figures: Mapping[str, Fact]
    sheet: Sheet
    origins: dict[str, Origin] = field(default_factory=dict)

    def seconds(self, pointer: str, fact: Fact, share: float = 1.0) -> Span:
        """A constant span of `share` of a fact."""
        self.note(pointer, fact, share)
        return Span(mean_s=fact.value * share)

    def random(self, pointer: str, fact: Fact) -> Span:
        """An exponential span: stops that come by chance."""
        self.note(f"{pointer}/mean_s", fact)
        return Span(dist="exponential", mean_s=fact.value)

    def note(self, pointer: str, fact: Fact, share: float = 1.0) -> None:
        """Write down that the number at `pointer` is `share` of a fact; a zero has no slot that could change."""
        if fact.value * share != 0.0:
            self.origins[pointer] = Origin(fact=fact.id, factor=share)

    def of(self, fact_id: str) -> Fact:
        """A fact of the timing."""
        return self.sheet[fact_id]

    @property
    def tool_change(self) -> Fact:
        """How long a change of worn tools takes here: as the shop tells it, else as in common shops."""
        return self.inquiry.today.tool_change_s or self.figures["tool_change_s"]


def machine_places(inquiry: Inquiry) -> dict[str, Machine]:
    """machine_1, machine_2 ... in the inquiry's order, each with the record it is one of."""
    alike = [machine for machine in inquiry.machines for _ in range(round(machine.count.value))]
    return {f"machine_{number}": machine for number, machine in enumerate(alike, start=1)}


def stations_of(draft: Draft, operation: OperationTiming) -> tuple[str, ...]:
    """The stations that do an operation."""
    name = next(each.machine for each in draft.inquiry.parts[0].operations if each.name == operation.operation)
    return tuple(place for place, machine in machine_places(draft.inquiry).items() if machine.name == name)


def served(draft: Draft) -> dict[str, Machine]:
    """The machines that the first part family visits."""
    visited = {place for operation in draft.timing.operations for place in stations_of(draft, operation)}
    return {place: machine for place, machine in machine_places(draft.inquiry).items() if place in visited}


def machine_station(draft: Draft, name: str, machine: Machine, calendar: str | None) -> Station:
    """A machine with short stops on running time, tool life and chip box. Long stops are counted outside."""
    operation = next(each for each in draft.inquiry.parts[0].operations if each.machine == machine.name)
    timed = next(each for each in draft.timing.operations if each.operation == operation.name)
    loads = draft.of(timed.parts_per_load).value
    wear: list[Wear] = []
    for kind, limit, duty in (
        ("tool", operation.tool_life_parts, "tools"),
        ("chips", machine.chip_limit_parts, "chips"),
    ):
        if limit.value >= loads:  # a life below one load is held at one load, and then follows no fact
            draft.note(f"/stations/{name}/wear/{len(wear)}/limit", limit, 1.0 / loads)
        wear.append(Wear(id=kind, unit="loads", limit=max(1.0, limit.value / loads), duty=duty))
    every = draft.random(f"/stations/{name}/faults/0/every", machine.stops.short_every_s)
    return Station(
        kind="process",
        place=name,
        calendar=calendar,
        faults=(Fault(id="stop", on="busy", every=every, duty=clear_name(draft, machine)),),
        wear=tuple(wear),
        self_in=fills_itself(machine),
    )


def clear_name(draft: Draft, machine: Machine) -> str:
    """The duty that ends a machine's stop; each kind of machine has its own, for each takes its own time."""
    return "clear" if len(kinds(draft)) == 1 else f"clear_{machine.name}"


def kinds(draft: Draft) -> tuple[Machine, ...]:
    """The kinds of machines that the first part family visits, in the inquiry's order."""
    return tuple({machine.name: machine for machine in served(draft).values()}.values())


def fills_itself(machine: Machine) -> bool:
    """A mould needs nobody to put the next part in."""
    return machine.kind.value == "moulding"


def loads_between(parts: float, parts_per_load: float) -> int:
    """Whole loads in so many parts, at least one."""
    return max(1, int((parts + 1e-9) // parts_per_load))


# --- hours ---


def shift_intervals(shift: Shift, *, pauses: Iterable[Interval]) -> list[Interval]:
    """The hours of one shift through the week, from Monday on; pauses, counted from its start, are cut out.

    Half a day a week is one shift of half the length, as in `covered_h_per_week`.
    """
    pieces: list[Interval] = []
    first, ordered = shift.start_s.value, sorted(pauses)
    for day, length_s in enumerate(day_lengths_s(shift)):
        start, end = day * DAY_S + first, day * DAY_S + first + length_s
        for into, length in ordered:
            begin = day * DAY_S + first + into
            if begin < end and begin + length > start:
                pieces.append((start, begin))
                start = min(end, begin + length)
        pieces.append((start, end))
    return [piece for piece in pieces if piece[1] > piece[0]]


def pauses_of(shift: Shift) -> list[Interval]:
    """The breaks of a shift: how long after its start each begins, and how long it takes.

    A pause before the shift's time of day lies after midnight.
    """
    return [((pause.start_s.value - shift.start_s.value) % DAY_S, pause.length_s.value) for pause in shift.breaks]


def day_lengths_s(shift: Shift) -> tuple[float, ...]:
    """How long the shift is on each of its days, from Monday on."""
    days = shift.days_per_week.value
    return tuple(shift.length_s.value * min(1.0, days - day) for day in range(ceil(days)))


def week(intervals: Iterable[Interval]) -> tuple[Interval, ...]:
    """Intervals inside one week, what runs over its end brought back to its start, joined where they touch."""
    inside: list[Interval] = []
    for start, end in intervals:
        if end > WEEK_S:
            inside += [(start, WEEK_S)] if start < WEEK_S else []
            inside.append((max(0.0, start - WEEK_S), end - WEEK_S))
        else:
            inside.append((start, end))
    joined: list[Interval] = []
    for start, end in sorted(inside):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)


def calendar(intervals: Iterable[Interval], at_end: str) -> Calendar:
    """A weekly calendar."""
    return Calendar(period_s=WEEK_S, on=week(intervals), at_end=at_end)  # type: ignore[arg-type]


def manned(inquiry: Inquiry) -> list[Shift]:
    """The shifts in which somebody is there."""
    return [shift for shift in inquiry.shifts if shift.manned.value == "yes"]


def last_shift(inquiry: Inquiry) -> Shift | None:
    """The manned shift that people leave last."""
    return max(manned(inquiry), key=lambda shift: shift.start_s.value + shift.length_s.value, default=None)


def open_intervals(inquiry: Inquiry) -> list[Interval]:
    """When the machines may run under an arm: the manned shifts through their breaks, and the hours wished alone.

    The hours alone follow the last manned shift of each of its days.
    """
    intervals = [piece for shift in manned(inquiry) for piece in shift_intervals(shift, pauses=())]
    alone = inquiry.wishes.unattended_s.value
    last = last_shift(inquiry)
    if last is not None and alone > 0.0:
        intervals += [(end, end + alone) for _, end in shift_intervals(last, pauses=())]
    return intervals
