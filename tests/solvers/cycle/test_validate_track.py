"""Two arms on one track: their order and distance at every moment, in time and by the arcs."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.model.cell import Cell, Lot, Track
from millhand.model.schedule import Arc, Event, Schedule
from millhand.model.station import Station
from millhand.solvers.cycle.checking.clearance import Stretch, apart
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.unrolled import At
from tests.solvers.cycle.timetables import Line, arm, cell_of, ends_at, shifted, step, timetable

PERIOD = 10
LINES = (
    Line(who="a1", kind="pick", at="raw", start=0),
    Line(who="a1", kind="motion", at="p0", to="p1", start=1, takes=2),
    Line(who="a1", kind="place", at="m1", start=3),
    Line(who="a1", kind="motion", at="p1", to="p0", start=4, takes=2),
    Line(who="a2", kind="motion", at="p2", to="p1", start=7, takes=2),
    Line(who="a2", kind="pick", at="m1", start=9),
    Line(who="a2", kind="motion", at="p1", to="p3", start=10, takes=4),
    Line(who="a2", kind="place", at="done", start=14),
    Line(who="a2", kind="motion", at="p3", to="p2", start=15, takes=2),
)


def two_arms(*, time_s: float = 5.0, most_s: float | None = None, keep_m: float = 0.5, rule: str = "apart") -> Cell:
    """One arm loads the machine, the other one unloads it."""
    stations = {**ends_at("p0", "p3"), "m1": Station(kind="process", place="p1")}
    worked = replace(step("m1", time_s=time_s), stay_max_s=most_s)
    cell = cell_of(stations, (step("raw"), worked, step("done")), {"a1": arm("p0"), "a2": arm("p3")})
    track = Track(attendants=("a1", "a2"), keep_m=keep_m, rule=rule)  # type: ignore[arg-type]
    return replace(cell, tracks={"rail": track})


def loose(schedule: Schedule) -> Schedule:
    """The same timetable with no more arcs than the cell needs."""
    ids = {(event.id[:2], event.what): event for event in schedule.events}

    def arc(before: tuple[str, str], after: tuple[str, str], lag: int, laps: int) -> Arc:
        return Arc(before=ids[before].id, after=ids[after].id, lag_steps=lag, laps=laps, why="needed")

    def exact(before: tuple[str, str], after: tuple[str, str], lag: int, laps: int = 0) -> Iterator[Arc]:
        wraps = laps + (ids[after].at_steps < ids[before].at_steps)
        yield from (arc(before, after, lag, wraps), arc(after, before, -lag, -wraps))

    pairs = [("lift", "lifted"), ("set", "placed"), ("depart", "arrive")]
    arcs = [each for number, line in enumerate(LINES, 1) for pair in pairs if (f"{number:02d}", pair[0]) in ids
            for each in exact((f"{number:02d}", pair[0]), (f"{number:02d}", pair[1]), line.takes)]  # fmt: skip
    for before, after in ((("02", "arrive"), ("03", "set")), (("07", "arrive"), ("08", "set"))):
        arcs += exact(before, after, 0)
    arcs += [
        arc(("01", "lifted"), ("02", "depart"), 0, 0),
        arc(("06", "lifted"), ("07", "depart"), 0, 0),
        arc(("03", "placed"), ("04", "depart"), 0, 0),
        arc(("04", "arrive"), ("01", "lift"), 0, 1),
        arc(("05", "arrive"), ("06", "lift"), 0, 0),
        arc(("08", "placed"), ("09", "depart"), 0, 0),
        arc(("09", "arrive"), ("05", "depart"), 0, 0),
        arc(("03", "placed"), ("06", "lift"), 5, 0),
        arc(("04", "depart"), ("05", "depart"), -1, 0),  # a1 has made way before a2 comes near
        arc(("07", "depart"), ("02", "depart"), -1, 0),  # a2 has gone before a1 comes near
    ]
    critical = ("05 depart p2", "05 arrive p1", "06 lift m1", "06 lifted m1", "07 depart p1", "07 arrive p3",
                "08 set done", "08 placed done", "09 depart p3", "09 arrive p2")  # fmt: skip
    return replace(schedule, arcs=tuple(arcs), critical=critical)


SOUND = timetable(two_arms(), LINES, period=PERIOD)


def test_two_arms_that_keep_their_distance_pass() -> None:
    """The hand-made cycle breaks no rule, and its few arcs are enough."""
    assert violations(two_arms(), SOUND) == []
    assert violations(two_arms(), loose(SOUND)) == []
    assert violations(two_arms(rule="order"), SOUND) == []


@pytest.mark.parametrize("number", range(len(loose(SOUND).arcs)))
def test_each_arc_is_needed(number: int) -> None:
    """Without any one of them a wait is not demanded, or a distance not kept."""
    found = loose(SOUND)
    left = replace(found, arcs=tuple(each for each in found.arcs if each is not found.arcs[number]))

    words = violations(two_arms(), left)
    assert any(each.startswith(("no arcs", "the critical circuit has no arc")) for each in words)


@pytest.mark.parametrize("number", [-2, -1])
def test_an_arc_that_keeps_the_arms_apart_may_not_be_a_step_shorter(number: int) -> None:
    """One step less, and the arms may come too near."""
    found = loose(SOUND)
    short = replace(found.arcs[number], lag_steps=-2)
    words = violations(
        two_arms(), replace(found, arcs=tuple(short if a is found.arcs[number] else a for a in found.arcs))
    )

    assert words
    assert all(each.startswith("no arcs keep a1") for each in words)


def test_an_arm_that_comes_too_early_is_told() -> None:
    """The machine is done soon, and the second arm comes while the first is still on its way back."""
    cell = two_arms(time_s=0.0)
    lines = [replace(line, start=line.start - 5) if line.who == "a2" else line for line in LINES]
    words = violations(cell, timetable(cell, lines, period=PERIOD))

    assert "a1 standing at p1 and a2 on its way from p2 to p1 come too near to each other" in words
    early = [replace(line, start=line.start - 4) if line.who == "a2" else line for line in LINES]
    assert violations(cell, timetable(cell, early, period=PERIOD)) == []


def test_an_arm_that_stands_in_the_way_is_told() -> None:
    """The second arm waits at the machine instead of beside it."""
    early = replace(LINES[4], start=17)
    lines = [early if line is LINES[4] else line for line in LINES]
    words = violations(two_arms(), timetable(two_arms(), lines, period=20))

    assert "a1 on its way from p0 to p1 and a2 standing at p1 come too near to each other" in words
    assert "a1 standing at p1 and a2 standing at p1 come too near to each other" in words


def test_more_distance_than_there_is_is_told() -> None:
    """A step more than the cycle keeps, and it is told; the distance of the cycle itself is right."""
    assert violations(two_arms(keep_m=1.0), SOUND) == []
    assert any("come too near" in each for each in violations(two_arms(keep_m=1.5), SOUND))


@settings(max_examples=60)
@given(number=st.integers(1, len(LINES)), by=st.integers(1, PERIOD - 1))
def test_a_shifted_visit_or_motion_is_told(number: int, by: int) -> None:
    """Each visit and each motion fits at its one time only, but for the way back and the lift that follows it: the arm
    has 4 s to spare before it has to set out again."""
    spare = (number == 4 and by <= 4) or (number == 1 and by >= 6)

    assert bool(violations(two_arms(), timetable(two_arms(), shifted(LINES, number, by), period=PERIOD))) is not spare


def test_a_loaded_arm_may_wait_for_the_rail_but_not_where_it_sets_down() -> None:
    """A second longer before it sets out is a wait for the rail, unless the machine's stay is limited; a second longer
    at its goal is not allowed."""
    late = [replace(line, start=line.start + 1) if number > 1 and line.who == "a1" else line
            for number, line in enumerate(LINES, 1)]  # fmt: skip
    slow = [replace(line, start=line.start + 1) if line.who == "a2" else line for line in late]
    early = [replace(line, start=line.start - 1) if line is slow[1] else line for line in slow]

    assert violations(two_arms(), timetable(two_arms(), slow, period=PERIOD)) == []
    windows = two_arms(most_s=30.0)
    assert violations(windows, timetable(windows, list(LINES), period=PERIOD)) == []
    assert "a1 waits with a part in its only hand between raw and m1" in " ".join(
        violations(windows, timetable(windows, slow, period=PERIOD))
    )
    assert "a1 waits with a part in its only hand before m1" in violations(
        two_arms(), timetable(two_arms(), early, period=PERIOD)
    )


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (replace(LINES[1], takes=1, start=2), "a1 goes from p0 to p1 in 1 steps, not 2"),
        (replace(LINES[1], to="p2"), "a1 stands at p2 when its place begins at p1"),
        (replace(LINES[1], at="p1", to="p1"), "a1 stands at p0 when its motion begins at p1"),
    ],
)
def test_a_motion_that_is_none_is_told(line: Line, words: str) -> None:
    """A motion takes its time, and goes from where the arm stands to where it works."""
    lines = [line if each is LINES[1] else each for each in LINES]

    assert words in violations(two_arms(), timetable(two_arms(), lines, period=PERIOD))


def test_arms_that_pass_each_other_are_told() -> None:
    """Each goes where the other one was: in order at neither end."""
    lines = [*LINES[:4], Line(who="a2", kind="motion", at="p3", to="p0", start=0, takes=6),
             Line(who="a2", kind="motion", at="p0", to="p3", start=6, takes=6)]  # fmt: skip
    cell = two_arms()
    words = violations(cell, timetable(cell, lines, period=12))

    assert any("come too near" in each for each in words)
    assert any(
        "come too near" in each for each in violations(two_arms(rule="order"), timetable(cell, lines, period=12))
    )


def event(name: str) -> At:
    """An event in the period."""
    return At(event=Event(id=name, attendant="a", station="", what="depart", part="", lap=0, at_steps=0), lap=0)


def motion(start_m: int, end_m: int, takes: int, name: str) -> Stretch:
    """A motion of one arm."""
    return Stretch(who=name, words=name, start=event(name), end=event(name), takes=takes,
                   leaves_m=Fraction(start_m), comes_m=Fraction(end_m))  # fmt: skip


def nearest(low: Stretch, high: Stretch, later: int) -> Fraction | None:
    """The least distance of two motions, the higher one so many twelfths of a second later; both ends left out."""
    assert low.takes is not None
    assert high.takes is not None
    times = [tick for tick in range(1, 24 * low.takes) if 0 < tick - 2 * later < 24 * high.takes]
    return min((high.at_m(Fraction(t - 2 * later, 24)) - low.at_m(Fraction(t, 24)) for t in times), default=None)


@settings(max_examples=100)
@given(
    low=st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(1, 5)),
    high=st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(1, 5)),
    keep=st.integers(0, 2),
)
def test_the_window_of_two_motions_is_what_a_film_of_them_shows(
    low: tuple[int, int, int], high: tuple[int, int, int], keep: int
) -> None:
    """Begun so many twelfths of a second apart, they come too near in the film just where the window says so."""
    one, other = motion(*low, "low"), motion(*high, "high")
    clear = apart(one, other, keep=Fraction(keep), by_order=False)
    for later in range(-60, 61, 6):
        gap = nearest(one, other, later)
        filmed = gap is not None and gap < keep
        told = clear is not None and all(wait is not None for wait in clear)
        if told and clear is not None and clear[0] is not None and clear[1] is not None:
            told = -clear[1].lag < Fraction(later, 12) < clear[0].lag
        assert told or not filmed
        assert filmed or not told or narrow(one, other, keep, Fraction(later, 12))


def narrow(low: Stretch, high: Stretch, keep: int, later: Fraction) -> bool:
    """Whether the film may miss it: the distance is right at its pictures, and wrong for less than a twelfth."""
    finest = [Fraction(tick, 2400) for tick in range(1, 2400 * (low.takes or 0))]
    return any(
        high.at_m(since - later) - low.at_m(since) < keep for since in finest if 0 < since - later < (high.takes or 0)
    )


def test_lots_hold_no_part_in_the_air_either() -> None:
    """A second longer before the arm sets out with a part is a wait for the rail, unless the machine's stay is
    limited."""
    lines = (
        *LINES[:4],
        Line(who=None, kind="work", at="m1", start=4, takes=5),
        Line(who="a2", kind="motion", at="p3", to="p1", start=5, takes=4),
        Line(who="a2", kind="pick", at="m1", start=9),
        Line(who="a2", kind="motion", at="p1", to="p3", start=10, takes=4),
        Line(who="a2", kind="place", at="done", start=14),
    )
    slow = shifted(shifted(lines, 8, 1), 9, 1)
    for most_s, wrong in ((None, []), (30.0, ["a2 waits with a part in its only hand between m1 and done"])):
        cell = two_arms(most_s=most_s)
        parts = {"part": replace(cell.parts["part"], lot=Lot(size=1))}
        ends = replace(cell, goal="makespan", parts=parts)

        assert violations(ends, timetable(ends, lines, period=15)) == []
        assert [words.split(" before")[0] for words in violations(ends, timetable(ends, slow, period=16))] == wrong
