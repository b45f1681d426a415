"""The mix of a run keeps the shares, so that no mixed cell makes more than its load bound."""

from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.mix import mix_of
from millhand.solvers.cycle.bounds import load_bounds, rate_bound_per_h
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import finished_run, run_on
from tests.solvers.kernel.shop import Form, arm_cell

SEEDS = (1, 8, 9, 14, 30, 32, 46, 51, 57, 59)  # of range(300) 81 came above their bounds where machines chose freely
HOUR_S = 3600


def mixed(seed: int) -> Form:
    """An arm, two to four machines of all kinds, two or three types, each at some of the machines, once or twice."""
    dice = Random(f"mixed {seed}")
    machines, hands = dice.choice([2, 3, 4]), dice.choice([1, 2])
    form = arm_cell(machines, hands=hands, way_s=dice.choice([0, 1, 4]))
    names = [f"m{number + 1}" for number in range(machines)]
    for name in names:
        batch = {"batch": dice.choice([2, 3])} if dice.random() < 0.25 else {}
        queues = {"in_queue": dice.choice([1, 2]), "out_queue": dice.choice([0, 1])} if dice.random() < 0.25 else {}
        form["stations"][name] |= batch | queues | ({"self_in": True} if dice.random() < 0.15 else {})
    if dice.random() < 0.4:
        form["handling"][2].pop("swap", None)
    weights = [dice.choice([1, 1, 2, 3]) for _ in range(dice.choice([2, 2, 3]))]
    own = dice.random() < 0.5
    form["parts"] = {}
    for number, weight in enumerate(weights):
        raw = f"raw{number}" if own else "raw"
        if own:
            form["stations"][raw] = dict(form["stations"]["raw"])
            form["handling"].append({"who": ["arm"], "at": [raw], "pick": {"hold_s": 5}})
        at = sorted(dice.sample(names, dice.randint(1, machines)))
        route = [{"at": [raw]}, {"at": at, "time_s": dice.choice([10, 50, 100, 200])}]
        rest = [name for name in names if name not in at and "self_in" not in form["stations"][name]]
        if rest and dice.random() < 0.4:
            second = sorted(dice.sample(rest, dice.randint(1, len(rest))))
            route.append({"at": second, "time_s": dice.choice([10, 60, 120])})
        share = weight / sum(weights)
        form["parts"][f"type{number + 1}"] = {"share": share, "route": [*route, {"at": ["done"]}]}
    form["dispatch"] = {"arm": {"rule": dice.choice(["longest_waiting", "first_to_finish", "nearest"])}}
    return form


def made(cell: Cell, *, from_h: float, to_h: float) -> list[int]:
    """Parts of each type that leave between two moments."""
    run = finished_run(compiled(cell), round(from_h * HOUR_S / cell.grid_s), seed=7, replication=0)
    before = run.k.p_out[: len(cell.parts)].tolist()
    run_on(run, round(to_h * HOUR_S / cell.grid_s))
    after = run.k.p_out[: len(cell.parts)].tolist()
    return [late - early for early, late in zip(before, after, strict=True)]


@pytest.mark.parametrize("seed", SEEDS)
def test_random_mixed_cells_keep_the_mix_and_their_load_bound(seed: int) -> None:
    """Over a long stretch: no type is off its share by more than what lies in the cell, all together not above the
    bound by more than a part set and two parts for where the stretch begins and ends."""
    cell = cell_from(mixed(seed))
    mix = mix_of(cell.parts)
    size = sum(mix.values())
    parts = made(cell, from_h=20.0, to_h=60.0)

    assert sum(parts) <= rate_bound_per_h(cell) * 40.0 + size + 2
    assert sum(parts) > 0
    assert parts == [pytest.approx(count / size * sum(parts), abs=12) for count in mix.values()]


def own_machines(shares: tuple[float, float], times_s: tuple[float, float], **both: object) -> Form:
    """Two types, each with a machine of its own."""
    form = arm_cell(2, way_s=0)
    for name in ("m1", "m2"):
        form["stations"][name] |= both
    form["parts"] = {
        f"type{at}": {"share": share, "route": [{"at": ["raw"]}, {"at": [f"m{at}"], "time_s": time}, {"at": ["done"]}]}
        for at, share, time in zip((1, 2), shares, times_s, strict=True)
    }
    return form


@pytest.mark.parametrize("both", [{}, {"self_in": True}], ids=["brought", "come by themselves"])
def test_a_quick_machine_waits_for_the_slow_one(both: dict[str, object]) -> None:
    """Half of all parts take 400 s, and the lift before and, where it is brought, the set-down: so many of the others
    are made, though their machine would make ten times as many."""
    cell = cell_from(own_machines((0.5, 0.5), (30.0, 400.0), **both))
    parts = made(cell, from_h=10.0, to_h=60.0)
    slow_s = 400.0 + 5.0 + (0.0 if both else 5.0)

    assert parts[0] == pytest.approx(parts[1], abs=1)
    assert sum(parts) <= rate_bound_per_h(cell) * 50.0 + 2
    assert parts[1] <= 50 * HOUR_S / slow_s + 1


