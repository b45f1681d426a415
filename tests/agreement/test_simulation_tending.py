"""Machines that wait to be loaded by hand: the finite-source queue by way of picks, exchanges and dispatch.

Every seed was fixed before the first run; three standard errors are allowed, as tests.agreement.test_queues has them.
"""

from typing import Any

import pytest

from millhand.formulas import finite_source
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.replications import simulate
from tests.agreement.test_queues import Form, Size, chain_cell, exponential, far, figures, levels_of, outputs, share

QUICK = Size(replications=12, hours=16, warm_up_hours=1)  # an exchange takes 100 s


def tended_by_hand(machines: int, people: int, *, time_s: Any, exchange_s: Any) -> Form:
    """Machines and people at one place: nobody walks, raw and finished parts are at hand."""
    names, who = [f"m{n + 1}" for n in range(machines)], [f"person{n + 1}" for n in range(people)]
    at = {"place": "here"}
    return {
        "format": "millhand-cell/1",
        "name": "machines tended by hand",
        "places": {"here": {}},
        "stations": {"raw": {"kind": "supply", "capacity": None, **at}}
        | {name: {"kind": "process", **at} for name in names}
        | {"done": {"kind": "sink", "capacity": None, **at}},
        "attendants": {name: {"kind": "operator", "hands": 2, "home": "here", "moves": "stays"} for name in who},
        "moves": {"stays": {"places": ["here"], "empty_s": [[0]]}},
        "handling": [
            {"who": who, "at": ["raw"], "pick": {"hold_s": 0}},
            {"who": who, "at": ["done"], "place": {"hold_s": 0}},
            {"who": who, "at": names, "place": {"hold_s": exchange_s}, "swap": {"hold_s": exchange_s}},
        ],
        "parts": {"part": {"route": [{"at": ["raw"]}, {"at": names, "time_s": time_s}, {"at": ["done"]}]}},
        "dispatch": {name: {"rule": "first_to_finish"} for name in who},
    }


# machines, people, machining by exchange time, whether exchanges are constant (a closed form for one person only)
SHOPS = [
    *(
        (machines, 1, ratio, constant)
        for machines, ratio in ((1, 3.0), (3, 3.0), (6, 4.0), (8, 12.0))
        for constant in (False, True)
    ),
    (4, 2, 2.0, False),
    (9, 3, 2.5, False),
]


@pytest.mark.parametrize(("machines", "people", "ratio", "constant"), SHOPS)
def test_machines_that_wait_to_be_loaded(machines: int, people: int, ratio: float, constant: bool) -> None:
    """M/M/c//N and M/D/1//N by way of handling: exponential machining, exchanges exponential or constant."""
    run_s = 100.0 * ratio
    exchange_s = 100.0 if constant else exponential(100)
    form = tended_by_hand(machines, people, time_s=exponential(run_s), exchange_s=exchange_s)
    if constant:
        running = finite_source.ashcroft_machines_running(machines, run_s=run_s, service_s=100.0)
    else:
        running = finite_source.machines_running(machines, attendants=people, run_s=run_s, service_s=100.0)
    names, who = [f"m{n + 1}" for n in range(machines)], [f"person{n + 1}" for n in range(people)]
    each = outputs(form, QUICK)
    found = {
        "running": figures(each, lambda output: share(output, "working", *names)),
        "handled": figures(each, lambda output: share(output, "handled", *names)),
        "waiting": figures(each, lambda output: share(output, "waiting_attendant", *names)),
        "handling": figures(each, lambda output: share(output, "handling", *who)),
        "parts_per_h": figures(each, lambda output: output.parts_per_h.mean),
    }
    exact = {
        "running": running,
        "handled": running / ratio,
        "waiting": machines - running * (1 + 1 / ratio),
        "handling": running / ratio,
        "parts_per_h": running * 3600 / run_s,
    }

    assert not far(found, exact)


@pytest.mark.parametrize(("pockets", "below", "takes_s"), [(20, 1, 120.0), (20, 5, 90.0), (12, 1, 30.0)])
def test_mean_level_of_a_presenter_without_chance(pockets: int, below: int, takes_s: float) -> None:
    """A part is lifted each 60 s, and when the stock falls below its limit a refill of so many seconds begins.

    Its level by hand: pockets - 1, pockets - 2 ... for 60 s each, down to where the refill ends; it is full only for
    a moment. Where the refill ends between two lifts, the level jumps there and falls at the next lift.
    """
    form = chain_cell((60, 0))
    form["stations"]["raw"] = {"kind": "supply", "capacity": pockets, "start": pockets, "refill": "refill"}
    form["attendants"] = {"person": {"kind": "operator"}}
    trigger = {"kind": "level", "at": ["raw"], "below": below}
    form["duties"] = {"refill": {"trigger": trigger, "who": ["person"], "takes": takes_s, "restores": {"raw": "full"}}}
    output = simulate(cell_from(form), hours=100, replications=1)
    if "raw" not in levels_of(output):
        pytest.skip("mean levels are not told yet")

    assert abs(levels_of(output)["raw"] - mean_level(pockets, below, takes_s)) < 2 * pockets * pockets * 60 / 360_000


def mean_level(pockets: int, below: int, takes_s: float) -> float:
    """One cycle of the presenter, from one refill's end to the next, step by step of a second."""
    level, until_lift_s, refill_s, area = pockets, 0.0, -1.0, 0.0
    seconds = 360_000
    for _ in range(seconds):
        if refill_s == 0:
            level = pockets
        refill_s -= 1
        if until_lift_s <= 0 and level > 0:
            level, until_lift_s = level - 1, 60.0
            if level < below and refill_s < 0:
                refill_s = takes_s
        until_lift_s -= 1
        area += level
    return area / seconds
