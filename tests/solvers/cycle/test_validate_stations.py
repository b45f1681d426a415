"""One arm and a station of every kind, by hand: what holds passes, and one thing spoilt is told in its own words."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import pytest

from millhand.model.cell import Cell, CellPart
from millhand.model.duty import Duty, Trigger
from millhand.model.schedule import Schedule
from millhand.model.span import Span
from millhand.model.station import Station
from millhand.solvers.cycle.checking.validate import violations
from tests.solvers.cycle.timetables import Line, arm, cell_of, ends_at, shifted, step, timetable

MACHINE = Station(kind="process", place="p1")
QUEUED = replace(MACHINE, in_queue=1, out_queue=1)
GATE = {"raw": Station(kind="gate", place="p0", turnaround_s=3.0)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A cell with a timetable that is right for it."""

    cell: Cell
    lines: tuple[Line, ...]
    period: int
    parts: int = 1

    @property
    def schedule(self) -> Schedule:
        """The timetable as a schedule."""
        return timetable(self.cell, self.lines, period=self.period, parts=self.parts)


def one_machine(
    station: Station = MACHINE, *, time_s: float = 5.0, most_s: float | None = None, hands: int = 1
) -> Cell:
    """A supply, one machine or store, an outfeed, and one arm."""
    inner = step("m1", time_s=time_s if station.kind == "process" else None, stay_max_s=most_s)
    stations = {**ends_at("p0", "p2"), "m1": station}
    return cell_of(stations, (step("raw"), inner, step("done")), {"a1": arm("p0", hands=hands)})


def by(kind: str, at: str, start: int, **more: object) -> Line:
    """A line of the arm."""
    return Line(who="a1", kind=kind, at=at, start=start, **more)  # type: ignore[arg-type]


def work(start: int, takes: int, **more: object) -> Line:
    """The machine works."""
    return Line(who=None, kind="work", at="m1", start=start, takes=takes, **more)  # type: ignore[arg-type]


# One part in, the one before out: both at the machine in one stop.
PASSING = (by("pick", "raw", 0), by("place", "m1", 3), by("pick", "m1", 16), by("place", "done", 19))
LATER = (*PASSING[:2], by("pick", "m1", 28), by("place", "done", 31))
WAITING = (by("pick", "raw", 0), by("place", "m1", 3), by("pick", "m1", 9), by("place", "done", 12))
PAIR = (
    by("pick", "raw", 0), by("place", "m1", 3), by("pick", "raw", 6, unit=1), by("place", "m1", 9, unit=1),
    by("pick", "m1", 20), by("place", "done", 23), by("pick", "m1", 26, unit=1), by("place", "done", 29, unit=1),
)  # fmt: skip
BY_ITSELF = (Line(who=None, kind="self", at="raw", to="m1", start=0, takes=0), work(0, 5), by("pick", "m1", 5),
             by("place", "done", 8))  # fmt: skip
EXCHANGE = (by("pick", "raw", 0), by("swap", "m1", 3, out_lap=1), work(4, 5), by("place", "done", 17))


def two_types() -> Cell:
    """Two part types in turn on one machine, one of them longer."""
    cell = one_machine()
    return replace(cell, parts={
        "a": CellPart(route=(step("raw"), step("m1", time_s=5.0), step("done")), share=0.5),
        "b": CellPart(route=(step("raw"), step("m1", time_s=9.0), step("done")), share=0.5),
    })  # fmt: skip


def in_turn(first: str, second: str) -> tuple[Line, ...]:
    """One part each, the machine waited for."""
    longer = (by("pick", "raw", 17), by("place", "m1", 20), by("pick", "m1", 30), by("place", "done", 33))
    later = (replace(each, part=second, unit=1) for each in longer)
    return (*(replace(each, part=first) for each in WAITING), *later)


def gauged(duty: Duty | None = None) -> Cell:
    """The arm itself gauges each part at a bench."""
    gauge = Duty(trigger=Trigger(kind="parts", at=("m1",), every_n=1), who=("a1",), place="p3", takes=Span(mean_s=3.0))
    return replace(one_machine(), duties={"gauge": duty or gauge})


def with_gate(turnaround_s: float = 3.0) -> Cell:
    """Parts come and go at one spot."""
    stations = {"g": Station(kind="gate", place="p0", turnaround_s=turnaround_s), "m1": MACHINE}
    return cell_of(stations, (step("g"), step("m1", time_s=5.0), step("g")), {"a1": arm("p0")})


BENCH = (*WAITING, by("duty", "p3", 15, takes=3, part="gauge"))
AT_GATE = (by("pick", "g", 0), by("place", "m1", 3), by("pick", "m1", 9), by("place", "g", 12))