def loads_of_five() -> Form:
    """Loads of five, of one type each, behind a machine for each type."""
    form = arm_cell(3, way_s=0)
    form["stations"]["m3"]["batch"] = 5
    form["parts"] = {
        name: {
            "share": 0.5,
            "route": [{"at": ["raw"]}, {"at": [own], "time_s": 10}, {"at": ["m3"], "time_s": 60}, {"at": ["done"]}],
        }
        for name, own in (("type1", "m1"), ("type2", "m2"))
    }
    return form


def test_a_load_that_is_begun_is_completed_whatever_the_mix_says() -> None:
    """Loads of five, of one type each, behind a machine for each type: the mix alone would stop the first type at two
    or three, and the other one waits for that load to go."""
    cell = cell_from(loads_of_five())
    parts = made(cell, from_h=10.0, to_h=40.0)

    assert sum(parts) <= rate_bound_per_h(cell) * 30.0 + 5
    assert parts[0] == pytest.approx(parts[1], abs=10)
    assert min(parts) > 100


def test_shares_that_no_set_has_are_those_of_the_bound_and_of_the_run() -> None:
    """0.995 of one type, 30 s a part with the exchange by one hand: a set would have at most 63 of 64."""
    cell = cell_from(own_machines((0.995, 0.005), (10.0, 4000.0)))
    parts = made(cell, from_h=20.0, to_h=420.0)

    assert parts[1] / sum(parts) == pytest.approx(0.005, abs=1 / sum(parts) * 3)
    assert sum(parts) <= rate_bound_per_h(cell) * 400.0 + 64 + 2
    assert rate_bound_per_h(cell) == pytest.approx(3600 / (0.995 * 30))
    assert not [bound.words for bound in load_bounds(cell) if "scrap" in bound.words]


def test_the_share_of_stops_is_told_of_the_mix_as_it_is_written() -> None:
    """Every fifth load of the first type stops for 50 s: 10 s of each of its loads, for 995 of 1000 parts 9.95 s. A set
    that is only near to the shares has no part in it."""
    form = own_machines((0.995, 0.005), (100.0, 4000.0))
    form["stations"]["m1"]["faults"] = [{"id": "stop", "on": "load", "p": 0.2, "self_s": 50}]
    told = {bound.resource: bound.words for bound in load_bounds(cell_from(form))}

    assert told["m1"].endswith("s a part, 9.95 s of it for stops, duties and scrap")
    assert "stops" not in told["m2"]
    assert "stops" not in told["arm"]


def test_a_type_that_nobody_moves_keeps_the_mix_of_a_schedule() -> None:
    """Half of all parts pass a machine of their own by themselves, in 10 s; the others are brought and taken by an arm
    that follows a schedule, 200 s and the exchange by one hand."""
    form = arm_cell(2, way_s=0)
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    form["stations"]["belt"] = dict(form["stations"]["raw"]) | {"self_out": True}
    form["stations"]["m1"] |= {"self_in": True, "self_out": True}
    form["parts"] = {
        name: {"share": 0.5, "route": [{"at": [raw]}, {"at": [own], "time_s": time_s}, {"at": ["done"]}]}
        for name, raw, own, time_s in (("free", "belt", "m1", 10), ("brought", "raw", "m2", 200))
    }
    cell = cell_from(form)
    assert compiled(cell).left_out == ()
    parts = made(cell, from_h=1.0, to_h=11.0)

    assert parts[0] == pytest.approx(parts[1], abs=1)
    assert sum(parts) <= rate_bound_per_h(cell) * 10.0 + 4
    assert min(parts) > 100


def begun_loads() -> Form:
    """Loads of five, of one type each, behind a machine for each type; a second arm, which only goes to the first."""
    form = loads_of_five()
    form["attendants"]["other"] = dict(form["attendants"]["arm"])
    form["dispatch"]["other"] = dict(form["dispatch"]["arm"])
    return form


def test_a_load_that_is_begun_is_completed_while_somebody_is_off() -> None:
    """Two who are never there together: each is off while the other works."""
    form = begun_loads()
    for row in form["handling"]:
        row["who"] = ["arm", "other"]
    form["calendars"] = {
        "early": {"period_s": 86400, "on": [[0, 43200]]},
        "late": {"period_s": 86400, "on": [[43200, 86400]]},
    }
    form["attendants"]["arm"]["calendar"], form["attendants"]["other"]["calendar"] = "early", "late"
    parts = made(cell_from(form), from_h=1.0, to_h=25.0)

    assert parts[0] == pytest.approx(parts[1], abs=10)
    assert min(parts) > 100


def test_a_finished_part_is_left_for_an_exchange_only_where_the_raw_part_is_given() -> None:
    """Loads of three behind a quick machine, the other type takes 2000 s: the third quick part, one too many for
    another raw one, completes the load at once instead of waiting for an exchange that does not come."""
    form = arm_cell(3, way_s=0, hands=2)
    form["handling"][2]["at"] = ["m1", "m3"]
    form["handling"].append({"who": ["arm"], "at": ["m2"], "pick": {"hold_s": 5}, "place": {"hold_s": 5}})
    form["stations"]["m3"]["batch"] = 3
    form["parts"] = {
        name: {
            "share": 0.5,
            "route": [{"at": ["raw"]}, {"at": [own], "time_s": time_s}, {"at": ["m3"], "time_s": 60}, {"at": ["done"]}],
        }
        for name, own, time_s in (("quick", "m1", 10), ("slow", "m2", 2000))
    }

    assert made(cell_from(form), from_h=0.0, to_h=0.5) == [3, 0]
