"""Calls of several priorities for one person, against Markov chains of their own.

The seed was fixed before the first run; three standard errors are allowed, as tests.agreement.test_queues has them.
"""

import math

import pytest

from millhand.formulas import finite_source
from tests.agreement.test_queues import Form, Size, exponential, far, figures, outputs, share
from tests.published.test_production_lines import balance
from tests.solvers.kernel.shop import alone_row

QUICK = Size(replications=12, hours=20, warm_up_hours=1)  # repairs of 100 s and more

State = tuple[int, int, int]  # standing machines of each kind, and which kind is served (0 none)


def two_kinds(
    machines: tuple[int, int], run_s: tuple[float, float], service_s: tuple[float, float], first: int
) -> dict[State, float]:
    """Shares of time: one person, stops of two kinds, exponential times; kind `first` is served first, none is left."""

    def chosen(one: int, two: int) -> int:
        if not one + two:
            return 0
        waits = (one, two)
        return first if waits[first - 1] else 3 - first

    def moves(state: State) -> dict[State, float]:
        one, two, served = state
        after: dict[State, float] = {}
        for kind, standing in ((1, one), (2, two)):
            up = machines[kind - 1] - standing
            if up:
                to = (one + (kind == 1), two + (kind == 2), served or kind)
                after[to] = after.get(to, 0.0) + up / run_s[kind - 1]
        if served:
            left = (one - (served == 1), two - (served == 2))
            after[(*left, chosen(*left))] = 1 / service_s[served - 1]
        return after

    return balance((0, 0, 0), moves)


def two_kinds_cell(
    machines: tuple[int, int], run_s: tuple[float, float], service_s: tuple[float, float], first: int
) -> Form:
    """The same machines in the format: a duty for each kind."""
    form = alone_row(sum(machines), fault_mean_s=1, repair=1)
    duty = form["duties"].pop("clear")
    for kind in (1, 2):
        priority = 1 if kind == first else 2
        form["duties"][f"clear{kind}"] = duty | {"takes": exponential(service_s[kind - 1]), "priority": priority}
    for number in range(sum(machines)):
        kind = 1 if number < machines[0] else 2
        stop = {"id": "stop", "on": "busy", "every": exponential(run_s[kind - 1]), "duty": f"clear{kind}"}
        form["stations"][f"m{number + 1}"] = form["stations"][f"m{number + 1}"] | {"faults": [stop]}
    return form


@pytest.mark.parametrize("first", [1, 2])
@pytest.mark.parametrize(
    ("machines", "run_s", "service_s"),
    [
        ((2, 2), (300.0, 300.0), (100.0, 100.0)),
        ((3, 2), (600.0, 900.0), (60.0, 300.0)),
        ((1, 5), (500.0, 800.0), (200.0, 120.0)),
    ],
)
def test_stops_of_two_priorities(
    machines: tuple[int, int], run_s: tuple[float, float], service_s: tuple[float, float], first: int
) -> None:
    """What runs, waits and is repaired of each kind; work that is begun is not left for a more urgent call."""
    shares = two_kinds(machines, run_s, service_s, first)
    each = outputs(two_kinds_cell(machines, run_s, service_s, first), QUICK)
    found, exact = {}, {}
    for kind in (1, 2):
        numbers = range(1, machines[0] + 1) if kind == 1 else range(machines[0] + 1, sum(machines) + 1)
        names = [f"m{number}" for number in numbers]
        standing = math.fsum(state[kind - 1] * value for state, value in shares.items())
        served = math.fsum(value for state, value in shares.items() if state[2] == kind)
        exact |= {f"{kind}_running": len(names) - standing, f"{kind}_in_repair": served}
        exact[f"{kind}_waiting"] = standing - served
        for word, state in (("running", "working"), ("in_repair", "in_repair"), ("waiting", "failed")):
            found[f"{kind}_{word}"] = figures(
                each, lambda output, state=state, names=names: share(output, state, *names)
            )

    assert not far(found, exact)


@pytest.mark.parametrize(("machines", "ratio"), [(3, 4.0), (6, 8.0)])
def test_work_that_may_be_left_hinders_nobody(machines: int, ratio: float) -> None:
    """A round each 500 s that takes 400 s and may be interrupted: to the machines it is as if it were not there."""
    form = alone_row(machines, fault_mean_s=100 * ratio, repair=exponential(100))
    form["duties"]["clear"]["priority"] = 1
    form["duties"]["round"] = {
        "trigger": {"kind": "clock", "every": 500},
        "who": ["person1"],
        "takes": 400,
        "priority": 2,
        "interruptible": True,
    }
    running = finite_source.machines_running(machines, attendants=1, run_s=100 * ratio, service_s=100)
    waiting = finite_source.machines_waiting(machines, attendants=1, run_s=100 * ratio, service_s=100)
    names = [f"m{number + 1}" for number in range(machines)]
    each = outputs(form, QUICK)
    found = {
        "running": figures(each, lambda output: share(output, "working", *names)),
        "waiting": figures(each, lambda output: share(output, "failed", *names)),
        "clearing": figures(each, lambda output: output.duty_share["clear"].mean),
    }

    assert not far(found, {"running": running, "waiting": waiting, "clearing": running / ratio})
    assert all(output.duty_share["round"].mean > 0.1 for output in each)
