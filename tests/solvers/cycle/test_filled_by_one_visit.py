"""Cycles in which hands never leave one machine: a hand-fed press whose stroke holds both of them throughout."""

from dataclasses import replace
from random import Random
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.lanes import lanes
from millhand.solvers.cycle.simple import simple
from tests.agreement.test_simulation_plain import assert_steady, tended
from tests.cycle_oracle import best_one_unit

Form = dict[str, Any]
BRIEF = Effort(most_sets=1)


def fed(hold_s: float, *, does: str) -> Form:
    """One person with one hand at a press: it feeds it, or empties it, or does something beside it; the press does the
    rest by itself, in no time."""
    form = tended(1, time_s=0, load_s=hold_s, walk_s=0)
    form["attendants"]["person"]["hands"] = 1
    form["stations"]["m1"] |= {"self_out": does != "pick", "self_in": does == "pick"}
    takes = {"pick": {"hold_s": 0}, "place": {"hold_s": 0}}
    if does == "duty":
        trigger = {"kind": "parts", "at": ["m1"], "every": 1}
        form["duties"] = {"gauge": {"trigger": trigger, "who": ["person"], "place": "m1", "takes": hold_s}}
    else:
        takes[does] = {"hold_s": hold_s}
    form["handling"][2] = {"who": ["person"], "at": ["m1"]} | takes
    return form


def by_the_schedule(form: Form) -> Form:
    """The same cell, whose people go by the best schedule."""
    return form | {"dispatch": {name: {"rule": "cycle"} for name in form["attendants"]}}


def handling_steps(found: Schedule, who: str) -> int:
    """How long somebody's hands are at a station in a period."""
    own = next(lane for lane in lanes(found) if lane.name == who)
    return sum(each.end - each.start for each in own.stretches if each.state == "handling")


def test_a_round_that_is_nothing_but_one_exchange() -> None:
    """The end of the exchange falls on its beginning; search, every order looked at, validator, picture and both ways
    of simulating it say the same."""
    form = tended(1, time_s=0, load_s=67, walk_s=0)
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert simple(cell) is not None
    assert (found.period_steps, found.proven) == (67_000, True)
    assert best_one_unit(cell) == 67_000
    assert violations(cell, found) == []
    assert handling_steps(found, "person") == 67_000
    assert_steady(form, cycle_s=67.0)
    assert_steady(by_the_schedule(form), cycle_s=67.0)


@pytest.mark.parametrize("does", ["place", "pick", "duty"])
def test_a_round_that_is_nothing_but_one_hold(does: str) -> None:
    """A set-down, a lift or a duty may fill a cycle as well; what the press does by itself takes no time."""
    form = fed(43, does=does)
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == (43_000, 1, True)
    assert violations(cell, found) == []
    assert handling_steps(found, "person") == 43_000
    if does != "duty":  # in the simulation a duty waits for its call, with the same rate
        assert_steady(by_the_schedule(form), cycle_s=43.0)


def test_two_people_who_never_leave_their_machines() -> None:
    """Each of two has both hands in its own press for the whole period."""
    form = tended(2, time_s=0, load_s=30, walk_s=5)
    form["attendants"] = {
        f"person{n}": form["attendants"]["person"] | {"home": f"m{n}", "take_from": [f"in_m{n}", f"m{n}"]}
        | {"put_to": [f"m{n}", f"out_m{n}"]}
        for n in (1, 2)
    }  # fmt: skip
    for row in form["handling"]:
        row["who"] = ["person1", "person2"]
    form["dispatch"] = {}
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == (30_000, 2, True)
    assert violations(cell, found) == []
    assert {handling_steps(found, f"person{n}") for n in (1, 2)} == {30_000}
    assert_steady(by_the_schedule(form), cycle_s=30.0, parts=2)


def test_the_validator_still_sees_a_hold_that_is_left_out() -> None:
    """The same times with a hold of nothing are told, not waved through."""
    cell = cell_from(tended(1, time_s=0, load_s=67, walk_s=0))
    found = best_cycle(cell, effort=BRIEF)
    laps = {"lifted m1": 1, "placed m1": 0}
    at_once = tuple(replace(event, lap=laps.get(event.id.split(" ", 1)[1], event.lap)) for event in found.events)
    loose = tuple(arc for arc in found.arcs if arc.laps != -1)

    assert "the swap at m1 takes 0 steps, not 67000" in violations(cell, replace(found, events=at_once))
    assert any("no arcs make" in words for words in violations(cell, replace(found, arcs=loose)))


@pytest.mark.parametrize("number", range(12))
def test_people_with_little_else_to_do(number: int) -> None:
    """Random presses with holds and ways of nothing or little: the same by the search and by every order looked at."""
    dice = Random(number)
    form = tended(1, time_s=dice.choice([0, 0, 3]), load_s=dice.randint(1, 9), walk_s=0)
    form["handling"][0]["pick"]["hold_s"] = dice.choice([0, 0, 2])
    form["handling"][1]["place"]["hold_s"] = dice.choice([0, 0, 1])
    form["stations"]["m1"]["attended"] = dice.random() < 0.3
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert found.proven
    assert found.period_steps == best_one_unit(cell)
    assert violations(cell, found) == []
    assert_steady(by_the_schedule(form), cycle_s=found.period_steps / 1000)
