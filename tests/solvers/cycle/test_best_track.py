"""The best cycle of arms on one track: never worse than fewer arms, free or not, and everybody has a place to be."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.errors import Contradiction, NotYet
from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell
from millhand.model.schedule import Event, Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking import validate
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.setters import pace_of
from tests.solvers.cycle.rail_line import Tanks, cell_of
from tests.whole_cells import form_of

CELLS = Path(__file__).parents[3] / "examples" / "cells"

EFFORT = Effort(deterministic=1.5, most_sets=1)
LINE = Tanks(at_m=(0, 2, 4, 6), times_s=(10, 14), park_m=(-2, 8))


@cache
def example(name: str) -> Cell:
    """A cell of the examples."""
    return read_cell(Path(f"examples/cells/{name}.json"))


@cache
def found(name: str) -> Schedule:
    """Its best cycle, which the validator has seen."""
    return best_cycle(example(name), effort=EFFORT)


def per_part(schedule: Schedule) -> float:
    """Grid steps a part."""
    return schedule.period_steps / schedule.parts_per_period


@pytest.mark.parametrize("worse", ["two_arms_one_feeds_one_takes_out", "two_arms_or_one"])
def test_two_free_arms_are_not_worse(worse: str) -> None:
    """Not than one that feeds and one that takes out, and not than one alone."""
    assert per_part(found("two_arms_on_a_track")) <= per_part(found(worse))


def test_two_arms_over_six_stations_are_near_the_bound() -> None:
    """Within 3 % of what is proven, all the motions written down."""
    schedule = found("two_arms_on_a_track")

    assert schedule.period_steps <= 1.03 * schedule.least_steps
    assert {event.attendant for event in schedule.events if event.what == "depart"} == {"left", "right"}


def test_the_track_is_named_where_it_holds_the_cycle_up() -> None:
    """The circuit that sets the pace passes the track where one arm makes way for the other."""
    cell, schedule = example("two_arms_one_feeds_one_takes_out"), found("two_arms_one_feeds_one_takes_out")
    pace = pace_of(cell, schedule)

    assert pace is not None
    assert any(arc.why == "track overhead" for arc in schedule.arcs)
    assert "overhead" in {name for each in pace.setters for name in (each.name, *each.beside)}


def idle(home: str) -> Cell:
    """A line that the first arm serves alone, while the second one lives at a place of it."""
    cell = cell_of(replace(LINE, only={"arm2": ()}, homes=("p0", home)))
    second = replace(cell.attendants["arm2"], put_to=())
    return replace(cell, attendants={**cell.attendants, "arm2": second})


@pytest.mark.parametrize(("home", "stands"), [("s2", ["p1"]), ("p1", [])])
def test_who_has_no_work_stands_out_of_the_way(home: str, stands: list[str]) -> None:
    """At the parking place where home is in the way; nothing is said where it is not."""
    schedule = best_cycle(idle(home), effort=EFFORT)

    assert [event.place for event in schedule.events if event.attendant == "arm2"] == stands


def test_who_would_stand_in_the_way_is_found_out() -> None:
    """Without its place written down the second arm is at home, where the first one has to come."""
    cell = idle("s2")
    schedule = best_cycle(cell, effort=EFFORT)
    without = replace(schedule, events=tuple(event for event in schedule.events if event.attendant != "arm2"))
    beside = replace(schedule, events=(*without.events, replace(parked(schedule), place="s1")))

    assert any("too near" in words for words in violations(cell, without))
    assert any("too near" in words for words in violations(cell, beside))


def parked(schedule: Schedule) -> Event:
    """The only event of the second arm."""
    return next(event for event in schedule.events if event.attendant == "arm2")


def test_the_answer_is_the_same_every_time() -> None:
    """One worker, one seed, no clock."""
    assert best_cycle(cell_of(LINE), effort=EFFORT) == best_cycle(cell_of(LINE), effort=EFFORT)


@pytest.mark.parametrize("rule", ["apart", "order"])
def test_handling_in_no_time_keeps_the_parts_in_turn(rule: str) -> None:
    """Where a part can be lifted at the very moment at which the next one comes, both ends of the stay are kept."""
    schedule = best_cycle(cell_of(replace(LINE, rule=rule, hold_s=0)), effort=EFFORT)

    assert schedule.period_steps >= 14


IN_NO_TIME = Tanks(at_m=(0, 1, 3, 4, 7), times_s=(4, 8, 3), park_m=(-2, 10, -4, 12), hold_s=0, per_m_s=0)


@pytest.mark.parametrize(
    ("tanks", "period"),
    [
        (replace(IN_NO_TIME, keep_m=0.5, rule="order", homes=["s0", "p1"]), 8),
        (replace(IN_NO_TIME, at_m=(6, 0, 4), times_s=(11,), keep_m=0, rule="order", homes=["p0", "p1"]), 11),
    ],
)
def test_ways_in_no_time_have_an_order_at_each_moment(
    tanks: Tanks, period: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever both arms do at one moment can be done one after the other: the validator refuses nothing."""
    refused: list[str] = []
    monkeypatch.setattr(validate, "violations", lambda cell, found: refused.extend(violations(cell, found)) or refused)
    schedule = best_cycle(cell_of(tanks), effort=replace(EFFORT, deterministic=0.05))

    assert refused == []
    assert schedule.period_steps == period


def test_a_cycle_on_a_track_in_which_nothing_takes_any_time_is_refused() -> None:
    """Only the way to a parking place takes some, and nobody goes there."""
    cell = cell_of(replace(IN_NO_TIME, at_m=(0, 4), times_s=()))
    table = cell.moves["m"]
    rows = tuple(tuple(0.0 if 5 not in (a, b) or a == b else 3.0 for b in range(6)) for a in range(6))
    slow = replace(cell, moves={"m": replace(table, empty_s=rows)})

    with pytest.raises(NotYet, match="in which nothing takes any time"):
        best_cycle(slow, effort=EFFORT)


def test_a_track_that_allows_no_cycle_is_named() -> None:
    """Two arms that have to be 9 m apart between ends that are 6 m apart: room and stays are not to blame."""
    with pytest.raises(Contradiction) as trouble:
        best_cycle(cell_of(replace(LINE, park_m=(), keep_m=9, homes=["s0", "s3"])), effort=EFFORT)

    assert trouble.value.demands == ("arm1 and arm2 keep their order and their distance on one track",)
    assert "lower keep_m" in trouble.value.cures


def test_a_period_of_many_moves_on_a_track_is_named_not_built() -> None:
    """Two people on one track whose parts come round after 24 rounds: 72 moves, whose model took minutes to write."""
    cell = cell_from(form_of(50_040_224))

    with pytest.raises(NotYet, match="none was found with this effort"):
        best_cycle(cell, effort=EFFORT)


def test_a_shorter_order_of_rests_is_found_just_below_straight_ways() -> None:
    """Two hoists by the order of places: straight ways give 74 s, a stop on the way of each 72 s, the visits' bound.

    At 72 s rests in no time meet at one moment; which of them comes first only the arcs know that gave their times.
    """
    cell = read_cell(CELLS / "two_hoists_by_order_of_places.json")
    found = best_cycle(cell, effort=Effort(deterministic=4.0, most_sets=1))

    assert (found.period_steps, found.proven) == (72, True)
    assert violations(cell, found) == []
