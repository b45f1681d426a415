"""The validator on changeovers: a sound schedule, against cells that ask for something else."""

from dataclasses import replace
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.schedule import Arc
from millhand.model.span import Span
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.solvers.cycle.test_makespan import families

CELL = cell_from(families([("large", "small")]))
SOUND = shortest_makespan(CELL, deadline=None, deterministic=None, workers=1, seed=1)


def with_duty(**fields: Any) -> Cell:
    """The cell with another duty."""
    return replace(CELL, duties={"set_up": replace(CELL.duties["set_up"], **fields)})


def test_a_changeover_in_its_place_passes() -> None:
    """Between the last plate and the first shaft."""
    assert violations(CELL, SOUND) == []
    assert [event.what for event in SOUND.events if event.attendant == "person"].count("start") == 1


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        (replace(CELL, changeovers=()), "is a changeover that no part asks for"),
        (replace(CELL, changeovers=(replace(CELL.changeovers[0], to_family="other"),)), "that no part asks for"),
        (with_duty(who=("arm",)), "person cannot do set_up"),
        (with_duty(place="out"), "set_up is done at desk, not at out"),
        (with_duty(takes=Span(mean_s=61.0)), "set_up takes 60 steps, not 61"),
        (with_duty(response_s=Span(mean_s=9.0)), "changed over before its old parts are out and it was called for"),
    ],
)
def test_one_thing_spoilt_is_told(cell: Cell, words: str) -> None:
    """Each rule has its own sentence."""
    told = violations(cell, SOUND)

    assert any(words in each for each in told), told


def test_a_changeover_left_out_is_told() -> None:
    """A plan for the cell without changeovers, given for the one with."""
    plain = shortest_makespan(cell_from(families([])), deadline=None, deterministic=None, workers=1, seed=1)

    assert any("is changed over 0 times before step" in each for each in violations(CELL, plain))


def test_a_part_fetched_without_waiting_for_the_changeover_is_told() -> None:
    """The times are right, but the arm waits for the clock, and not for the end of the changeover."""
    at = {event.id: event.at_steps for event in SOUND.events}
    end = next(event.id for event in SOUND.events if event.attendant == "person" and event.what == "finish")
    lift = next(arc.after for arc in SOUND.arcs if arc.before == end and arc.lag_steps == 0)
    arcs = [arc for arc in SOUND.arcs if (arc.before, arc.after) != (end, lift)]
    arcs.append(Arc(before="0 depart arm", after=lift, lag_steps=at[lift], laps=0, why="clock"))
    critical = ("0 depart arm", *SOUND.critical[SOUND.critical.index(lift) :])

    told = violations(CELL, replace(SOUND, arcs=tuple(arcs), critical=critical))

    assert told == [f"no arcs make {lift} wait 0 steps for {end}"]
