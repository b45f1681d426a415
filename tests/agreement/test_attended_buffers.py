"""An attended machine with a buffer of its own: in the schedule, in the simulation, and by hand."""

import json
from pathlib import Path
from random import Random

import pytest
from click.testing import CliRunner

from millhand.cli.main import group
from millhand.cli.schedule_words import number
from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import cycle_bound_steps, least_for, rate_bound_per_h
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.trays import with_trays
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.replications import simulate
from millhand.solvers.kernel.running import finished_run
from tests.agreement.test_simulation_plain import assert_steady, out_s
from tests.solvers.kernel.shop import Form, arm_cell, attendant_s, run_of, station_s

RANDOM_SEEDS = (0, 1, 9, 13, 17)  # range(24) by hand
SEVERAL_SEEDS = (0, 3, 4)  # range(40) by hand
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


@pytest.mark.parametrize("tail_s", [0, 9])
def test_the_first_parts_of_a_load_keep_nobody(tail_s: float) -> None:
    """The arm brings three parts one by one, stays for the work on all, and takes them out one by one. It fetches the
    next one while the door closes behind a part that leaves the load incomplete."""
    form = attended(batch=3)
    form["handling"][2]["place"]["tail_s"] = tail_s
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    found = best_cycle(cell_from(form), effort=BRIEF)
    around_s = 6 * (5 + 4 + 5) + 5 * 4 + tail_s + 20

    assert (found.period_steps, found.parts_per_period, found.proven) == (around_s * 1000, 3, True)
    assert_steady(form, cycle_s=around_s, parts=3)


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


def bench(machine: Form | None = None, **brings: Form) -> Form:
    """Somebody brings parts to the tray of a bench, somebody else works there for 20 s and takes them away."""
    form = arm_cell(1, time_s=20.0)
    form["stations"]["m1"] |= {"attended": True, "in_queue": 2} | (machine or {})
    arm = form["attendants"].pop("arm") | {"kind": "operator"}
    form["attendants"] = {
        "brings": arm | {"take_from": ["raw"], "put_to": []} | brings,
        "works": arm | {"home": "m1", "take_from": ["m1"], "put_to": ["m1", "done"]},
    }
    for row in form["handling"]:
        row["who"] = ["brings", "works"]
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    return form


def random_bench(seed: int) -> Form:
    """A bench with a tray and a machine in line, with one hand or two people and own buffers."""
    dice = Random(seed)
    form = arm_cell(2, way_s=dice.randint(1, 6)) | {"grid_s": 0.5}
    form["stations"]["m1"] |= {"attended": True, "in_queue": dice.choice([1, 2, None])}
    form["stations"]["m1"] |= {"out_queue": dice.choice([0, 0, 1])}
    form["stations"]["m2"] |= {"in_queue": dice.choice([0, 0, 1])}
    first, second = ({"at": [name], "time_s": dice.randint(5, 60)} for name in ("m1", "m2"))
    form["parts"]["part"]["route"] = [{"at": ["raw"]}, first, second, {"at": ["done"]}]
    if dice.random() < 0.5:
        form["attendants"]["other"] = dict(form["attendants"]["arm"])
        for row in form["handling"]:
            row["who"] = ["arm", "other"]
        if dice.random() < 0.5:
            form["attendants"]["arm"] |= {"put_to": ["m1"], "take_from": ["raw"]}
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    return form


TENDS_S = 20 + 5 + 4 + 5 + 4  # work, lift, way, set down, way back
BELT: Form = {"self_in": True}


@pytest.mark.parametrize("rule", ["cycle", "longest_waiting"])
def test_a_bench_with_a_tray_that_a_belt_fills(rule: str) -> None:
    """Whoever works there takes the next part out of the tray in no time; nobody else is needed."""
    form = bench(BELT)
    form["dispatch"]["works"] = {"rule": rule}
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == (TENDS_S * 1000, 1, True)
    assert_steady(form, cycle_s=TENDS_S)


def test_whoever_brings_parts_to_a_tray_need_not_stay() -> None:
    """The other one takes them out of it; who may put to the bench may also fill its tray."""
    form = bench(take_from=["raw"], put_to=["m1"])
    form["attendants"]["works"]["put_to"] = ["done"]
    stays = best_cycle(cell_from(form), effort=BRIEF)

    assert (stays.period_steps, stays.proven) == ((5 + 4 + 5 + 20 + 4) * 1000, True)
    assert_steady(form, cycle_s=5 + 4 + 5 + 20 + 4)