CASES = {
    "a machine waited for": Case(cell=one_machine(), lines=WAITING, period=17),
    "an attended machine": Case(cell=one_machine(replace(MACHINE, attended=True)), lines=WAITING, period=17),
    "a window": Case(cell=one_machine(most_s=5.0), lines=WAITING, period=17),
    "two slots": Case(cell=one_machine(replace(MACHINE, capacity=2), time_s=12.0), lines=PASSING, period=12),
    "three slots": Case(cell=one_machine(replace(MACHINE, capacity=3), time_s=24.0), lines=LATER, period=12),
    "a store": Case(cell=one_machine(replace(MACHINE, kind="store", capacity=2)), lines=PASSING, period=12),
    "own buffers": Case(cell=one_machine(QUEUED, time_s=12.0), lines=(*PASSING, work(4, 12)), period=12),
    "loads of two": Case(
        cell=one_machine(replace(MACHINE, batch=2), time_s=10.0), lines=(*PAIR, work(10, 10)), period=34, parts=2
    ),
    "by itself": Case(cell=one_machine(replace(MACHINE, self_in=True)), lines=BY_ITSELF, period=11),
    "an exchange": Case(cell=one_machine(hands=2), lines=EXCHANGE, period=11),
    "two part types": Case(cell=two_types(), lines=in_turn("a", "b"), period=38, parts=2),
    "a duty": Case(cell=gauged(), lines=BENCH, period=24),
    "a gate": Case(cell=with_gate(), lines=AT_GATE, period=16),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_sound_timetable_passes(name: str) -> None:
    """Every kind of station, load and visit."""
    case = CASES[name]

    assert violations(case.cell, case.schedule) == []


@pytest.mark.parametrize("name", CASES)
def test_a_period_may_begin_anywhere(name: str) -> None:
    """The same cycle cut at any other second breaks no rule: what lies where at first follows from the laps."""
    case = CASES[name]
    for later in range(1, case.period):
        lines = [replace(line, start=line.start + later) for line in case.lines]
        assert violations(case.cell, timetable(case.cell, lines, period=case.period, parts=case.parts)) == []


def swapped(lines: Sequence[Line], old: Line, new: Line) -> tuple[Line, ...]:
    """The lines with one of them changed."""
    return tuple(new if line is old else line for line in lines)


def change(name: str, **fields: object) -> Case:
    """A case with another cell or other lines."""
    return replace(CASES[name], **fields)  # type: ignore[arg-type]


def machine(name: str, **fields: object) -> Case:
    """A case whose machine has other fields."""
    cell = CASES[name].cell
    other = replace(cell.stations["m1"], **fields)  # type: ignore[arg-type]
    return change(name, cell=replace(cell, stations={**cell.stations, "m1": other}))


THREE = (by("pick", "raw", 0), by("pick", "raw", 1), by("pick", "raw", 2), by("place", "m1", 5), by("place", "m1", 6),
         by("place", "m1", 7), by("pick", "m1", 18), by("place", "done", 21), by("pick", "m1", 24),
         by("place", "done", 27), by("pick", "m1", 30), by("place", "done", 33))  # fmt: skip

SPOILT: list[tuple[Callable[[], Case], str]] = [
    (lambda: machine("two slots", capacity=1), "2 parts lie at m1, room is for 1"),
    (lambda: machine("three slots", capacity=2), "3 parts lie at m1, room is for 2"),
    (lambda: machine("a store", capacity=1), "2 parts lie at m1, room is for 1"),
    (lambda: change("two slots", cell=one_machine(replace(MACHINE, capacity=2), time_s=13.0)),
     "part stays 12 steps at m1, at least 13 are needed"),
    (lambda: change("a window", cell=one_machine(time_s=3.0, most_s=4.0)),
     "part stays 5 steps at m1, at most 4 are allowed"),
    (lambda: change("own buffers", lines=(*PASSING, work(4, 13))),
     "m1 still holds the part before when the next one comes in"),
    (lambda: change("own buffers", lines=(*PASSING, work(4, 11))), "m1 works 11 steps, not 12"),
    (lambda: change("own buffers", lines=(*PASSING, work(3, 12))), "m1 starts before its part is there"),
    (lambda: machine("own buffers", in_queue=0), "m1 still holds the part before when the next one comes in"),
    (lambda: machine("own buffers", out_queue=0), "m1 still holds the part before when the next one comes in"),
    (lambda: change("own buffers", lines=(*LATER, work(16, 12))),
     "the buffer before m1 is full when the next part is set down"),
    (lambda: change("own buffers", lines=(*PASSING, work(5, 12))), "a part is lifted from m1 before it is done"),
    (lambda: change("own buffers", lines=PASSING), "a part that was not worked on is lifted from m1"),
    (lambda: machine("loads of two", batch=3), "m1 starts with"),
    (lambda: change("loads of two", lines=(*PAIR, work(4, 10))), "m1 starts with 1 of 2 parts"),
    (lambda: machine("loads of two", batch=1), "2 parts lie at m1, room is for 1"),
    (lambda: machine("by itself", self_in=False), "nothing moves by itself from raw to m1"),
    (lambda: change("by itself", lines=swapped(BY_ITSELF, BY_ITSELF[0], replace(BY_ITSELF[0], takes=1))),
     "the way from raw to m1 by itself takes time"),
    (lambda: change("by itself", lines=swapped(BY_ITSELF, BY_ITSELF[0], replace(BY_ITSELF[0], to="done"))),
     "part moves by itself to done, where it does not belong"),
    (lambda: change("an exchange", cell=one_machine(hands=1)), "a1 cannot do a swap at m1"),
    (lambda: Case(cell=one_machine(replace(MACHINE, capacity=3), hands=2), lines=THREE, period=38, parts=3),
     "a1 would hold 3 parts with 2 hands at raw"),
    (lambda: change("two part types", lines=in_turn("b", "a")), "b stays 5 steps at m1, at least 9 are needed"),
    (lambda: change("two part types", lines=in_turn("a", "a")),
     "2 of 2 parts are a, which is not its share of the mix"),
    (lambda: change("a duty", lines=swapped(BENCH, BENCH[-1], replace(BENCH[-1], takes=2))),
     "gauge takes 2 steps, not 3"),
    (lambda: change("a duty", lines=swapped(BENCH, BENCH[-1], replace(BENCH[-1], at="p2"))),
     "gauge is done at p2, not at p3"),
    (lambda: change("a duty", lines=swapped(BENCH, BENCH[-1], replace(BENCH[-1], start=14))),
     "a1 reaches p3 1 steps too late for its duty"),
    (lambda: change("a duty", lines=(*BENCH, by("duty", "p3", 18, takes=3, part="gauge")), period=27),
     "gauge comes 2 times in a period, not 1 times"),
    (lambda: change("a duty", lines=swapped(BENCH, BENCH[-1], replace(BENCH[-1], part="wash"))),
     "05 duty p3 is no duty of the cell"),
    (lambda: change("a gate", cell=with_gate(4.0)), "g has 3 steps to turn around, not 4"),
    (lambda: machine("two slots", attended=True), "a1 reaches m1 12 steps too late for its pick"),
]  # fmt: skip


@pytest.mark.parametrize("number", range(len(SPOILT)))
def test_one_thing_spoilt_is_told_in_its_own_words(number: int) -> None:
    """Each rule has its own sentence."""
    case, words = SPOILT[number][0](), SPOILT[number][1]
    told = violations(case.cell, case.schedule)

    assert any(each.startswith(words) for each in told), told


def test_a_part_that_moves_by_itself_may_have_two_numbers() -> None:
    """Its lift and its set-down belong together where arcs tie them, also without a number in common."""
    case = CASES["by itself"]
    names = {"01 set m1": "09 set m1", "01 placed m1": "09 placed m1"}
    found = case.schedule
    events = tuple(replace(each, id=names.get(each.id, each.id)) for each in found.events)
    arcs = tuple(
        replace(arc, before=names.get(arc.before, arc.before), after=names.get(arc.after, arc.after))
        for arc in found.arcs
    )
    critical = tuple(names.get(each, each) for each in found.critical)

    assert violations(case.cell, replace(found, events=events, arcs=arcs, critical=critical)) == []


def test_with_endless_slots_own_buffers_pass_as_they_are() -> None:
    """What one slot allows endless ones allow too: no part waits for the one before it."""
    case = machine("own buffers", capacity=None)

    assert violations(case.cell, case.schedule) == []


def test_with_several_slots_it_has_to_be_said_which() -> None:
    """A schedule that names the machine and not its buffers does not pass for one with two slots."""
    case = machine("own buffers", capacity=2)

    assert violations(case.cell, case.schedule)


# Lines of these timetables that may also come later by so many seconds: work that has time to spare.
SPARE = {("an exchange", 3): range(1, 6), ("by itself", 2): range(0), ("own buffers", 5): range(0)}


@pytest.mark.parametrize("name", CASES)
def test_a_shifted_line_is_told(name: str) -> None:
    """Each visit, duty and start fits at its one time only, but for those that have time to spare."""
    case = CASES[name]
    for number in range(1, len(case.lines) + 1):
        for later in range(1, case.period):
            spare = later in SPARE.get((name, number), ())
            moved = replace(case, lines=shifted(case.lines, number, later))
            told = violations(moved.cell, moved.schedule)
            assert bool(told) is not spare, (number, later, told)


def test_a_duty_that_a_cycle_leaves_out_is_named_by_its_id() -> None:
    """The words for the reader name none."""
    bare = replace(timetable(gauged(), WAITING, period=17), left_out=("duty gauge: its mean load is in the bound",))

    assert violations(gauged(), bare) == ["gauge comes 0 times in a period, not 1 times"]
    assert violations(gauged(), replace(bare, duties_left_out=("gauge",))) == []
