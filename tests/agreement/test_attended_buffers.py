"""An attended machine with a buffer of its own behind it: in the schedule, in the simulation, and by hand."""

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.compiled import compiled
from tests.agreement.test_simulation_plain import assert_steady
from tests.solvers.kernel.shop import Form, arm_cell, attendant_s, run_of, station_s

AROUND_S = 5 + 4 + 5 + 20 + 5 + 4 + 5 + 4  # lift, way, set down, stay, lift, way, set down, way back


def attended(**buffers: int) -> Form:
    """One arm that stays at its machine for 20 s."""
    form = arm_cell(1, time_s=20.0)
    form["stations"]["m1"] |= {"attended": True} | buffers
    return form


@pytest.mark.parametrize("rule", ["cycle", "longest_waiting", "first_to_finish"])
def test_the_arm_stays_and_then_takes_the_part_out_of_the_buffer(rule: str) -> None:
    """The buffer wins nothing, since the arm is there in any case; schedule and every rule say the same."""
    form = attended(out_queue=1)
    form["dispatch"] = {"arm": {"rule": rule}}
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == (AROUND_S * 1000, 1, True)
    assert_steady(form, cycle_s=AROUND_S)


def test_nobody_stays_for_a_part_that_finds_no_room() -> None:
    """Nobody takes anything out: the second part stays in the machine when it is done, and the arm goes."""
    form = attended(out_queue=1)
    form["attendants"]["arm"] |= {"take_from": ["raw"], "put_to": ["m1"]}
    form["attendants"]["other"] = form["attendants"]["arm"] | {
        "take_from": ["m1"],
        "put_to": ["done"],
        "calendar": "off",
    }
    form["calendars"] = {"off": {"period_s": 36000, "on": [[35000, 36000]]}}
    for row in form["handling"]:
        row["who"] = ["arm", "other"]
    run = run_of(form, 1.0)

    assert station_s(run, "m1")["blocked"] > 3400
    assert attendant_s(run, "arm")["waiting_station"] == 2 * 20


def test_a_buffer_before_it_is_refused_with_a_cure() -> None:
    """Who would have to be there when the machine takes the next part by itself is not said: a store says it."""
    with pytest.raises(NotYet, match=r"an attended station with a buffer of its own before it \(write a store\)"):
        compiled(cell_from(attended(in_queue=1)))
