"""Parts that are in hand for no time at all count too: whoever exchanges keeps a hand free of parts from a supply."""

from typing import Any

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan


def two_machines(*, exchange: bool) -> dict[str, Any]:
    """Everything at one place, and no hold takes time: two parts for one machine, then one for another, where an arm
    with two hands may have to exchange."""
    hold = {"hold_s": 0}
    swap = {"swap": hold} if exchange else {}
    return {
        "format": "millhand-cell/1", "name": "two hands, no time", "grid_s": 1, "goal": "makespan",
        "places": {"here": {}},
        "stations": {
            "raw": {"kind": "supply", "place": "here", "capacity": None},
            "m1": {"kind": "process", "place": "here"}, "m2": {"kind": "process", "place": "here"},
            "done": {"kind": "sink", "place": "here", "capacity": None},
        },
        "attendants": {"arm": {"kind": "arm", "hands": 2, "home": "here", "moves": "none"}},
        "moves": {"none": {"places": ["here"], "empty_s": [[0]]}},
        "handling": [
            {"who": ["arm"], "at": ["raw"], "pick": hold}, {"who": ["arm"], "at": ["done"], "place": hold},
            {"who": ["arm"], "at": ["m1"], "pick": hold, "place": hold},
            {"who": ["arm"], "at": ["m2"], "pick": hold, "place": hold, **swap},
        ],
        "parts": {
            "x": {"lot": {"size": 2}, "route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 1}, {"at": ["done"]}]},
            "y": {"lot": {"size": 1}, "route": [{"at": ["raw"]}, {"at": ["m2"], "time_s": 2}, {"at": ["done"]}]},
        },
    }  # fmt: skip


def test_a_part_in_hand_for_no_time_is_in_hand() -> None:
    """Where nobody exchanges the second x and y are in hand at once, and all is over after the 2 s of y. With an
    exchange y is lifted only once the second x has been set down, which is after 1 s."""
    plans = {
        exchange: shortest_makespan(
            cell_from(two_machines(exchange=exchange)), deadline=None, deterministic=3.0, workers=1, seed=1
        )
        for exchange in (False, True)
    }

    assert {exchange: (plan.period_steps, plan.proven) for exchange, plan in plans.items()} == {
        False: (2, True),
        True: (3, True),
    }


def test_the_validator_counts_what_is_in_hand_for_no_time() -> None:
    """The plan of 2 s, in a cell in which a hand has to be free for an exchange."""
    cell = cell_from(two_machines(exchange=False))
    plan = shortest_makespan(cell, deadline=None, deterministic=3.0, workers=1, seed=1)

    assert violations(cell, plan) == []
    assert violations(cell_from(two_machines(exchange=True)), plan) == [
        "arm has a part from a supply in every hand after raw: none is free for an exchange"
    ]
