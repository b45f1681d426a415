"""The simulation with nothing left to chance: what comes out is the closed-form cycle, to the grid step."""

import math
from typing import Any

import pytest

from millhand.formulas.worker_machine import operator_idle_share, servicing_cycle_s
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.replications import log_lines, simulate
from tests.agreement.test_queues import Form, chain_cell
from tests.reference_variants import plain, reference_form
from tests.solvers.kernel.shop import arm_cell, with_person

QUICK_HOURS = 6.0
QUICK_DAYS = (1,)
PARTS_IN_DAYS = {1: 1875, 20: 37562, 23: 43197, 46: 86397}  # of the reference cell, by hand: its README


def out_s(form: Form, hours: float = QUICK_HOURS) -> list[float]:
    """When parts came out."""
    return [float(line["t_s"]) for line in log_lines(cell_from(form), hours=hours) if line["what"] == "out"]


def assert_steady(form: Form, *, cycle_s: float, parts: int = 1, hours: float = QUICK_HOURS) -> None:
    """In the second half of the run `parts` come out in each cycle, exactly; and no replication differs."""
    times = out_s(form, hours)
    late = [time for time in times if time > hours * 1800]
    assert late, "nothing comes out"
    apart = {round(after - before, 6) for before, after in zip(late, late[parts:], strict=False)}

    assert apart == {round(cycle_s, 6)}
    output = simulate(cell_from(form), hours=hours, replications=2, seed=7)
    assert output.parts_per_h.low == output.parts_per_h.mean == output.parts_per_h.high
    assert output.parts_per_h.mean * hours == pytest.approx(len(times))


def one_machine(*, hands: int, time_s: float, visits: dict[str, Form], ways: list[list[float]]) -> Form:
    """An arm and one machine with its own times for everything."""
    form = arm_cell(1, hands=hands, time_s=time_s)
    form["moves"]["ways"]["empty_s"] = ways
    form["handling"] = [
        {"who": ["arm"], "at": ["raw"], "pick": visits["raw"]},
        {"who": ["arm"], "at": ["done"], "place": visits["done"]},
        {"who": ["arm"], "at": ["m1"], **{name: visits[name] for name in ("pick", "place", "swap") if name in visits}},
    ]
    return form


WAYS = [[0, 3, 7], [4, 0, 5], [6, 2, 0]]  # in, machine, out; not symmetric


@pytest.mark.parametrize("time_s", [10.0, 90.0, 400.0])
def test_one_machine_and_one_gripper(time_s: float) -> None:
    """Process, unload, way out, put down, way in, pick up, way to the machine, load: one after the other."""
    visits = {
        "raw": {"lead_s": 0.5, "hold_s": 4},
        "done": {"hold_s": 2.5},
        "pick": {"lead_s": 1.25, "hold_s": 6, "tail_s": 3},
        "place": {"lead_s": 0.75, "hold_s": 8, "tail_s": 2},
    }
    form = one_machine(hands=1, time_s=time_s, visits=visits, ways=WAYS)
    cycle_s = time_s + (1.25 + 6) + 5 + 2.5 + 6 + (0.5 + 4) + 3 + (0.75 + 8 + 2)

    assert_steady(form, cycle_s=cycle_s)
    states = simulate(cell_from(form), hours=QUICK_HOURS, replications=1).states
    open_share = 2 * cycle_s / (QUICK_HOURS * 3600)
    assert abs(states["m1"]["working"] - time_s / cycle_s) < open_share
    assert abs(states["arm"]["carrying"] - (5 + 3) / cycle_s) < open_share
    assert abs(states["arm"]["travelling"] - 6 / cycle_s) < open_share


@pytest.mark.parametrize("time_s", [10.0, 90.0, 400.0])
def test_one_machine_and_two_grippers(time_s: float) -> None:
    """The machine's cycle, process and exchange, or the arm's round where that is longer."""
    visits = {
        "raw": {"hold_s": 4},
        "done": {"hold_s": 2.5},
        "place": {"hold_s": 8},
        "swap": {"lead_s": 1, "hold_s": 9, "tail_s": 3},
    }
    form = one_machine(hands=2, time_s=time_s, visits=visits, ways=WAYS)
    machine_s = time_s + 1 + 9 + 3
    round_s = 3 + 1 + 9 + 5 + 2.5 + 6 + 4  # after a swap: out, in, and back to the machine

    assert_steady(form, cycle_s=max(machine_s, round_s))