@pytest.mark.parametrize("seed", RANDOM_SEEDS)
def test_random_benches(seed: int) -> None:
    """The cycle is proven, passes the validator, and comes out of the simulation to the grid step."""
    form = random_bench(seed)
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert found.proven
    assert violations(cell_from(form), found) == []
    assert_steady(form, cycle_s=found.period_steps / 2, parts=found.parts_per_period, hours=2.0)


def test_lots_over_a_bench() -> None:
    """A tray is passed by every part of the lots; the plan is proven, and what each rule of dispatch needs too."""
    form = attended(in_queue=1) | {"goal": "makespan"}
    form["parts"]["part"]["lot"] = {"size": 3}
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert (found.period_steps, found.proven) == ((3 * AROUND_S - 4) * 1000, True)
    assert simulate(cell_from(form), hours=1.0, replications=1).finished_s.mean == 3 * AROUND_S - 4


def several_benches(seed: int) -> Form:
    """One bench with two places, perhaps before another machine, or two benches for one step, each with a tray; one
    hand or several people, own buffers, ways of their own with a part in hand."""
    dice = Random(f"benches {seed}")
    slots, people = dice.random() < 0.5, dice.choice([1, 2, 2, 3])
    names = ["m1"] if slots else ["m1", "m2"]
    form = arm_cell(2, way_s=dice.randint(1, 6)) | {"grid_s": 0.5}
    for name in names:
        buffers = {"in_queue": dice.choice([1, 2, None]), "out_queue": dice.choice([0, 0, 1])}
        form["stations"][name] |= {"attended": True, "capacity": 2 if slots else 1} | buffers
    step = {"at": names, "time_s": {name: dice.randint(5, 60) for name in names}}
    behind = [{"at": ["m2"], "time_s": dice.randint(5, 60)}] if slots and dice.random() < 0.5 else []
    form["parts"]["part"]["route"] = [{"at": ["raw"]}, step, *behind, {"at": ["done"]}]
    if dice.random() < 0.5:
        ways = form["moves"]["ways"]
        ways["loaded_s"] = [[way and way + dice.randint(0, 4) for way in row] for row in ways["empty_s"]]
    form["attendants"] |= {f"other{number}": dict(form["attendants"]["arm"]) for number in range(1, people)}
    for row in form["handling"]:
        row["who"] = list(form["attendants"])
    if people > 1 and dice.random() < 0.5:
        form["attendants"]["arm"] |= {"put_to": names, "take_from": ["raw"]}
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    return form


@pytest.mark.parametrize("seed", SEVERAL_SEEDS)
def test_random_benches_of_several_places(seed: int) -> None:
    """What is found passes the validator, and comes out of the simulation to the grid step."""
    form = several_benches(seed)
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert violations(cell_from(form), found) == []
    assert_steady(form, cycle_s=found.period_steps / 2, parts=found.parts_per_period, hours=2.0)


@pytest.mark.parametrize(("people", "parts"), [(1, 1), (2, 2)])
def test_a_bench_with_two_places_and_a_tray_for_each(people: int, parts: int) -> None:
    """Each of those who work there makes as many parts as one who has a bench alone."""
    form = bench(BELT | {"capacity": 2})
    form["attendants"] |= {f"works{number}": form["attendants"]["works"] for number in range(1, people)}
    for row in form["handling"]:
        row["who"] = list(form["attendants"])
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert (found.period_steps * parts, found.proven) == (found.parts_per_period * TENDS_S * 1000, True)


def test_from_a_tray_a_part_goes_into_the_machine_behind_it_only() -> None:
    """Every tray has a place of its own, where its machine is; loaded ways lead from there to that machine alone."""
    form = attended(in_queue=1, capacity=2)
    form["stations"]["m2"] = dict(form["stations"]["m1"], capacity=1)
    form["parts"]["part"]["route"][1]["at"] = ["m1", "m2"]
    form["handling"][2]["at"] = ["m1", "m2"]
    cell = with_trays(cell_from(form))
    places, ways = cell.moves["ways"].places, cell.moves["ways"].loaded_s or ()
    trays = {"m1_tray": "m1", "m1_tray slot 2": "m1 slot 2", "m2_tray": "m2"}
    assert set(trays) < set(cell.stations)

    for tray, machine in trays.items():
        start, goal = cell.stations[tray].place, cell.stations[machine].place
        open_ways = {
            end: way for end, way in zip(places, ways[places.index(start or "")], strict=True) if way is not None
        }
        assert open_ways == {start: 0, goal: 0}


