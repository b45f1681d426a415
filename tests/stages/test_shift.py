"""Which shift is watched: not the first day's, one in which something stops, and no more of it than a page can hold."""

from dataclasses import replace

import pytest

from millhand.report.running import WHY
from millhand.solvers.played import Overview
from millhand.stages.shift import (
    DAY_S,
    FIRST_DAY,
    HOUR_S,
    MOST_LINES,
    ONLY_DAY,
    STOPPED,
    Candidate,
    candidates,
    choice,
    cut,
)
from tests.report.fixture_inquiry import inquiry

SHIFT = Candidate(shift="day", day=2, start_s=DAY_S + 6 * HOUR_S, end_s=DAY_S + 14 * HOUR_S)


def test_shifts_of_the_first_day_come_last() -> None:
    """For that day begins with an empty cell."""
    found = list(candidates(inquiry()))
    manned = [each for each in inquiry().shifts if each.manned.value == "yes"]

    assert len(found) == sum(int(each.days_per_week.value) for each in manned)
    assert found[0].day == 2
    assert [each.day for each in found[-len(manned) :]] == [1] * len(manned)
    assert found[0].start_s == DAY_S + manned[0].start_s.value


@pytest.mark.parametrize(
    ("days", "stops_h", "day", "why"),
    [
        ((2, 3, 1), (55.0,), 3, STOPPED),
        ((2, 3, 1), (7.0, 55.0), 3, STOPPED),
        ((2, 3, 1), (7.0,), 2, FIRST_DAY),
        ((2, 3, 1), (), 2, FIRST_DAY),
        ((1,), (7.0,), 1, ONLY_DAY),
        ((1,), (), 1, ONLY_DAY),
    ],
)
def test_the_words_say_the_day_that_is_watched(
    days: tuple[int, ...], stops_h: tuple[float, ...], day: int, why: str
) -> None:
    """After the first day where something stops; else the second day's first; the first day where it stands alone."""
    shifts = [
        replace(SHIFT, day=each, start_s=(each - 1) * DAY_S + 6 * HOUR_S, end_s=(each - 1) * DAY_S + 14 * HOUR_S)
        for each in days
    ]
    seen = Overview(stops_s=tuple(each * HOUR_S for each in stops_h), lines=())
    chosen, said = choice(shifts, seen)

    assert (chosen.day, said) == (day, why)
    assert said in WHY


def test_a_shift_that_is_not_manned_is_not_watched() -> None:
    """Nobody would be seen there."""
    asked = inquiry()
    alone = replace(asked.shifts[0].manned, value="no")
    without = replace(asked, shifts=(*asked.shifts, replace(asked.shifts[0], name="night", manned=alone)))

    assert {each.shift for each in candidates(without)} == {each.name for each in asked.shifts}


def test_a_quiet_shift_is_watched_whole() -> None:
    """All of it fits on a page."""
    seen = Overview(stops_s=(), lines=(MOST_LINES // 8,) * 168)

    assert cut(SHIFT, seen) == (SHIFT.start_s, SHIFT.end_s)


@pytest.mark.parametrize(("at_h", "first_h"), [(10.0, 9.5), (6.1, 6.0), (13.9, 12.0)])
def test_a_busy_shift_is_cut_round_its_first_stop(at_h: float, first_h: float) -> None:
    """A quarter of what is shown lies before the stop, and all of it within the shift."""
    seen = Overview(stops_s=(DAY_S + at_h * HOUR_S,), lines=(MOST_LINES // 2,) * 168)

    assert cut(SHIFT, seen) == (DAY_S + first_h * HOUR_S, DAY_S + (first_h + 2.0) * HOUR_S)
