"""Simulated stops, wear and repairs against the shares of time that renewal theory gives, whatever the distributions.

The seed was fixed before the first run; three standard errors are allowed, as tests.agreement.test_queues has them.
"""

import math
from typing import Any

import numpy as np
import pytest

from millhand.formulas.finite_source import state_shares
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.replications import log_lines
from tests.agreement.test_queues import Form, Size, chain_cell, exponential, far, figures, gap, outputs, share
from tests.solvers.kernel.shop import arm_cell

QUICK = Size(replications=16, hours=28, warm_up_hours=1)  # a stop every few hundred seconds
RUN_S = (QUICK.hours - QUICK.warm_up_hours) * 3600
QUICK_LINE = Size(replications=16, hours=16, warm_up_hours=1)  # operations of 20 s
LOAD_S = 40.0


def fault(on: str = "busy", *, every: Any = None, p: float | None = None, takes: Any = 60.0, **more: Any) -> Form:
    """A stop that ends by itself."""
    often = {"every": every} if p is None else {"p": p}
    return {"id": "stop", "on": on, "self_s": takes, **often, **more}


def machine(*faults: Form, time_s: Any = LOAD_S) -> Form:
    """One machine that feeds itself and never waits."""
    form = chain_cell((time_s, 0), name="one machine and its stops")
    form["stations"]["s1"]["faults"] = [{**one, "id": f"stop{number}"} for number, one in enumerate(faults)]
    return form


SPANS: list[tuple[Any, Any]] = [  # between stops, mean 600 s; until it runs again, mean 60 s
    (exponential(600), 60.0),
    (exponential(600), exponential(60)),
    (exponential(600), {"dist": "lognormal", "mean_s": 60, "cv": 1}),
    ({"dist": "weibull", "mean_s": 600, "shape": 1.5}, {"dist": "uniform", "mean_s": 60, "low_s": 20, "high_s": 100}),
    ({"dist": "lognormal", "mean_s": 600, "cv": 0.5}, {"dist": "geometric", "mean_s": 60}),
    (
        {"dist": "empirical", "mean_s": 600, "values_s": [100, 300, 1400]},
        {"dist": "triangular", "mean_s": 60, "low_s": 10, "mode_s": 30, "high_s": 140},
    ),
]


@pytest.mark.parametrize(("on", "spans"), [(on, spans) for on in ("busy", "clock") for spans in SPANS])
def test_a_machine_that_stops_by_itself(on: str, spans: tuple[Any, Any]) -> None:
    """600 s up and 60 s down on average: it works 10 of 11 parts of the time, whatever the distributions.

    A machine that never waits is as long busy as its clock goes on between two stops.
    """
    each = outputs(machine(fault(on, every=spans[0], takes=spans[1])), QUICK)
    found = {
        "working": figures(each, lambda output: share(output, "working", "s1")),
        "failed": figures(each, lambda output: share(output, "failed", "s1")),
        "parts_per_h": figures(each, lambda output: output.parts_per_h.mean),
    }

    assert not far(found, {"working": 10 / 11, "failed": 1 / 11, "parts_per_h": 3600 / LOAD_S * 10 / 11})


@pytest.mark.parametrize("on", ["busy", "clock"])
def test_a_machine_that_waits_half_of_the_time(on: str) -> None:
    """A stop that counts busy time comes half as often; one that goes by the clock comes all the same.

    By the clock: down 60 of each 660 s. By busy time: work of 20 s in every 40 s is done in any case, and each 600 s
    of work bring 60 s of stop.
    """
    form = chain_cell((40, 0), (20, None))
    form["stations"]["s2"]["faults"] = [fault(on, every=exponential(600))]
    each = outputs(form, QUICK)
    exact = {"failed": 0.5 * 60 / 600 if on == "busy" else 60 / 660, "working": 0.5}
    found = {name: figures(each, lambda output, name=name: share(output, name, "s2")) for name in exact}

    assert gap(found["failed"], exact["failed"]) < 1
    # At the horizon some parts of the last stop may still wait: 60 s of work at most, far below a standard error here.
    assert abs(math.fsum(found["working"]) / len(each) - 0.5) < 120 / RUN_S