def test_a_stop_that_names_a_bench_stops_all_of_its_places() -> None:
    """Also where each place has become a machine behind its tray."""
    form = bench(BELT | {"capacity": 2})
    stop = {"id": "air", "on": "clock", "every": 100, "self_s": 10, "stops": ["m1"]}
    form["stations"]["raw"]["faults"] = [stop]

    assert with_trays(cell_from(form)).stations["raw"].faults[0].stops == ("m1", "m1 slot 2")


@pytest.mark.parametrize(("rule", "comes_s"), [("cycle", 0), ("longest_waiting", 4)])
def test_who_may_not_take_a_part_away_leaves_it_to_somebody_else(rule: str, comes_s: int) -> None:
    """Somebody works at the bench, another takes the parts away; without a schedule only when one is done."""
    form = bench(BELT)
    works, brings = form["attendants"]["works"], form["attendants"]["brings"]
    takes = {"takes": works | {"put_to": ["done"]}}
    form["attendants"] = takes | {"works": works | {"take_from": [], "put_to": ["m1"]}, "brings": brings}
    for row in form["handling"]:
        row["who"] = list(form["attendants"])
    form["dispatch"] = {who: {"rule": rule} for who in form["attendants"]}

    assert_steady(form, cycle_s=20 + comes_s + 5)


def test_with_two_hands_one_gets_the_part_when_the_other_has_stayed() -> None:
    """The arm comes first in the file and waits at the tray with a raw part in its other hand, where somebody stays at
    the bench: it may lift as soon as he has done."""
    form = random_bench(47)
    for attendant in form["attendants"].values():
        attendant["hands"] = 2
    form["attendants"]["arm"]["turn_s"] = 2
    form["handling"][2]["swap"] = {"hold_s": 10}
    form["moves"]["ways"]["empty_s"] = [[0, 2, 5, 5], [1, 0, 4, 1], [6, 1, 0, 2], [1, 2, 5, 0]]
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert_steady(form, cycle_s=found.period_steps / 2, parts=found.parts_per_period)


def gauged(every: int, **buffers: int) -> Form:
    """One arm, a machine, and a gauge where the arm stays for 12 s with each so many-th part."""
    form = arm_cell(2, time_s=20.0)
    form["stations"]["m2"] |= {"attended": True} | buffers
    gauge = {"at": ["m2"], "time_s": 12, "every": every, "on_bad": "scrap_since_last"}
    form["parts"]["part"]["route"][1:2] = [{"at": ["m1"], "time_s": 20}, gauge]
    return form


@pytest.mark.parametrize(("every", "behind"), [(5, 0), (3, 1)])
def test_a_tray_of_a_gauge_that_each_so_many_th_part_visits(every: int, behind: int) -> None:
    """For one arm the tray changes nothing: the same moments, not above the bound, and a cycle that says what it
    leaves out."""
    forms = [gauged(every, out_queue=behind), gauged(every, out_queue=behind, in_queue=2)]
    plain, tray = (cell_from(form) for form in forms)
    cycles = [best_cycle(cell, effort=BRIEF) for cell in (plain, tray)]
    moments = [out_s(form, 2.0) for form in forms]

    assert moments[1] == moments[0]
    assert len(moments[1]) <= 2 * rate_bound_per_h(tray)
    assert violations(tray, cycles[1]) == []
    assert [each.period_steps for each in cycles] == [cycles[0].period_steps] * 2
    assert any(f"visited by one part in {every}" in words for words in cycles[1].left_out)


