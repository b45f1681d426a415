"""Figures for the reader, from counts written down by hand."""

from dataclasses import replace

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.codes import CAUSE_EMPTY, CAUSE_FULL, CAUSE_NOBODY
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counts_of
from millhand.solvers.kernel.running import finished_run
from millhand.solvers.kernel.telling import alone_of, by_part, cause_words, levels_of, quantiles
from tests.reference_variants import reference_form

C = compiled(cell_from(reference_form()))
NAMES = C.station_names
NOBODY_CALLED = "no call: hours over, or nobody to load"


def counts(*absences: tuple[int, ...]) -> Counts:
    """A short replication whose absences are written by hand."""
    run = finished_run(C, 1000, seed=1, replication=0)
    return replace(counts_of(run), absences=absences)


def test_absences_are_told_by_how_they_ended() -> None:
    """One ran through; one stood for an empty supply after 40 s; one stood without a call, its hours over."""
    empty = CAUSE_EMPTY + NAMES.index("drawers")
    told = alone_of(C, [counts((30_000, empty, 40_000, empty, 6, 90_000)), counts((-1, -1, -1, -1, 9, 90_000))])
    assert told is not None

    assert (told.absences, told.ran_through) == (2, 0.5)
    assert told.until_end_s == {"p10_s": 40.0, "p50_s": 40.0, "p90_s": 40.0}
    assert told.first_need == told.ended_by == {"drawers empty": 0.5}
    assert told.parts.mean == 7.5
    over = alone_of(C, [counts((-1, -1, 50_000, -1, 1, 90_000))])
    assert over is not None
    assert over.ran_through == 0.0
    assert over.ended_by == {NOBODY_CALLED: 1.0}
    assert over.first_need == {}


def test_a_cell_whose_last_part_left_before_the_absence_stood_all_the_time() -> None:
    """It is no run that went through: machines loaded by hand finish a load at night, and nothing leaves."""
    told = alone_of(C, [counts((-1, -1, -72_480, -1, 0, 25_200_000), (-1, -1, -1, -1, 3, 9))])
    assert told is not None

    assert told.ran_through == 0.5
    assert told.until_end_s == {"p10_s": 0.0, "p50_s": 0.0, "p90_s": 0.0}
    assert told.ended_by == {NOBODY_CALLED: 0.5}


def test_the_wait_for_the_first_people_is_no_night() -> None:
    """Each week began with it: four nights by the stock were told as four in five. Later nights of nothing count."""
    empty = CAUSE_EMPTY + NAMES.index("drawers")
    wait, night = (-1, -1, 0, -1, 0, 21_600), (30, empty, 40, empty, 6, 90)
    told = alone_of(C, [counts(wait, night, night), counts(wait, night, wait)])
    assert told is not None

    assert told.absences == 4
    assert told.ended_by == {"drawers empty": 0.75, NOBODY_CALLED: 0.25}
    assert told.parts.mean == 4.5
    assert alone_of(C, [counts(wait)]) is None


def test_shares_of_all_ends_and_those_that_ran_through_add_up_to_one() -> None:
    """Whatever ended them."""
    lines = [(-1, -1, end, cause, 1, 90) for end, cause in ((-1, -1), (5, -1), (6, CAUSE_NOBODY), (7, 0))]
    told = alone_of(C, [counts(*lines)])
    assert told is not None

    assert told.ran_through + sum(told.ended_by.values()) == pytest.approx(1.0)


def test_parts_of_an_absence_are_never_fewer_than_none() -> None:
    """An interval of 0 and 1 parts would reach below."""
    told = alone_of(C, [counts((-1, -1, -1, -1, 0, 9), (-1, -1, -1, -1, 1, 9))])

    assert told is not None
    assert told.parts.low == 0.0


def test_without_absences_there_is_nothing_to_tell() -> None:
    """Somebody is always there, or never."""
    assert alone_of(C, [counts()]) is None


def test_causes_in_words() -> None:
    """Calls by what calls, stocks by their station."""
    at = NAMES.index("drawers")

    assert cause_words(C, CAUSE_EMPTY + at) == "drawers empty"
    assert cause_words(C, CAUSE_FULL + at) == "drawers full"
    assert cause_words(C, CAUSE_NOBODY) == "what nobody can end"
    assert {cause_words(C, slot) for slot in range(len(C.slots.words))} == set(C.slots.words)


def test_quantiles_beyond_what_is_known_are_missing() -> None:
    """Three of ten times are known: a tenth lies at the first, half is not known."""
    assert quantiles([1.0, 2.0, 3.0], of=10) == {"p10_s": 1.0}
    assert quantiles([], of=0) == {}


def test_levels_are_means_over_time_and_replications() -> None:
    """Parts times steps over steps; only what has a limit is told."""
    run = replace(counts(), levels=tuple(500.0 for _ in NAMES))

    assert levels_of(C, [run, run], 1000) == {"drawers": 0.5}


def test_one_type_of_part_is_told_by_all_parts() -> None:
    """Lines by type stand only where there are several."""
    assert by_part(C, [counts()], 1.0) == {}
