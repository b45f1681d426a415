"""The simulation against what is known exactly, and against an independent program for the same cell."""

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest

from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell
from millhand.solvers.kernel.codes import ATTENDANT_STATES, COUNTS, PROCESS, STATION_STATES
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.replications import Counts, Piece, counted, finished_run
from tests.reference_variants import MEASURES, plain, reference_form
from tests.solvers.kernel.shop import alone_row, arm_cell, attendant_s, run_of, station_s, times_s

TOP = Path(__file__).parents[2]
EXPECTED = json.loads((TOP / "benchmarks/reference/expected.json").read_text(encoding="utf-8"))
DAY_S = 86_400


def replications(cell: Cell, hours: float, count: int) -> tuple[Compiled, list[Counts]]:
    """What some replications counted."""
    c = compiled(cell)
    horizon = round(hours * 3600 / cell.grid_s)
    pieces = [Piece(cell=c, horizon=horizon, warm_up=0, seed=20, replication=number) for number in range(count)]
    return c, [counted(piece) for piece in pieces]


def z_of(values: list[float], exact: float) -> float:
    """How many standard errors the mean lies from the exact value."""
    mean = math.fsum(values) / len(values)
    variance = math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1)
    return (mean - exact) / math.sqrt(variance / len(values))


def machines_in(c: Compiled, counts: Counts, state: str) -> float:
    """Mean number of machines in a state."""
    at, kinds = STATION_STATES.index(state), len(STATION_STATES)
    machines = [s for s, kind in enumerate(c.stations.kind) if kind == PROCESS]
    first = machines[0] * kinds
    return sum(counts.stations[s * kinds + at] for s in machines) / sum(counts.stations[first : first + kinds])


def running_exactly(machines: int, repairers: int, load: float) -> float:
    """Running machines of the finite-source queue with exponential times: its balance equations, term by term."""
    terms = [1.0]
    for standing in range(1, machines + 1):
        terms.append(terms[-1] * (machines - standing + 1) * load / min(standing, repairers))
    return math.fsum((machines - standing) * term for standing, term in enumerate(terms)) / math.fsum(terms)


@pytest.mark.parametrize(("machines", "repairers"), [(1, 1), (5, 1), (6, 2)])
def test_machines_and_repairers_as_the_queue_has_it(machines: int, repairers: int) -> None:
    """Stops after 70 min of work, repairs of 20 min, both exponential: running machines and waiting machines."""
    repair = {"dist": "exponential", "mean_s": 1200}
    form = alone_row(machines, fault_mean_s=4200, repair=repair, repairers=repairers)
    c, each = replications(cell_from(form), 600, 8)
    running = running_exactly(machines, repairers, 1200 / 4200)

    assert abs(z_of([machines_in(c, counts, "working") for counts in each], running)) < 3
    in_repair = running * 1200 / 4200  # what comes in goes out
    assert abs(z_of([machines_in(c, counts, "in_repair") for counts in each], in_repair)) < 3


def test_misses_of_a_pick_are_geometric() -> None:
    """One try in ten misses, without end: the misses of n picks have mean n / 9 and variance 10 n / 81."""
    form = arm_cell(time_s=1)
    form["handling"][0]["miss"] = {"p": 0.1, "retries": None, "retry_s": 1}
    _, each = replications(cell_from(form), 24, 4)
    at_misses, at_picked = COUNTS.index("misses"), COUNTS.index("picked")
    misses = sum(counts.counted[at_misses] for counts in each)
    picked = sum(counts.counted[at_picked] for counts in each)

    assert picked > 8000
    assert abs(misses - picked / 9) < 3 * math.sqrt(picked * 10 / 81)


def test_good_parts_are_binomial() -> None:
    """Seven in ten good: the good ones of n parts have mean 0.7 n and variance 0.21 n."""
    form = arm_cell(time_s=1)
    form["parts"]["part"]["route"][1]["good"] = 0.7
    _, each = replications(cell_from(form), 24, 4)
    good, parts = (sum(counts.counted[COUNTS.index(name)] for counts in each) for name in ("good", "parts"))

    assert abs(good - 0.7 * parts) < 3 * math.sqrt(0.21 * parts)


