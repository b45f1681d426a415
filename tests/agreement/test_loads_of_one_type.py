"""The parts of one load are of one type, at one step of their route: in the simulation, whichever rule chooses, and in
the plan for lots, as the validator reads it."""

from random import Random

import pytest

from millhand.errors import ToolError
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.kernel.codes import PROCESS
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import Finished, finished_run, run_on
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, times_s

SEEDS = range(24)  # range(400) by hand
LOOK_S = 7
LOOKS = 400
RULES = ("longest_waiting", "first_to_finish", "nearest")


def two_types(seed: int) -> Form:
    """An arm and one or two machines with loads of two or three parts of two types, or of one type at two steps."""
    dice = Random(f"two types {seed}")
    machines, hands = dice.choice([1, 2]), dice.choice([1, 1, 2, 3])
    form = arm_cell(machines, hands=hands, way_s=dice.choice([0, 1, 4]))
    names = [f"m{number + 1}" for number in range(machines)]
    kind = several(dice, seed)
    for name in names:
        form["stations"][name] |= {"batch": dice.choice([2, 3])} | kind
    if dice.random() < 0.5:
        form["handling"][2].pop("swap", None)
    times = [dice.randint(0, 60), dice.randint(0, 60)]
    ends = ({"at": ["raw"]}, {"at": ["done"]})
    if seed % 4 == 3:
        store = {"kind": "store", "place": "in", "capacity": None}
        form["stations"] |= {"between": store}
        form["handling"].append({"who": ["arm"], "at": ["between"], "pick": {"hold_s": 2}, "place": {"hold_s": 2}})
        steps = [{"at": names, "time_s": times[0]}, {"at": ["between"]}, {"at": names, "time_s": times[1]}]
        form["parts"] = {"part": {"route": [ends[0], *steps, ends[1]]}}
    else:
        shares = dice.choice([(0.5, 0.5), (0.25, 0.75)])
        form["parts"] = {
            f"part{number + 1}": {"share": share, "route": [ends[0], {"at": names, "time_s": time}, ends[1]]}
            for number, (share, time) in enumerate(zip(shares, times, strict=True))
        }
    form["dispatch"] = {"arm": {"rule": dice.choice(RULES)}}
    return form


def several(dice: Random, seed: int) -> Form:
    """Buffers of a machine's own, or parts that come in by themselves, or neither; what takes raw parts in by itself
    never leaves room for those that come back for their second step."""
    queues = {"in_queue": dice.choice([1, 2, 3]), "out_queue": dice.choice([0, 2])}
    return dice.choice([{}, {}, queues, {} if seed % 4 == 3 else {"self_in": True}])


def mixed(run: Finished) -> list[str]:
    """The machines in which parts of two steps wait together for their load, or are worked on together."""
    found = []
    for s, name in enumerate(run.c.station_names):
        first = run.c.stations.piece_from[s] + int(run.k.s_done[s])
        last = run.c.stations.piece_from[s] + int(run.k.s_inside[s])
        steps = {int(run.k.q_step[run.k.piece[at]]) for at in range(first, last)}
        if run.c.stations.kind[s] == PROCESS and len(steps) > 1:
            found.append(name)
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_no_load_holds_two_types(seed: int) -> None:
    """At no moment that is looked at do parts of two steps lie in one load, and all types come out."""
    cell = cell_from(two_types(seed))
    run = finished_run(compiled(cell), 0, seed=1, replication=0, logging=True)
    for look in range(1, LOOKS):
        run_on(run, round(look * LOOK_S / cell.grid_s))

        assert mixed(run) == []
    assert min(run.k.p_out[: len(cell.parts)].tolist()) > 0


def one_of_each(machine: Form) -> Form:
    """A lot of two of each of two types from a supply each, one machine with loads of two."""
    form = arm_cell(1, time_s=30, way_s=1)
    form["goal"] = "makespan"
    form["stations"]["m1"] |= {"batch": 2} | machine
    form["stations"]["raw2"] = {"kind": "supply", "place": "in", "capacity": None}
    form["handling"][0]["at"] = ["raw", "raw2"]
    form["parts"] = {
        name: {"lot": {"size": 2}, "route": [{"at": [supply]}, {"at": ["m1"], "time_s": 30}, {"at": ["done"]}]}
        for name, supply in (("part1", "raw"), ("part2", "raw2"))
    }
    form["dispatch"] = {"arm": {"rule": "longest_waiting"}}
    return form


@pytest.mark.parametrize("machine", [{}, {"in_queue": 2}, {"in_queue": 1, "out_queue": 2}])
def test_the_simulation_is_not_faster_than_the_plan(machine: Form) -> None:
    """Both make two loads, each of one type, whichever the supplies would give; and the validator reads it so."""
    cell = cell_from(one_of_each(machine))
    plan = shortest_makespan(cell, deadline=None, deterministic=2.0, workers=1, seed=1)
    run = finished_run(compiled(cell), round(3600 / cell.grid_s), seed=1, replication=0, logging=True)

    assert violations(cell, plan) == []
    assert counts_of(run)["parts"] == 4
    assert max(times_s(run, "out")) >= plan.least_steps * cell.grid_s


@pytest.mark.parametrize("machine", [{"in_queue": 2, "out_queue": 1}, {"capacity": 2, "in_queue": 1}])
def test_loads_that_take_no_time_pass_the_validator(machine: Form) -> None:
    """Start, finish and the way into the buffer behind fall on one moment: the parts of a load have one start."""
    form = one_of_each(machine)
    for part in form["parts"].values():
        part["route"][1]["time_s"] = 0
    cell = cell_from(form)
    plan = shortest_makespan(cell, deadline=None, deterministic=1.0, workers=1, seed=1)

    assert plan.proven
    assert violations(cell, plan) == []


def test_a_load_that_is_never_complete_is_told() -> None:
    """A supply that gives one part of each type in turn never completes a load of two: an error says who waits."""
    form = one_of_each({})
    route = form["parts"]["part1"]["route"]
    form["parts"] = {name: {"lot": {"size": 1}, "route": route} for name in ("part1", "part2")}
    cell = cell_from(form)
    with pytest.raises(ToolError) as told:
        finished_run(compiled(cell), round(3600 / cell.grid_s), seed=1, replication=0, logging=False)

    assert told.value.code == "deadlock"
    assert "m1 holds 1 of the 2 parts of a load" in str(told.value)