@pytest.mark.parametrize("p", [0.02, 0.2, 1.0])
def test_stops_by_chance_with_a_load(p: float) -> None:
    """A load takes 40 s, and 60 s more where it brings the stop."""
    each = outputs(machine(fault("load", p=p)), QUICK)
    cycle_s = LOAD_S + p * 60
    found = {
        "working": figures(each, lambda output: share(output, "working", "s1")),
        "parts_per_h": figures(each, lambda output: output.parts_per_h.mean),
    }
    if p < 1:
        assert not far(found, {"working": LOAD_S / cycle_s, "parts_per_h": 3600 / cycle_s})
    else:  # nothing is left to chance: one cycle at the end may be incomplete
        assert abs(found["parts_per_h"][0] * cycle_s / 3600 - 1) < cycle_s / RUN_S


@pytest.mark.parametrize(
    "every", [{"dist": "geometric", "mean_s": 10}, 10, {"dist": "uniform", "mean_s": 10, "low_s": 5, "high_s": 15}]
)
def test_stops_after_a_number_of_loads(every: Any) -> None:
    """One load in ten brings 60 s, whether the tenth each time or ten on average."""
    each = outputs(machine(fault("load", every=every)), QUICK)
    working = figures(each, lambda output: share(output, "working", "s1"))

    if every == 10:
        assert abs(working[0] - 400 / 460) < 460 / RUN_S
    else:
        assert gap(working, 400 / 460) < 1


@pytest.mark.parametrize("time_s", [100.0, 400.0])
def test_a_stop_that_spoils_the_part(time_s: float) -> None:
    """Work of t s is finished with chance exp(-t/M); a second of work makes 1 / (M (exp(t/M) - 1)) parts."""
    mean_s = 300.0
    each = outputs(machine(fault(every=exponential(mean_s), keeps_part=False), time_s=time_s), QUICK)
    working = mean_s / (mean_s + 60)
    found = {
        "working": figures(each, lambda output: share(output, "working", "s1")),
        "good_per_h": figures(each, lambda output: output.good_per_h.mean),
        "scrapped": figures(each, lambda output: output.counts["scrapped"].mean),
        "parts_per_h": figures(each, lambda output: output.parts_per_h.mean),  # all that was made, scrap included
    }
    spoilt = working * 3600 / mean_s
    good = spoilt / math.expm1(time_s / mean_s)

    assert not far(found, {"working": working, "good_per_h": good, "scrapped": spoilt, "parts_per_h": good + spoilt})


@pytest.mark.parametrize(
    ("every_s", "takes_s"), [((300.0,), (60.0,)), ((300.0, 900.0), (60.0, 30.0)), ((500.0,) * 4, (50.0,) * 4)]
)
def test_one_stops_all(every_s: tuple[float, ...], takes_s: tuple[float, ...]) -> None:
    """Stops on busy time that stop the whole line: everything works 1 / (1 + sum of takes / every) of the time.

    While all stand nothing is busy, so no two stops overlap, and the product of single availabilities is not met.
    """
    names = [f"m{number}" for number in range(len(every_s))]
    form = chain_cell((LOAD_S, 0))
    form["stations"] |= {
        name: form["stations"]["s1"]
        | {"faults": [fault(every=exponential(mean), takes=exponential(takes), stops=["all"])]}
        for name, mean, takes in zip(names, every_s, takes_s, strict=True)
    }
    form["parts"]["part"]["route"][1]["at"] = names
    del form["stations"]["s1"]
    each = outputs(form, QUICK)
    exact = 1 / (1 + math.fsum(takes / mean for mean, takes in zip(every_s, takes_s, strict=True)))
    found = {name: figures(each, lambda output, name=name: share(output, "working", name)) for name in names}
    found["parts_per_h"] = figures(each, lambda output: output.parts_per_h.mean)

    assert not far(found, dict.fromkeys(names, exact) | {"parts_per_h": exact * len(names) * 3600 / LOAD_S})


