"""Unlike machines under one operator: alike ones, closed forms, the chain solved at once, simulation."""

import itertools
import math
from collections.abc import Sequence
from functools import cache
from typing import Any

import numpy as np
import pytest

from millhand.formulas import finite_source
from millhand.formulas.unlike_machines import (
    order_count,
    order_shares,
    orders,
    unlike_busy_share,
    unlike_running,
    unlike_sets_per_h,
    unlike_wait_share,
)
from tests.agreement.test_queues import Size, exponential, far, figures, outputs, share
from tests.checks import OWN, Check
from tests.solvers.kernel.shop import alone_row

Given = dict[str, Any]
FIVE: Given = {
    "machines": (1, 1, 1, 1, 1),
    "run_s": (100.0, 200.0, 300.0, 400.0, 500.0),
    "service_s": (10.0, 50.0, 200.0, 20.0, 100.0),
}
TWO: Given = {"machines": (1, 1), "run_s": (300.0, 150.0), "service_s": (40.0, 90.0)}
KINDS: Given = {"machines": (2, 3), "run_s": (600.0, 200.0), "service_s": (30.0, 80.0)}


def two_machines(run_s: Sequence[float], service_s: Sequence[float]) -> tuple[float, float, float, float]:
    """Neither stands, the first alone stands, the second alone, both: by hand from the five balance equations.

    With a = (1/r1) / (1/s1 + 1/r2) and b = (1/r2) / (1/s2 + 1/r1): p1 = a (p0 + p2), p2 = b (p0 + p1); the operator
    at the first while the second waits is p1 s1 / r2, and the other way round p2 s2 / r1.
    """
    (r1, r2), (s1, s2) = run_s, service_s
    a, b = (1 / r1) / (1 / s1 + 1 / r2), (1 / r2) / (1 / s2 + 1 / r1)
    none, first, second = 1.0, a * (1 + b) / (1 - a * b), b * (1 + a) / (1 - a * b)
    both = first * s1 / r2 + second * s2 / r1
    total = none + first + second + both
    return none / total, first / total, second / total, both / total


@cache
def whole_chain(run_s: tuple[float, ...], service_s: tuple[float, ...]) -> dict[tuple[int, ...], float]:
    """Every machine told apart: one linear system over all orders of all subsets, solved at once."""
    names = range(len(run_s))
    states = [order for length in (*names, len(run_s)) for order in itertools.permutations(names, length)]
    place = {state: number for number, state in enumerate(states)}
    rates = np.zeros((len(states), len(states)))
    for state in states:
        steps = [((*state, name), 1 / run_s[name]) for name in names if name not in state]
        steps += [(state[1:], 1 / service_s[state[0]])] if state else []
        for other, rate in steps:
            rates[place[state], place[other]] += rate
            rates[place[state], place[state]] -= rate
    rates[:, 0] = 1.0  # the first balance follows from the others; all shares together are 1
    return dict(zip(states, np.linalg.solve(rates.T, np.eye(len(states))[0]).tolist(), strict=True))


def apart(given: Given) -> tuple[tuple[float, ...], tuple[float, ...], list[int]]:
    """Run and service of every single machine, and the kind of each."""
    kinds = [kind for kind, count in enumerate(given["machines"]) for _ in range(count)]
    return tuple(given["run_s"][kind] for kind in kinds), tuple(given["service_s"][kind] for kind in kinds), kinds


def chain_running(given: Given) -> list[float]:
    """Mean number of running machines of each kind from the whole chain."""
    run_s, service_s, kinds = apart(given)
    shares = whole_chain(run_s, service_s)
    return [
        math.fsum(value for state, value in shares.items() for name in range(len(kinds))
                  if kinds[name] == kind and name not in state)
        for kind in range(len(given["machines"]))
    ]  # fmt: skip


def chain_standing(given: Given) -> tuple[float, float]:
    """Share of time with somebody to serve, and mean number of machines that wait, from the whole chain."""
    shares = whole_chain(*apart(given)[:2])
    waits = math.fsum(max(0, len(state) - 1) * value for state, value in shares.items())
    return 1.0 - shares[()], waits


CHECKS = [
    check
    for given in (TWO, FIVE, KINDS)
    for check in (
        Check(formula="unlike_running", inputs=given, expected=chain_running(given)[0], pick=lambda each: each[0],
              key="own_computation", seen=OWN),
        Check(formula="unlike_sets_per_h", inputs=given, key="own_computation", seen=OWN,
              expected=min(3600 * mean / run for mean, run in zip(chain_running(given), given["run_s"], strict=True))),
        Check(formula="unlike_busy_share", inputs=given, expected=chain_standing(given)[0], key="own_computation",
              seen=OWN),
        Check(formula="unlike_wait_share", inputs=given, key="own_computation", seen=OWN,
              expected=chain_standing(given)[1] / sum(given["machines"])),
    )
]  # fmt: skip


@pytest.mark.parametrize("given", [TWO, FIVE, KINDS], ids=["two", "five", "kinds"])
def test_the_chain_of_kinds_is_the_chain_of_machines(given: Given) -> None:
    """Alike machines are not told apart, and every kind runs as long as its machines do, each followed on its own."""
    assert list(unlike_running(**given)) == pytest.approx(chain_running(given), rel=1e-11)