def tended(machines: int, *, time_s: float, load_s: float, walk_s: float, pace: float = 1.0) -> Form:
    """One person, alike machines in a ring, raw and finished parts beside each machine."""
    names = [f"m{number + 1}" for number in range(machines)]
    ring = [[walk_s if a != b else 0 for b in names] for a in names]
    swap = {"hold_s": load_s}
    return {
        "format": "millhand-cell/1",
        "name": "one person and alike machines",
        "places": {name: {} for name in names},
        "stations": {f"in_{name}": {"kind": "supply", "place": name, "capacity": None} for name in names}
        | {f"out_{name}": {"kind": "sink", "place": name, "capacity": None} for name in names}
        | {name: {"kind": "process", "place": name} for name in names},
        "attendants": {"person": {"kind": "operator", "hands": 2, "home": "m1", "moves": "walk", "pace": pace}},
        "moves": {"walk": {"places": names, "empty_s": ring}},
        "handling": [
            {"who": ["person"], "at": [f"in_{name}" for name in names], "pick": {"hold_s": 0}},
            {"who": ["person"], "at": [f"out_{name}" for name in names], "place": {"hold_s": 0}},
            {"who": ["person"], "at": names, "place": swap, "swap": swap},
        ],
        "parts": {
            f"part_{name}": {
                "share": 1 / machines,
                "route": [{"at": [f"in_{name}"]}, {"at": [name], "time_s": time_s}, {"at": [f"out_{name}"]}],
            }
            for name in names
        },
        "dispatch": {"person": {"rule": "first_to_finish"}},
    }


@pytest.mark.parametrize("machines", [2, 4, 6])
@pytest.mark.parametrize(("time_s", "load_s", "walk_s"), [(100, 30, 4), (300, 45, 15), (60, 60, 10)])
def test_one_person_and_alike_machines(machines: int, time_s: float, load_s: float, walk_s: float) -> None:
    """The formula of the worker-machine chart: the machine's cycle, or the person's round."""
    form = tended(machines, time_s=time_s, load_s=load_s, walk_s=walk_s)
    given = {"machining_s": time_s, "walk_s": walk_s, "machines": machines}

    assert_steady(form, cycle_s=servicing_cycle_s(load_s, **given), parts=machines)
    idle = operator_idle_share(load_s, **given)
    states = simulate(cell_from(form), hours=QUICK_HOURS, replications=1).states["person"]
    waits = states.get("idle", 0.0) + states.get("waiting_station", 0.0)
    assert abs(waits - idle) < 2 * servicing_cycle_s(load_s, **given) / (QUICK_HOURS * 3600)


@pytest.mark.parametrize("pace", [0.8, 1.25])
def test_pace_multiplies_walking_and_handling(pace: float) -> None:
    """With more machines than the person can keep up with, the round is as many times as long."""
    form = tended(6, time_s=60, load_s=40, walk_s=10, pace=pace)

    assert_steady(form, cycle_s=6 * 50 * pace, parts=6)


@pytest.mark.parametrize("times_s", [(30.0, 45.0, 20.0), (10.0, 10.0), (50.0, 40.0, 30.0, 20.0)])
@pytest.mark.parametrize("room", [0, 2, None])
def test_a_row_of_stations_is_as_fast_as_its_slowest(times_s: tuple[float, ...], room: int | None) -> None:
    """With or without room between them; the first part takes the sum of all."""
    form = chain_cell(*((time_s, room) for time_s in times_s))

    assert_steady(form, cycle_s=max(times_s), hours=1)
    assert out_s(form, 1)[0] == sum(times_s)


@pytest.mark.parametrize("by_itself", [("self_out", "self_out"), ("self_in", "self_in")], ids=["out", "in"])
@pytest.mark.parametrize("queues", [(2, 0), (0, 3), (2, 3)])
def test_own_buffers_are_filled_by_themselves(by_itself: tuple[str, str], queues: tuple[int, int]) -> None:
    """Where the supply gives or the machine takes by itself nobody need carry parts into and out of own buffers."""
    form = chain_cell((30.0, 0), (45.0, 0))
    gives, takes = form["stations"]["raw"], form["stations"]["done"]
    for name in ("s1", "s2"):
        kept = {"kind": "process", by_itself[0]: True, "in_queue": queues[0], "out_queue": queues[1]}
        form["stations"][name] = kept
    gives |= {"self_out": True} if by_itself[0] == "self_out" else {}
    takes |= {"self_in": True} if by_itself[1] == "self_in" else {}

    assert_steady(form, cycle_s=45.0, hours=1)


@pytest.mark.parametrize("batch", [1, 3, 8])
def test_a_load_of_several_parts(batch: int) -> None:
    """So many parts in each process time."""
    form = chain_cell((40, 0))
    form["stations"]["s1"]["batch"] = batch
    output = simulate(cell_from(form), hours=1, replications=1)

    assert output.parts_per_h.mean == pytest.approx((math.ceil(3600 / 40) - 1) * batch)


