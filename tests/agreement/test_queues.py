"""The simulation of queues against their closed forms: machine repair, one server, several servers, a full buffer.

Every seed was fixed before the first run. The tolerance is three standard errors of the mean over replications; as
there are few replications, the 99.73 % that three standard errors hold are taken from Student's t.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

import pytest
from scipy.special import stdtrit

from millhand.formulas import finite_source
from millhand.intake.cell import cell_from
from millhand.model.performance import Output
from millhand.solvers.kernel.replications import Plan, log_lines, simulate
from tests.solvers.kernel.shop import alone_row

Form = dict[str, Any]
THREE = 0.5 * math.erfc(-3 / math.sqrt(2))  # share of a normal below three standard deviations
SEED = 2026


class Size(NamedTuple):
    """How much is run for one point."""

    replications: int
    hours: float
    warm_up_hours: float = 0.0


QUICK_REPAIR = Size(replications=12, hours=16, warm_up_hours=1)  # service 100 s: some 36 services an hour
QUICK_SERVER = Size(replications=16, hours=29, warm_up_hours=3)  # services of 100 s


def outputs(form: Form, size: Size, *, seed: int = SEED) -> list[Output]:
    """What each replication put out, one by one, so that the spread of any of its figures is known."""
    cell, plan = cell_from(form), Plan(warm_up_hours=size.warm_up_hours)
    return [
        simulate(cell, hours=size.hours, replications=1, seed=seed, first=number, plan=plan)
        for number in range(size.replications)
    ]


def figures(each: Sequence[Output], figure: Callable[[Output], float]) -> list[float]:
    """One figure of every replication."""
    return [figure(output) for output in each]


def allowed(values: Sequence[float]) -> float:
    """How far the mean of the replications may lie from the exact value: three standard errors."""
    count = len(values)
    mean = math.fsum(values) / count
    error = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (count - 1) / count)
    return float(stdtrit(count - 1, THREE)) * error + 1e-9 * abs(mean)


def gap(values: Sequence[float], exact: float) -> float:
    """How far the mean lies from the exact value, as a share of what is allowed; below 1 agrees."""
    away = abs(math.fsum(values) / len(values) - exact)
    return away / allowed(values) if away else 0.0


def far(found: Mapping[str, Sequence[float]], exact: Mapping[str, float]) -> dict[str, tuple[float, float, float]]:
    """The figures that do not agree: mean, exact value, and the gap."""
    return {
        name: (math.fsum(found[name]) / len(found[name]), value, gap(found[name], value))
        for name, value in exact.items()
        if gap(found[name], value) >= 1
    }


def share(output: Output, state: str, *owners: str) -> float:
    """Shares of a state, added up over its owners: the mean number of them that are in it."""
    return math.fsum(output.states[owner].get(state, 0.0) for owner in owners)


def levels_of(output: Output) -> Mapping[str, float]:
    """Mean number of parts in supplies, stores and sinks; nothing where the output does not tell."""
    levels: Mapping[str, Any] = getattr(output, "levels", {})
    return {name: float(getattr(level, "mean", level)) for name, level in levels.items()}


def exponential(mean_s: float) -> Form:
    """A span with the mean and no memory."""
    return {"dist": "exponential", "mean_s": mean_s}


def chain_cell(*steps: tuple[Any, float | None], name: str = "stations that pass parts on by themselves") -> Form:
    """Stations in a row that need nobody: (time, room before it) each; a room of None is unlimited, 0 is none."""
    stations: Form = {"raw": {"kind": "supply", "capacity": None}}
    route: list[Form] = [{"at": ["raw"]}]
    for number, (time_s, room) in enumerate(steps, start=1):
        if number > 1 and room != 0:
            stations[f"room{number}"] = {"kind": "store", "capacity": room}
            route.append({"at": [f"room{number}"]})
        stations[f"s{number}"] = {"kind": "process", "self_in": True, "self_out": True}
        route.append({"at": [f"s{number}"], "time_s": time_s})
    stations["done"] = {"kind": "sink", "capacity": None}
    parts = {"part": {"route": [*route, {"at": ["done"]}]}}
    return {"format": "millhand-cell/1", "name": name, "stations": stations, "parts": parts}


# --- machines and repairers ---

# machines, repairers, run by repair time; the last four are exercises whose printed answers the formulas reproduce
REPAIR = [
    *((machines, 1, ratio) for machines in (2, 4, 8) for ratio in (2.0, 5.0, 20.0)),
    (3, 2, 1.0),
    (8, 2, 3.0),
    (8, 3, 1.5),
    (6, 1, 10.0),  # anderson2019, six machines and one mechanic
    (5, 1, 7.0),  # stevenson2021, ch. 18, example of five machines
    (10, 2, 86 / 14),  # stevenson2021, ch. 18, ten machines
    (5, 2, 10.0),  # heizer2017, five printers and two technicians
]


def repair_figures(form: Form, machines: int, repairers: int) -> dict[str, list[float]]:
    """Mean numbers of machines that run, wait and are repaired, share of work of people, and repairs per hour."""
    each = outputs(form, QUICK_REPAIR)
    names, people = [f"m{n + 1}" for n in range(machines)], [f"person{n + 1}" for n in range(repairers)]
    return {
        "running": figures(each, lambda output: share(output, "working", *names)),
        "waiting": figures(each, lambda output: share(output, "failed", *names)),
        "in_repair": figures(each, lambda output: share(output, "in_repair", *names)),
        "on_duty": figures(each, lambda output: share(output, "on_duty", *people)),
        "repairs_per_h": figures(each, lambda output: output.duties["clear"].mean),
    }


@pytest.mark.parametrize(("machines", "repairers", "ratio"), REPAIR)
def test_machines_and_repairers_with_exponential_times(machines: int, repairers: int, ratio: float) -> None:
    """M/M/c//N: what runs, waits and is repaired, how busy the people are, how many repairs they do."""
    run_s, service_s = 100.0 * ratio, 100.0
    form = alone_row(machines, fault_mean_s=run_s, repair=exponential(service_s), repairers=repairers)
    given = {"attendants": repairers, "run_s": run_s, "service_s": service_s}
    running = finite_source.machines_running(machines, **given)
    exact = {
        "running": running,
        "waiting": finite_source.machines_waiting(machines, **given),
        "in_repair": running / ratio,  # what comes in goes out
        "on_duty": running / ratio,
        "repairs_per_h": running * 3600 / run_s,
    }

    assert not far(repair_figures(form, machines, repairers), exact)