def test_two_stops_by_the_clock_wait_for_each_other() -> None:
    """A clock that rings while the machine stands for the other stop waits for its end: two stops, one at a time.

    So it works as long as both clocks of a finite source of two with one server run; were the stops to overlap, it
    would be the product of the two availabilities. Long loads, so that waiting for the end of one would show.
    """
    stop = fault("clock", every=exponential(300), takes=exponential(100))
    working = figures(outputs(machine(stop, stop, time_s=4000), QUICK), lambda output: share(output, "working", "s1"))
    both_run = state_shares(2, attendants=1, run_s=300, service_s=100)[0]

    assert gap(working, both_run) < 1
    assert gap(working, (300 / 400) ** 2) > 1


def test_a_stop_that_had_to_wait_comes_when_the_other_ends() -> None:
    """One at 100 s for 50 s, the other at 120 s: it comes at 150 s, in the middle of the load, for 10 s."""
    form = machine(fault("clock", every=100, takes=50), fault("clock", every=120, takes=10), time_s=1000)
    lines = log_lines(cell_from(form), hours=0.05)

    assert [line["t_s"] for line in lines if line["what"] == "fails"][:2] == [100, 150]


def test_an_arm_that_stops_by_the_clock() -> None:
    """600 s up, 60 s down on average, whatever it does meanwhile."""
    form = arm_cell(2)
    form["attendants"]["arm"]["faults"] = [fault("clock", every=exponential(600), takes=exponential(60))]
    failed = figures(outputs(form, QUICK), lambda output: share(output, "failed", "arm"))

    assert gap(failed, 1 / 11) < 1


@pytest.mark.parametrize(
    ("unit", "limit", "spares"), [("busy_s", 500.0, 0), ("busy_s", 500.0, 2), ("loads", 7, 0), ("loads", 7, 3)]
)
def test_wear_and_its_spares(unit: str, limit: float, spares: int) -> None:
    """Limit times (1 + spares) of work, then the duty: shares of a cycle without chance but the duty's.

    A tool that reaches its limit of busy time during a load is changed after that load: 500 s are 13 loads of 40 s.
    """
    form = chain_cell((LOAD_S, 0))
    form["stations"]["s1"]["wear"] = [{"id": "tool", "unit": unit, "limit": limit, "spares": spares, "duty": "renew"}]
    form["attendants"] = {"person": {"kind": "operator"}}
    takes = {"dist": "lognormal", "mean_s": 90, "cv": 0.5}
    form["duties"] = {"renew": {"trigger": {"kind": "wear"}, "who": ["person"], "takes": takes, "holds": "station"}}
    loads = (math.ceil(limit / LOAD_S) if unit == "busy_s" else limit) * (1 + spares)
    cycle_s = loads * LOAD_S + 90
    each = outputs(form, QUICK)
    found = {
        "working": figures(each, lambda output: share(output, "working", "s1")),
        "on_duty": figures(each, lambda output: share(output, "on_duty", "person")),
        "renewals_per_h": figures(each, lambda output: output.duties["renew"].mean),
    }

    # A run ends within a cycle, so up to one cycle's share is open on both sides.
    exact = {"working": loads * LOAD_S / cycle_s, "on_duty": 90 / cycle_s, "renewals_per_h": 3600 / cycle_s}
    open_share = cycle_s / RUN_S
    for name, value in exact.items():
        low, high = (value * (1 - open_share), value * (1 + open_share))
        mean = math.fsum(found[name]) / len(each)
        assert low <= mean <= high or min(gap(found[name], low), gap(found[name], high)) < 1, name