def test_somebody_else_gauges_what_lies_in_the_tray() -> None:
    """The arm goes on meanwhile, so more comes out than where it gauges itself, and no more than the bound says."""
    form = gauged(2, in_queue=2)
    arm = form["attendants"]["arm"]
    form["attendants"]["gauges"] = arm | {
        "kind": "operator",
        "home": "m2",
        "take_from": ["m2"],
        "put_to": ["m2", "done"],
    }
    for row in form["handling"]:
        row["who"] = ["arm", "gauges"]
    arm |= {"take_from": ["raw", "m1"], "put_to": ["m1", "m2", "done"]}
    form["dispatch"]["gauges"] = {"rule": "longest_waiting"}
    run = run_of(form, 2.0)
    made, alone = len(out_s(form, 2.0)), len(out_s(gauged(2, in_queue=2), 2.0))

    assert station_s(run, "m2")["working"] == pytest.approx(12 * made / 2, abs=24)
    assert alone < made <= 2 * rate_bound_per_h(cell_from(form))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"capacity": None}, r"and endless slots \(leave the buffer out"),
        ({"machines": 2}, r"beside others of its step that have none \(write a store, or a buffer before each\)"),
        ({"stay_max_s": 30}, r"with a limited stay \(write a store\)"),
        ({"capacity": 2, "batch": 2}, r"with loads of several parts \(write a store\)"),
        ({"capacity": 2, "hands": 2}, r"where brings has several hands \(write a store\)"),
    ],
)
def test_what_a_tray_does_not_say_is_refused_with_a_cure(change: Form, words: str) -> None:
    """With limited stays and the like a store says it; a run is refused, and a cycle where a belt fills the tray. Else
    the cycle leaves the tray empty, and is what comes out of a run without it."""
    form = bench({"capacity": change.get("capacity", 1), "batch": change.get("batch", 1)})
    form["attendants"]["brings"] |= {
        "put_to": ["m1", "m2"][: change.get("machines", 1)],
        "hands": change.get("hands", 1),
    }
    if "machines" in change:
        form["attendants"]["works"] |= {"take_from": ["m1", "m2"], "put_to": ["m1", "m2", "done"]}
        form["stations"]["m2"] = {"kind": "process", "place": "m1"}
        form["parts"]["part"]["route"][1]["at"] = ["m1", "m2"]
        form["handling"][2]["at"] = ["m1", "m2"]
    if "stay_max_s" in change:
        form["parts"]["part"]["route"][1]["stay_max_s"] = 30
    form["attendants"]["works"]["take_from"] = None
    cell = cell_from(form)
    with pytest.raises(NotYet, match=words):
        compiled(cell)
    assert_left_empty(form)

    for name in ("m1", "m2")[: change.get("machines", 1)]:
        form["stations"][name]["self_in"] = True
    with pytest.raises(NotYet, match=words):
        best_cycle(cell_from(form), effort=BRIEF)


def assert_left_empty(form: Form) -> None:
    """The cycle passes the validator, says that the tray stays empty or meets the bound of the cell with it, and comes
    out of the simulation of the cell without it."""
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)
    least = least_for(cycle_bound_steps(cell), cell, found)

    assert violations(cell, found) == []
    assert (found.proven, found.least_steps) == (found.period_steps <= least, least)
    assert found.proven != ("stays empty in the cycle, where a run may use it" in found.how)
    bare = form | {
        "stations": {
            name: each | {"in_queue": 0} if each.get("attended") else each for name, each in form["stations"].items()
        }
    }
    run = finished_run(
        compiled(cell_from(bare), schedule=found), round(7200 / cell.grid_s), seed=1, replication=0, logging=True
    )
    late = [float(line["t_s"]) for line in log_of(run) if line["what"] == "out" and float(line["t_s"]) > 3600]
    apart = {round(after - before, 6) for before, after in zip(late, late[found.parts_per_period :], strict=False)}
    assert apart == {round(found.period_steps * cell.grid_s, 6)}


@pytest.mark.parametrize(("seed", "change"), [(1, "batch"), (5, "hands"), (6, "stay"), (12, "stay")])
def test_trays_that_no_store_says_are_left_empty(seed: int, change: str) -> None:
    """Random benches, in line or several of them, with loads, two hands or limited stays."""
    form = several_benches(seed) if seed % 2 else random_bench(seed)
    if change == "hands":
        for attendant in form["attendants"].values():
            attendant["hands"] = 2
    if change == "stay":
        form["parts"]["part"]["route"][1]["stay_max_s"] = 150
    if change == "batch":
        form["stations"]["m1"]["batch"] = 2

    assert_left_empty(form)


def test_the_command_tells_what_is_not_proven_of_a_tray_left_empty(tmp_path: Path) -> None:
    """The bound in the answer is that of the cell with its tray."""
    form = random_bench(6)
    form["parts"]["part"]["route"][1]["stay_max_s"] = 150
    file = tmp_path / "bench.json"
    file.write_text(json.dumps(form), encoding="utf-8")
    shown = CliRunner().invoke(group, ["schedule", str(file), "--parts", "1", "--seconds", "3"]).stdout
    told = " ".join(shown.split())

    assert "the buffer before m1 stays empty" in told
    assert "not proven to be the best; nothing can be shorter than" in told
    assert f"No more than {number(rate_bound_per_h(cell_from(form)))} parts per hour" in told
