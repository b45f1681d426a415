"""What is said of machines that feed themselves, hold hands or keep a part for a while, against the other figures.

First what cannot be, refused in words; then what can hardly be right together, asked about.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.errors import InputError
from millhand.intake.inquiry_sums import elements_at, least, load_s, most, place_of, written
from millhand.intake.text import duration
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.odd import Odd
from millhand.model.part import Operation, Part


def asked(code: str, words: str, *facts: Fact | Choice, where: str = "") -> Odd:
    """A question about these facts."""
    return Odd(code=code, words=words, facts=tuple(dict.fromkeys(fact.id for fact in facts)), where=where)


def feeding(inquiry: Inquiry) -> Iterator[InputError]:
    """A bar that gives no part or is cut two at a time, and a window at a machine that needs nobody."""
    for part in inquiry.parts:
        for op in part.operations:
            yield from bar_gives_none(part, op)
            yield from window_alone(op)


def bar_gives_none(part: Part, op: Operation) -> Iterator[InputError]:
    """A bar holds its remnant and a part at least, and one part is cut from it at a time."""
    bar = op.bar
    if bar is None:
        return
    pitch_m = part.raw.length_m.value + bar.cut_off_m.value
    if bar.length_m.value - bar.remnant_m.value < pitch_m:
        read = f"a bar of {bar.length_m.value:g} m"
        write = (
            f"a bar longer than its remnant of {bar.remnant_m.value * 1000:g} mm and a part with its cut-off, "
            f"{pitch_m * 1000:g} mm, or the right raw length of {part.name}"
        )
        yield InputError(place_of(bar.length_m), read, write, "bar_too_short")
    if op.parts_per_cycle.value > 1.0:
        read = f"{op.parts_per_cycle.value:g} parts per cycle from one bar"
        write = "parts_per_cycle: 1, with the time of one part; of several spindles the time between two parts"
        yield InputError(place_of(op.parts_per_cycle), read, write, "bar_and_several")


def window_alone(op: Operation) -> Iterator[InputError]:
    """Parts that leave the machine without anybody wait for nobody."""
    window = op.take_out_within_s
    if window is not None and op.cycles_per_visit is not None:
        write = "either take_out_within, where somebody takes each part out, or cycles_per_visit, where nobody does"
        yield InputError(place_of(window), f"take_out_within {window.value:g} s", write, "window_alone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """One window against the work at the machines of the same operator [s], what is assumed read at its kinder end."""

    op: Operation
    told: Fact
    words: str
    tended: float
    work_s: float  # of one load with its ways, whoever waits
    stays_s: float  # of each part in the machine, where the operator sets the pace


def windows(inquiry: Inquiry) -> Iterator[Window]:
    """Every window of the file."""
    machines, tended = {machine.name: machine for machine in inquiry.machines}, inquiry.people.machines_per_operator
    for part in inquiry.parts:
        for op in part.operations:
            told, count = op.take_out_within_s, machines[op.machine].count
            if told is None:
                continue
            several, work_s = min(count.value, tended.value), load_s(inquiry, op, "outside", "inside")
            if several > 1.0:  # to the machine and back: the rack lies half the way from one to the next
                work_s += least(inquiry.today.walk_s)
            yield Window(
                op=op, told=told, tended=several, work_s=work_s,
                words=f"{part.name}, {op.name}: a finished part may stay {duration(told.value)} in the machine",
                stays_s=several * work_s - most(op.time_s) - load_s(inquiry, op, "outside"),
            )  # fmt: skip


def about(inquiry: Inquiry, op: Operation) -> tuple[Fact, ...]:
    """What to ask for again where a window is missed."""
    elements = (each.time_s for each in elements_at(inquiry, op))
    return op.time_s, inquiry.people.machines_per_operator, *elements


def window_missed(inquiry: Inquiry) -> Iterator[Odd]:
    """A part that has to leave sooner than the operator comes round, in each round."""
    for each in windows(inquiry):
        if each.stays_s <= each.told.value:
            continue
        words = (
            f"{each.words}, and one operator with {each.tended:g} such machines has {each.tended * each.work_s:.3g} s "
            f"of work in a round: each part stays {each.stays_s:.3g} s, {each.stays_s / each.told.value - 1.0:.0%} too "
            "long. "
            "Ask again for take_out_within, the times of today.elements and how many machines one operator tends."
        )
        yield asked("window_missed", words, each.told, *about(inquiry, each.op), where=place_of(each.told))


def window_by_chance(inquiry: Inquiry) -> Iterator[Odd]:
    """A load of another machine that takes longer than a part may wait."""
    for each in windows(inquiry):
        if each.tended <= 1.0 or not each.stays_s <= each.told.value < each.work_s:
            continue
        words = (
            f"{each.words}, and a load of the next machine takes the operator {each.work_s:.3g} s: a part that is "
            "ready meanwhile comes out late and is scrap. Does he leave that work for it, or may it stay longer?"
        )
        yield asked("window_by_chance", words, each.told, *about(inquiry, each.op))


def place_in_line(inquiry: Inquiry) -> Iterator[Odd]:
    """An element that is said to be done at one machine of a line, and is counted at each of its operations."""
    for part in inquiry.parts:
        at = {op.machine: op.name for op in part.operations}
        for each in inquiry.today.elements if len(at) > 1 else ():
            if each.operation is None and each.place in at:
                words = (
                    f"{each.name} is done at {each.place} and counted at each operation of {part.name}. If it belongs "
                    f"to one of them, write operation: {at[each.place]}; does it?"
                )
                yield asked("element_of_each", words, each.time_s)


def feeder_in_line(inquiry: Inquiry) -> Iterator[Odd]:
    """A bar feeder before a further operation, of which nobody said how many parts it feeds alone."""
    machines = {machine.name: machine for machine in inquiry.machines}
    for part in inquiry.parts:
        for op in part.operations if len(part.operations) > 1 else ():
            extra = machines[op.machine].extra
            if extra.value == "bar_feeder" and written(extra) and op.cycles_per_visit is None:
                words = (
                    f"{part.name}, {op.name}: a bar feeder is there, and a further operation takes the parts one at a "
                    "time, so each is counted with a visit. Are parts collected between the two, and how many?"
                )
                yield asked("feeder_in_line", words, extra)