# --- two stations that stop, room between them: Markov chain of gershwin1994's exponential model, own computation ---


def line_shares(
    rates: tuple[float, float], stops: tuple[float, float], repairs: tuple[float, float], places: int
) -> dict[str, float]:
    """Working shares and parts per second from the generator matrix over (level, first up, second up)."""
    states = [(level, a, b) for level in range(places + 1) for a in (0, 1) for b in (0, 1)]
    number = {state: at for at, state in enumerate(states)}
    matrix = np.zeros((len(states), len(states)))
    for level, a, b in states:
        first, second = bool(a and level < places), bool(b and level > 0)
        moves = [
            ((level + 1, a, b), rates[0] if first else 0.0),
            ((level - 1, a, b), rates[1] if second else 0.0),
            ((level, 0, b), stops[0] if first else 0.0),
            ((level, a, 0), stops[1] if second else 0.0),
            ((level, 1, b), 0.0 if a else repairs[0]),
            ((level, a, 1), 0.0 if b else repairs[1]),
        ]
        for to, rate in moves:
            if rate:
                matrix[number[level, a, b], number[to]] += rate
                matrix[number[level, a, b], number[level, a, b]] -= rate
    system = np.vstack([matrix.T, np.ones(len(states))])
    shares = np.linalg.lstsq(system, np.append(np.zeros(len(states)), 1.0), rcond=None)[0]
    found = {
        "s1_working": sum(shares[at] for (level, a, _), at in number.items() if a and level < places),
        "s1_blocked": sum(shares[at] for (level, a, _), at in number.items() if a and level == places),
        "s1_failed": sum(shares[at] for (_, a, _), at in number.items() if not a),
        "s2_working": sum(shares[at] for (level, _, b), at in number.items() if b and level > 0),
        "s2_starved": sum(shares[at] for (level, _, b), at in number.items() if b and level == 0),
        "s2_failed": sum(shares[at] for (_, _, b), at in number.items() if not b),
    }
    return {name: float(value) for name, value in found.items()}


@pytest.mark.parametrize(
    ("rates", "mean_up", "mean_down", "room"),
    [
        ((20.0, 20.0), (400.0, 400.0), (100.0, 100.0), 2),
        ((20.0, 25.0), (200.0, 900.0), (60.0, 200.0), 0),
        ((30.0, 20.0), (500.0, 250.0), (50.0, 120.0), 8),
    ],
)
def test_two_stations_that_stop_and_the_room_between_them(
    rates: tuple[float, float], mean_up: tuple[float, float], mean_down: tuple[float, float], room: int
) -> None:
    """Operations, times to a stop and repairs are exponential; a station stops only while it works."""
    form = chain_cell((exponential(rates[0]), 0), (exponential(rates[1]), room))
    for name, up, down in zip(("s1", "s2"), mean_up, mean_down, strict=True):
        form["stations"][name]["faults"] = [fault(every=exponential(up), takes=exponential(down))]
    exact = line_shares(
        (1 / rates[0], 1 / rates[1]), (1 / mean_up[0], 1 / mean_up[1]), (1 / mean_down[0], 1 / mean_down[1]), room + 2
    )
    each = outputs(form, QUICK_LINE)
    found = {name: figures(each, lambda output, name=name: share(output, name[3:], name[:2])) for name in exact}
    found["parts_per_h"] = figures(each, lambda output: output.parts_per_h.mean)

    assert not far(found, exact | {"parts_per_h": exact["s2_working"] * 3600 / rates[1]})


def test_two_stops_that_count_the_same_loads() -> None:
    """Every second load brings 60 s, every third 60 s more; the sixth brings both: 300 s for six loads of 40 s."""
    form = machine(fault("load", every=2), fault("load", every=3))
    working = outputs(form, QUICK)[0].states["s1"]["working"]

    assert abs(working - 240 / 540) < 540 / RUN_S
