"""Lots that end, by hand: from an empty cell to an empty cell, nothing repeats."""

from dataclasses import replace

import pytest

from millhand.model.cell import Cell, CellPart, Lot
from millhand.model.schedule import Schedule
from millhand.model.station import Station
from millhand.solvers.cycle.checking.validate import violations
from tests.solvers.cycle.timetables import Line, arm, cell_of, ends_at, step, tied, timetable

ONE = (
    Line(who="a1", kind="pick", at="raw", start=0),
    Line(who="a1", kind="place", at="m1", start=3),
    Line(who=None, kind="work", at="m1", start=4, takes=5),
    Line(who="a1", kind="pick", at="m1", start=9),
    Line(who="a1", kind="place", at="done", start=12),
)
LINES = (*ONE, *(replace(line, start=line.start + 17, unit=1) for line in ONE))
END = 30


def lots(size: int = 2, **fields: object) -> Cell:
    """One machine, one arm, one lot."""
    stations = {**ends_at("p0", "p2"), "m1": Station(kind="process", place="p1")}
    cell = cell_of(stations, (step("raw"), step("m1", time_s=5.0), step("done")), {"a1": arm("p0")})
    part = replace(cell.parts["part"], lot=Lot(size=size))
    return replace(cell, goal="makespan", parts={"part": part}, **fields)  # type: ignore[arg-type]


def two_types() -> Cell:
    """A lot of one part of each of two types; the first in the file comes first."""
    (part,) = lots(1).parts.values()
    one = CellPart(route=part.route, lot=part.lot)
    return replace(lots(), parts={"a": one, "b": one})


def spoilt(number: int, **fields: object) -> Schedule:
    """The timetable with one line changed."""
    lines = [replace(line, **fields) if n == number else line for n, line in enumerate(LINES, 1)]  # type: ignore[arg-type]
    return timetable(lots(), lines, period=END, parts=2)


SOUND = timetable(lots(), LINES, period=END, parts=2)


def test_lots_that_end_pass() -> None:
    """Two parts one after the other; the same with two types in file order."""
    typed = [replace(line, part="a" if line.unit == 0 else "b") for line in LINES]

    assert violations(lots(), SOUND) == []
    assert violations(two_types(), timetable(two_types(), typed, period=END, parts=2)) == []


def test_types_come_lot_after_lot() -> None:
    """The second type of the file may not come first."""
    typed = [replace(line, part="b" if line.unit == 0 else "a") for line in LINES]

    assert "raw does not give its parts lot after lot" in violations(
        two_types(), timetable(two_types(), typed, period=END, parts=2)
    )


def from_home(place: str, later: int = 0) -> Schedule:
    """The timetable with an event that says where the arm begins."""
    lines = [replace(line, start=line.start + later) for line in LINES]
    found = timetable(lots(), lines, period=END + later, parts=2)
    first = replace(found.events[0], id="00 depart a1", station="", what="depart", part="", at_steps=0, place=place)
    return tied(replace(found, events=(first, *found.events)))


def test_a_departure_alone_says_where_somebody_begins() -> None:
    """At home, and the way from there counts."""
    assert violations(lots(), from_home("p0")) == []
    assert "a1 begins at p1, not at its home p0" in violations(lots(), from_home("p1", 2))
    assert any("steps too late for its pick" in each for each in violations(away(), from_home("p2", 3)))
    assert violations(away(), from_home("p2", 4)) == []


def test_several_lots_come_round_by_round() -> None:
    """Two lots of one part of each type: one of each, then again one of each."""
    (part,) = lots(1).parts.values()
    twice = CellPart(route=part.route, lot=Lot(size=1, count=2))
    cell = replace(lots(), parts={"a": twice, "b": twice})
    ones = [[replace(line, start=line.start + 17 * n, unit=n) for line in ONE] for n in range(4)]
    for order, right in (("abab", True), ("aabb", False)):
        lines = [replace(line, part=part) for part, one in zip(order, ones, strict=True) for line in one]
        told = violations(cell, timetable(cell, lines, period=64, parts=4))
        assert (told == []) is right, told


def away() -> Cell:
    """The arm has its home elsewhere."""
    return lots(attendants={"a1": replace(lots().attendants["a1"], home="p2")})


def stocked(**stations: Station) -> Cell:
    """Some stations with a limit."""
    return lots(stations={**lots().stations, **stations})


@pytest.mark.parametrize(
    ("cell", "schedule", "words"),
    [
        (lots(3), SOUND, "all lots are 3 parts, not 2"),
        (lots(3), SOUND, "2 part enter and 2 leave, not 3"),
        (away(), SOUND, "a1 cannot be at p0 in time for its first pick"),
        (stocked(raw=Station(kind="supply", place="p0", capacity=9, start=1)), SOUND,
         "2 parts are lifted from raw, which starts with 1"),
        (stocked(done=Station(kind="sink", place="p2", capacity=1)), SOUND, "2 parts are put into done, room is for 1"),
        (lots(), replace(SOUND, period_steps=31), "the last event comes after 30 steps, not 31"),
        (lots(), replace(SOUND, critical=()), "no critical chain is named that ends with the last event"),
        (lots(), replace(SOUND, arcs=SOUND.arcs[2:]),
         "the critical chain has no arc without slack from 01 lift raw to 01 lifted raw"),
        (lots(), replace(SOUND, goal="rate"), "the cell's goal is makespan, not rate"),
        (lots(), spoilt(4, start=8), "part stays 4 steps at m1, at least 5 are needed"),
        (lots(), spoilt(6, start=16), "a1 reaches raw 1 steps too late for its pick"),
        (lots(), spoilt(10, at="m1"), "2 part enter and 1 leave, not 2"),
    ],
)  # fmt: skip
def test_one_thing_spoilt_is_told_in_its_own_words(cell: Cell, schedule: Schedule, words: str) -> None:
    """Each rule of lots has its own sentence."""
    told = violations(cell, schedule)

    assert any(each.startswith(words) for each in told), told


def test_a_lap_in_lots_is_told() -> None:
    """Nothing repeats, so no arc goes over a period."""
    lapped = replace(SOUND.arcs[0], laps=1)

    assert "something repeats in a schedule of lots that end" in violations(
        lots(), replace(SOUND, arcs=(*SOUND.arcs, lapped))
    )