@pytest.mark.parametrize(("machines", "ratio"), [(2, 1.0), (4, 4.0), (8, 10.0)])
def test_machines_and_one_repairer_with_constant_repairs(machines: int, ratio: float) -> None:
    """M/D/1//N: Ashcroft's mean number of running machines, and from it who waits."""
    form = alone_row(machines, fault_mean_s=100.0 * ratio, repair=100.0)
    running = finite_source.ashcroft_machines_running(machines, run_s=100.0 * ratio, service_s=100.0)
    exact = {"running": running, "in_repair": running / ratio, "waiting": machines - running * (1 + 1 / ratio)}

    assert not far(repair_figures(form, machines, 1), exact)


# --- one queue, one server or two ---


def held_at_s(lines: Sequence[Mapping[str, float | str]], *, begin: tuple[str, str], end: tuple[str, str]) -> float:
    """Mean number of parts between two kinds of events of the log, from the warm-up to the horizon."""
    first_s, last_s = QUICK_SERVER.warm_up_hours * 3600, QUICK_SERVER.hours * 3600
    total = 0.0
    for line in lines:
        sign = {begin: 1, end: -1}.get((str(line["what"]), str(line["where"])), 0)
        total += sign * (last_s - max(first_s, float(line["t_s"])))
    return total / (last_s - first_s)


def parts_waiting(form: Form, each: Sequence[Output], room: str, servers: Sequence[str]) -> list[float]:
    """Mean number of parts in the room before the servers, per replication.

    It is what the output says of that room, where it says so; and what the log says in any case: parts that have come
    and not gone, less those in work. Both have to be the same.
    """
    cell, found = cell_from(form), []
    for number, output in enumerate(each):
        lines = log_lines(cell, hours=QUICK_SERVER.hours, seed=SEED, replication=number)
        inside = held_at_s(lines, begin=("finished", "s1"), end=("out", "done"))
        waiting = inside - share(output, "working", *servers)
        if room in levels_of(output):
            assert math.isclose(levels_of(output)[room], waiting, abs_tol=1e-6)
        found.append(waiting)
    return found