@pytest.mark.parametrize("ratio", [0.05, 1.0, 7.0, 100.0])
@pytest.mark.parametrize("machines", [(1, 1), (2, 1), (1, 1, 1, 1), (3, 3)], ids=str)
def test_alike_machines_are_the_finite_source(machines: tuple[int, ...], ratio: float) -> None:
    """Kinds with the same times: running, waiting and busy are those of the known model, whatever the ratio."""
    count, times = len(machines), {"run_s": 60.0 * ratio, "service_s": 60.0}
    given = {"machines": machines, **{name: (value,) * count for name, value in times.items()}}
    known = {"attendants": 1, **times}
    total = sum(machines)

    running = finite_source.machines_running(total, **known)
    assert math.fsum(unlike_running(**given)) == pytest.approx(running, rel=1e-11)
    assert list(unlike_running(**given)) == pytest.approx([running * each / total for each in machines], rel=1e-11)
    waiting = finite_source.machines_waiting(total, **known)
    assert unlike_wait_share(**given) * total == pytest.approx(waiting, rel=1e-10, abs=1e-15)
    assert unlike_busy_share(**given) == pytest.approx(finite_source.all_busy_share(total, **known), rel=1e-11)


@pytest.mark.parametrize("service_s", [(40.0, 90.0), (1.0, 500.0), (300.0, 2.0)], ids=str)
@pytest.mark.parametrize("run_s", [(300.0, 150.0), (5.0, 5.0), (1.0, 1000.0)], ids=str)
def test_two_machines_are_the_closed_form(run_s: tuple[float, float], service_s: tuple[float, float]) -> None:
    """Five states solved by hand: who runs, whether the operator is busy, how long one waits."""
    none, first, second, both = two_machines(run_s, service_s)
    given = {"machines": (1, 1), "run_s": run_s, "service_s": service_s}

    assert list(unlike_running(**given)) == pytest.approx([none + second, none + first], rel=1e-11)
    assert unlike_busy_share(**given) == pytest.approx(1.0 - none, rel=1e-11)
    assert unlike_wait_share(**given) == pytest.approx(both / 2, rel=1e-11)


def test_with_one_service_for_all_every_order_has_its_product() -> None:
    """Unlike runs, equal services: the share of an order is the product of its machines' service over run."""
    run_s, service_s = FIVE["run_s"], (70.0,) * 5
    shares = dict(order_shares(FIVE["machines"], run_s, service_s))

    for order, found in shares.items():
        assert found / shares[()] == pytest.approx(math.prod(70.0 / run_s[name] for name in order), rel=1e-10)


def test_what_is_served_is_what_ran_out() -> None:
    """The operator's busy share is the work that the runs of all kinds bring."""
    running = unlike_running(**KINDS)
    work = [mean / run * service for mean, run, service in zip(running, KINDS["run_s"], KINDS["service_s"],
                                                               strict=True)]  # fmt: skip

    assert unlike_busy_share(**KINDS) == pytest.approx(math.fsum(work), rel=1e-11)


@pytest.mark.parametrize("machines", [(1,), (3,), (1, 1, 1), (2, 3), (2, 2, 2)], ids=str)
def test_orders_are_counted_as_they_are_written_down(machines: tuple[int, ...]) -> None:
    """The count is that of the list."""
    assert order_count(machines) == sum(map(len, orders(machines)))


# --- the simulation ---

SIZE = Size(replications=12, hours=40, warm_up_hours=2)


@pytest.mark.parametrize("given", [TWO, FIVE, KINDS], ids=["two", "five", "kinds"])
def test_the_simulation_agrees_inside_its_interval(given: Given) -> None:
    """Machines that stop differently and are cleared by one person in the order of their calls."""
    kinds = apart(given)[2]
    form = alone_row(len(kinds), fault_mean_s=1.0, repair=1.0)
    clear, form["duties"] = form["duties"]["clear"], {}
    for number, kind in enumerate(kinds, start=1):
        stop = {"id": f"stop{kind}", "on": "busy", "every": exponential(given["run_s"][kind]), "duty": f"clear{kind}"}
        form["stations"][f"m{number}"]["faults"] = [stop]
        form["duties"][f"clear{kind}"] = clear | {"takes": exponential(given["service_s"][kind])}
    each = outputs(form, SIZE)
    names = [[f"m{n}" for n, other in enumerate(kinds, start=1) if other == kind] for kind in range(max(kinds) + 1)]
    everyone = [name for kind in names for name in kind]
    found = {f"running {kind}": figures(each, lambda out, of=of: share(out, "working", *of))
             for kind, of in enumerate(names)}  # fmt: skip
    found["waiting"] = figures(each, lambda out: share(out, "failed", *everyone))
    found["busy"] = figures(each, lambda out: share(out, "on_duty", "person1"))
    exact = {f"running {kind}": mean for kind, mean in enumerate(unlike_running(**given))}
    exact["waiting"] = unlike_wait_share(**given) * len(kinds)
    exact["busy"] = unlike_busy_share(**given)

    assert not far(found, exact)
    assert unlike_sets_per_h(**given) <= min(3600 / run * count for run, count in zip(given["run_s"], given["machines"],
                                                                                      strict=True))  # fmt: skip
