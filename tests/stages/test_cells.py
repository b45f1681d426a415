"""The cells of a study: what their numbers point at, when people and machines are there, who does what."""

from dataclasses import replace

import pytest

from millhand.model.fact import Choice, Fact
from millhand.model.shop import Break, Shift
from millhand.stages.cells.shared import shift_intervals, week

HOUR = 3600.0


def exact(value: float) -> Fact:
    """A fact that only its value matters of."""
    return Fact(id=f"test.{value}", value=value, unit="s", basis="given", source="test")


def word(value: str) -> Choice:
    """A word that only its value matters of."""
    return Choice(id=f"test.{value}", value=value, options=(value,), basis="given", source="test")


def shift(start_h: float, length_h: float, days: float, *pauses: tuple[float, float]) -> Shift:
    """A shift with pauses (time of day, length), all in hours."""
    return Shift(
        name="test",
        start_s=exact(start_h * HOUR),
        length_s=exact(length_h * HOUR),
        days_per_week=exact(days),
        operators=exact(1.0),
        manned=word("yes"),
        premium=word("none"),
        breaks=tuple(
            Break(start_s=exact(at * HOUR), length_s=exact(long * HOUR), paid=word("no")) for at, long in pauses
        ),
    )


def in_hours(intervals: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The same intervals in hours."""
    return [(start / HOUR, end / HOUR) for start, end in intervals]


def test_pauses_on_both_sides_of_midnight_are_both_cut_out() -> None:
    """A night shift from 22:00 with pauses at 23:30 and at 02:00."""
    night = shift(22.0, 8.0, 1.0, (2.0, 0.5), (23.5, 0.25))

    assert in_hours(shift_intervals(night, with_breaks=True)) == [(22.0, 23.5), (23.75, 26.0), (26.5, 30.0)]
    assert in_hours(shift_intervals(night, with_breaks=False)) == [(22.0, 30.0)]


@pytest.mark.parametrize(
    ("pauses", "pieces"),
    [
        (((8.0, 0.5), (8.25, 0.5)), [(6.0, 8.0), (8.75, 14.0)]),  # the second begins in the first
        (((6.0, 0.5),), [(6.5, 14.0)]),  # at the very start
        (((13.5, 0.5),), [(6.0, 13.5)]),  # at the very end
        (((13.75, 0.5),), [(6.0, 13.75)]),  # over the end
        (((15.0, 0.5),), [(6.0, 14.0)]),  # outside
    ],
)
def test_pauses_at_the_edges(pauses: tuple[tuple[float, float], ...], pieces: list[tuple[float, float]]) -> None:
    """Pauses that touch the ends of a shift or each other."""
    assert in_hours(shift_intervals(shift(6.0, 8.0, 1.0, *pauses), with_breaks=True)) == pieces


def test_a_week_brings_sunday_night_back_to_its_start() -> None:
    """A night shift on seven days runs into Monday; what touches is joined."""
    night = shift(22.0, 8.0, 7.0)

    joined = in_hours(list(week(shift_intervals(night, with_breaks=False))))

    assert joined[0] == (0.0, 6.0)
    assert joined[-1] == (6 * 24.0 + 22.0, 168.0)
    assert sum(end - start for start, end in joined) == 56.0


def test_shifts_that_overlap_are_one_interval() -> None:
    """Early until 15:00 and late from 13:00."""
    both = [
        *shift_intervals(shift(6.0, 9.0, 1.0), with_breaks=False),
        *shift_intervals(shift(13.0, 9.0, 1.0), with_breaks=False),
    ]

    assert in_hours(list(week(both))) == [(6.0, 22.0)]


def test_days_of_a_shift_are_the_first_of_the_week() -> None:
    """Five days: Monday to Friday, each at the same time of day."""
    early = shift(6.0, 8.0, 5.0)

    starts = [start for start, _ in in_hours(shift_intervals(early, with_breaks=False))]

    assert starts == [6.0, 30.0, 54.0, 78.0, 102.0]
    assert shift_intervals(replace(early, days_per_week=exact(0.0)), with_breaks=False) == []