SERVICES: list[tuple[str, Any, float]] = [  # name, span of 100 s on average, coefficient of variation
    ("exponential", exponential(100), 1.0),
    ("constant", 100, 0.0),
    ("uniform", {"dist": "uniform", "mean_s": 100, "low_s": 0, "high_s": 200}, 1 / math.sqrt(3)),
    ("lognormal", {"dist": "lognormal", "mean_s": 100, "cv": 0.8}, 0.8),
    ("weibull", {"dist": "weibull", "mean_s": 100, "shape": 2}, math.sqrt(4 / math.pi - 1)),
    ("empirical", {"dist": "empirical", "mean_s": 100, "values_s": [20, 20, 20, 340]}, math.sqrt(1.92)),
    (
        "triangular",
        {"dist": "triangular", "mean_s": 100, "low_s": 0, "mode_s": 60, "high_s": 240},
        math.sqrt((240**2 + 60**2 - 240 * 60) / 18) / 100,
    ),
]


@pytest.mark.parametrize("load", [0.4, 0.7])
@pytest.mark.parametrize(("name", "service", "cv"), SERVICES, ids=[name for name, *_ in SERVICES])
def test_one_server_and_any_service_time(name: str, service: Any, cv: float, load: float) -> None:
    """M/G/1, Pollaczek and Khinchine: the mean number that waits is load² (1 + cv²) / 2 (1 - load).

    A station with exponential times that never runs out is the stream of arrivals; it puts into a room without limit.
    """
    form = chain_cell((exponential(100 / load), 0), (service, None), name=f"one server, {name}")
    exact = load**2 * (1 + cv**2) / (2 * (1 - load))

    each = outputs(form, QUICK_SERVER)
    found = {
        "waiting": parts_waiting(form, each, "room2", ["s2"]),
        "busy": figures(each, lambda output: share(output, "working", "s2")),
        "starved": figures(each, lambda output: share(output, "starved", "s2")),
    }
    assert not far(found, {"waiting": exact, "busy": load, "starved": 1 - load})


@pytest.mark.parametrize(("servers", "load"), [(2, 0.6), (3, 0.7)])
def test_several_servers_of_one_queue(servers: int, load: float) -> None:
    """M/M/c, Erlang: the mean number that waits is C load / (1 - load), C the chance that all are busy."""
    form = chain_cell((exponential(100 / load / servers), 0), (exponential(100), None))
    names = [f"s2_{number}" for number in range(servers)]
    form["stations"] |= dict.fromkeys(names, form["stations"]["s2"])
    form["parts"]["part"]["route"][3]["at"] = names
    del form["stations"]["s2"]
    offered = load * servers
    below = math.fsum(offered**n / math.factorial(n) for n in range(servers))
    full = offered**servers / math.factorial(servers) / (1 - load)
    exact = full / (below + full) * load / (1 - load)

    assert gap(parts_waiting(form, outputs(form, QUICK_SERVER), "room2", names), exact) < 1


# --- a full buffer ---


@pytest.mark.parametrize("room", [0, 1, 4])
@pytest.mark.parametrize("ratio", [0.5, 1.0, 1.5])
def test_two_stations_and_the_room_between_them(ratio: float, room: int) -> None:
    """M/M/1/K with K = room + 2: the part that is done and cannot leave the first station is one that waits.

    The first station works unless K parts are there, the second unless none is.
    """
    form = chain_cell((exponential(100 / ratio), 0), (exponential(100), room))
    places = room + 2
    weights = [ratio**n for n in range(places + 1)]
    none, full = weights[0] / math.fsum(weights), weights[-1] / math.fsum(weights)
    exact = {
        "first_blocked": full,
        "first_working": 1 - full,
        "second_starved": none,
        "second_working": 1 - none,
        "parts_per_h": 36 * (1 - none),
    }
    each = outputs(form, QUICK_SERVER)
    found = {
        "first_blocked": figures(each, lambda output: share(output, "blocked", "s1")),
        "first_working": figures(each, lambda output: share(output, "working", "s1")),
        "second_starved": figures(each, lambda output: share(output, "starved", "s2")),
        "second_working": figures(each, lambda output: share(output, "working", "s2")),
        "parts_per_h": figures(each, lambda output: output.parts_per_h.mean),
    }
    if all("room2" in levels_of(output) for output in each):
        found["room"] = figures(each, lambda output: levels_of(output)["room2"])
        inside = [min(max(n - 1, 0), room) for n in range(places + 1)]
        exact["room"] = math.fsum(n * weight for n, weight in zip(inside, weights, strict=True)) / math.fsum(weights)

    assert not far(found, exact)