@pytest.mark.parametrize("machines", [1, 2, 3, 5])
def test_one_person_and_alike_machines(machines: int) -> None:
    """Servicing 30 s, walk 4 s, machining 100 s: the machine's cycle while the person can keep up, else his round.

    The person exchanges parts that lie at the machine, so each visit is one exchange; the classical worker-machine
    model: cycle = max(machining + servicing, machines * (servicing + walk)).
    """
    form = arm_cell(machines, hands=2)
    names = [f"m{number + 1}" for number in range(machines)]
    form["attendants"]["arm"]["kind"] = "operator"
    form["stations"] |= {f"in{name}": {"kind": "supply", "place": name, "capacity": None} for name in names}
    form["stations"] |= {f"out{name}": {"kind": "sink", "place": name, "capacity": None} for name in names}
    del form["stations"]["raw"], form["stations"]["done"]
    form["handling"] = [
        {"who": ["arm"], "at": [f"in{name}" for name in names], "pick": {"hold_s": 0}},
        {"who": ["arm"], "at": [f"out{name}" for name in names], "place": {"hold_s": 0}},
        {"who": ["arm"], "at": names, "place": {"hold_s": 30}, "swap": {"hold_s": 30}},
    ]
    form["parts"] = {
        f"part{name}": {"route": [{"at": [f"in{name}"]}, {"at": [name], "time_s": 100}, {"at": [f"out{name}"]}]}
        | ({"share": 1 / machines} if machines > 1 else {})
        for name in names
    }
    out = times_s(run_of(form, 3), "out")
    walk = 0 if machines == 1 else 4
    cycle = max(130, machines * (30 + walk))

    assert out[-1] - out[-1 - 12 * machines] == 12 * cycle


@pytest.mark.parametrize(("machines", "hands", "cycle_s"), [(1, 1, 132), (1, 2, 110), (4, 1, 36), (4, 2, 32)])
def test_arm_and_machines_in_closed_form(machines: int, hands: int, cycle_s: float) -> None:
    """One: the machine's cycle. Four: the arm's round, 36 s with one gripper (raw 5, way 4, load 5, unload 5, way 4,
    out 5, ways 4 + 4), 32 s with two (raw 5, way 4, exchange 10, way 4, out 5, way 4)."""
    out = times_s(run_of(arm_cell(machines, hands=hands), 3), "out")

    assert out[-1] - out[-1 - 4 * machines] == 4 * machines * cycle_s


def test_the_reference_cell_without_chance_is_exact() -> None:
    """Its cycle by hand: first parts, parts in 20 days, and the states of whole periods to the millisecond."""
    known = EXPECTED["zero_variance"]
    run = run_of(plain(reference_form()), 3 * known["period_s"] * 100 / 3600)
    later = run_of(plain(reference_form()), 4 * known["period_s"] * 100 / 3600)
    states = {f"arm1_{name}": value for name, value in grouped(attendant_s, run, later, "arm1").items()}
    for machine in ("m1", "m2", "m3"):
        states |= {f"{machine}_{name}": value for name, value in grouped(station_s, run, later, machine).items()}

    assert times_s(run, "out")[:3] == known["first_parts_s"]
    assert {name: states.get(name, 0.0) / 100 for name in known["state_s_per_period"]} == known["state_s_per_period"]


def test_the_reference_cell_without_chance_makes_37562_parts_in_20_days() -> None:
    """To the part."""
    cell = cell_from(plain(reference_form()))
    run = finished_run(compiled(cell), 20 * DAY_S * 1000, seed=1, replication=0)

    assert run.k.counts[COUNTS.index("parts")] == EXPECTED["zero_variance"]["parts_in_days"]["20"]


Seconds = Callable[..., dict[str, float]]


def grouped(of: Seconds, run: object, later: object, name: str) -> dict[str, float]:
    """The time between two horizons by the states that the reference programs tell apart."""
    before, after = of(run, name), of(later, name)
    found: dict[str, float] = {}
    for state in after:
        key = MEASURES.get(state, state)
        found[key] = found.get(key, 0.0) + after[state] - before.get(state, 0.0)
    return found


def test_the_reference_cell_agrees_with_the_independent_program() -> None:
    """Five replications of 20 days against its long run (benchmarks/reference): 27 figures within 3.5 standard errors.

    Own computation on both sides; the other program was written apart, with other random numbers.
    """
    c, each = replications(read_cell(TOP / "benchmarks/reference/reference_cell.json"), 480, 5)
    far = {}
    for name, known in EXPECTED["reference"].items():
        if name == "events_per_part":
            continue
        mean = math.fsum(measure(c, counts, name) for counts in each) / len(each)
        error = math.hypot(known["sd_of_one_replication"] / math.sqrt(len(each)), known["half_width_95"] / 1.96)
        z = (mean - known["mean"]) / error
        if abs(z) > 3.5:
            far[name] = (mean, known["mean"], z)

    assert not far


def measure(c: Compiled, counts: Counts, name: str) -> float:
    """One figure of the reference programs: a count a day, or the share of a state."""
    who, _, what = name.partition("_")
    if what == "per_day":
        number = dict(zip(COUNTS, counts.counted, strict=True)) | dict(
            zip(c.duty_names, counts.duty_ended, strict=True)
        )
        number |= {"refills": number["refill"], "repairs": number["clear"]}
        number["interventions"] = number["refills"] + number["repairs"]
        return number[who] / 20
    station = who in c.station_names
    names, book, states = (
        (c.station_names, counts.stations, STATION_STATES)
        if station
        else (c.attendant_names, counts.attendants, ATTENDANT_STATES)
    )
    base = names.index(who) * len(states)
    total = sum(book[base + at] for at, state in enumerate(states) if MEASURES.get(state, state) == what)
    return total / (20 * DAY_S * 1000)