HOURS: list[tuple[str, list[list[float]], float]] = [
    ("one shift", [[21_600, 50_400]], 8.0),
    ("a shift with a break", [[21_600, 36_000], [37_800, 52_200]], 8.0),
    ("two shifts", [[0, 21_600], [43_200, 86_400]], 18.0),
]


@pytest.mark.parametrize(("name", "on", "hours"), HOURS, ids=[name for name, *_ in HOURS])
def test_hours_of_a_person_and_of_a_machine(name: str, on: list[list[float]], hours: float) -> None:
    """Two days: a person is there so many hours of 24, and a machine starts loads only in its own."""
    form: dict[str, Any] = chain_cell((60, 0), name=name)
    form["calendars"] = {"day": {"period_s": 86400, "on": on}}
    form["stations"]["s1"]["calendar"] = "day"
    form["attendants"] = {"person": {"kind": "operator", "calendar": "day"}}
    output = simulate(cell_from(form), hours=48, replications=1)

    away = sum(output.states["person"].get(state, 0.0) for state in ("off", "break"))
    assert away == pytest.approx(1 - hours / 24)
    assert output.attended_share == pytest.approx(hours / 24)
    # Whole loads of 60 s fit the intervals; the one that ends with the second day's last interval may not count.
    assert output.states["s1"]["working"] == pytest.approx(hours / 24)
    assert abs(output.parts_per_h.mean * 48 - 2 * hours * 60) <= 1


@pytest.mark.parametrize(("every_s", "takes_s"), [(600.0, 60.0), (1000.0, 400.0)])
def test_duties_by_the_clock(every_s: float, takes_s: float) -> None:
    """A duty each so many seconds keeps a free person busy takes / every of the time."""
    form = chain_cell((60, 0))
    form["attendants"] = {"person": {"kind": "operator"}}
    trigger = {"kind": "clock", "every": every_s}
    form["duties"] = {"round": {"trigger": trigger, "who": ["person"], "takes": takes_s}}
    output = simulate(cell_from(form), hours=50, replications=1)

    assert abs(output.states["person"]["on_duty"] - takes_s / every_s) < every_s / 180_000
    assert abs(output.duties["round"].mean * 50 - 180_000 / every_s) <= 1


@pytest.mark.parametrize("days", QUICK_DAYS)
def test_the_reference_cell_without_chance(days: int) -> None:
    """First parts at 171, 206 and 243 s, three in 138 s from then on, so many in whole days: all by hand."""
    form = plain(reference_form())
    assert out_s(form, 0.1)[:3] == [171.0, 206.0, 243.0]
    cell = cell_from(form)
    output = simulate(cell, hours=24 * days, replications=1)

    assert round(output.parts_per_h.mean * 24 * days, 6) == PARTS_IN_DAYS[days]
    assert PARTS_IN_DAYS[days] == sum(math.ceil((86_400 * days - first) / 138) for first in (171, 206, 243))


def two_people(who: list[str], *, ways_s: tuple[float, float], response_s: float) -> Form:
    """A machine that stops after 150 s of work, and two people who stand so far from it; what they do is logged."""
    form = arm_cell()
    form["stations"]["m1"]["faults"] = [{"id": "stop", "on": "busy", "every": 150, "duty": "clear"}]
    form["places"] |= {"here": {}, "there": {}}
    form["moves"]["walk"] = {
        "places": ["m1", "here", "there"],
        "empty_s": [[0, *ways_s], [ways_s[0], 0, 5], [ways_s[1], 5, 0]],
    }
    homes = {"person1": "here", "person2": "there"}
    form["attendants"] |= {name: {"kind": "operator", "home": home, "moves": "walk"} for name, home in homes.items()}
    clear = {"trigger": {"kind": "fault"}, "who": who, "takes": 30, "holds": "station", "response_s": response_s}
    form["duties"] = {"clear": clear}
    return form


def test_an_absence_may_be_there_from_the_start() -> None:
    """The person comes at 3600 s; the machine stops at 196 s, which is how long the cell ran alone."""
    clear = {"trigger": {"kind": "fault"}, "takes": 30, "holds": "station"}
    form = with_person(arm_cell(), on=[[3600, 7200]], clear=clear)
    form["stations"]["m1"]["faults"] = [{"id": "stop", "on": "busy", "every": 150, "duty": "clear"}]
    alone = simulate(cell_from(form), hours=1.5, replications=1).alone_s

    assert (alone["absences"], alone["stopped"], alone["p50_s"]) == (1, 1, 196)
