"""Who sets the pace, read off the critical circuit, and who would next when that one takes no time."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from millhand.intake.cell import read_cell
from millhand.solvers.cycle.setters import Pace, kind_of, pace_of, relaxed
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.cycle.tours.graph import least_period, numbered
from tests.solvers.cycle.rows import Row, row_cell
from tests.solvers.cycle.two_arms import two_arms

CELLS = Path("examples/cells")


def pace(row: Row) -> Pace:
    """The pace of a row."""
    cell = row_cell(row)
    found = pace_of(cell, schedule(cell))
    assert found is not None
    return found


def test_a_machine_alone_on_its_circuit_sets_the_pace() -> None:
    """35 s and an exchange of 2.5 s; the next machine needs 25 s and the same exchange."""
    found = pace(Row(times_s=(20, 35, 25), hands=2, turn_s=0.5))

    assert [(each.name, each.kind, each.beside) for each in found.setters] == [("m2", "machine", ())]
    assert found.setters[0].period_steps == 37_500
    assert found.following is not None
    assert (found.following.name, found.following.period_steps) == ("m3", 27_500)


def test_all_within_five_percent_are_setters() -> None:
    """36.5 s is 97 % of 37.5 s: it is no next one, it sets the pace too. By hand the arm's tour comes after
    both: 2 s at the ends, 7.5 s of exchanges, 16 s of ways; m1 needs 22.5 s only."""
    found = pace(Row(times_s=(20, 35, 34), hands=2, turn_s=0.5))

    assert [each.name for each in found.setters] == ["m2", "m3"]
    assert found.following is not None
    assert (found.following.name, found.following.period_steps) == ("arm", 25_500)


def test_an_arm_on_its_way_all_the_time_sets_the_pace() -> None:
    """Machines of a second: the arm's own tour is the circuit."""
    found = pace(Row(times_s=(1, 1, 1), step_s=4))

    assert (found.setters[0].name, found.setters[0].kind) == ("arm", "arm")


def test_the_next_period_is_that_of_the_graph_without_the_first_ones() -> None:
    """By hand: every process of the three machines set to nothing leaves the arm's tour of 132.2 s."""
    cell = read_cell(CELLS / "three_machines_on_a_track.json")
    plan = schedule(cell)
    found = pace_of(cell, plan)
    ids = [event.id for event in plan.events]
    arcs = [replace(arc, lag_steps=0) if arc.why in ("m1", "m2", "m3") else arc for arc in plan.arcs]

    assert found is not None
    assert found.following is not None
    assert found.following.period_steps == least_period(len(ids), numbered(arcs, ids)).value == Fraction(1322)
    assert {each.name for each in found.setters} == {"m1", "m2", "m3"}


def test_limits_of_stays_are_kept_when_a_station_is_relaxed() -> None:
    """A window is no time that a station takes."""
    plan = schedule(read_cell(CELLS / "phillips_unger_1976.json"))
    windows = [arc for arc in plan.arcs if arc.why == "window s1"]

    assert windows
    assert [arc for arc in relaxed(plan.arcs, "s1") if arc.why == "window s1"] == windows


def test_every_resource_has_a_kind() -> None:
    """Machine, presenter, outfeed, arm, track; a person is an operator."""
    cell, _ = two_arms()

    assert [kind_of(cell, name) for name in ("m1", "raw", "done", "left", "overhead")] == [
        "machine", "presenter", "outfeed", "arm", "track",
    ]  # fmt: skip
    assert kind_of(read_cell(CELLS / "one_operator_two_mills.json"), "operator1") == "operator"


def test_without_a_circuit_nobody_is_named() -> None:
    """A schedule of lots, or one made by hand, names none."""
    cell, plan = two_arms()

    assert pace_of(cell, plan) is None
