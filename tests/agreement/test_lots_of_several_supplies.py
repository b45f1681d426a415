"""A lot whose parts come from several supplies: the plan against every order of visits, by hand, and as the validator
reads it."""

import json
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from click.testing import CliRunner

from millhand.cli.main import group
from millhand.errors import InputErrors
from millhand.intake.cell import cell_from, read_cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.pictures.stayed import stays
from tests.agreement.orders_of_visits import shortest
from tests.small_lots import Form, small_lots
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.kernel.shop import arm_cell, counts_of, run_of, times_s

SEEDS = (2, 3, 5, 8, 9)  # range(30) by hand
HOLD_S, WAY_S, FAR_S, WORK_S = 5, 4, 10, 100


def proven(form: Form) -> Schedule:
    """The shortest plan, which the validator has looked at."""
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert proof_gaps(found) == []
    assert found.proven
    return found


def two_pallets(seed: int) -> Form:
    """A small random cell of one arm with two supplies; the first type comes from both, and what they hold is limited
    in some."""
    dice = Random(f"pallets {seed}")
    form = small_lots(seed, hands=dice.choice([1, 1, 1, 2]))
    form["stations"]["raw2"] = {"kind": "supply", "place": dice.choice(["a", "b", "out"]), "capacity": None}
    form["handling"][0]["at"].append("raw2")
    if dice.random() < 0.4:
        for name in ("raw", "raw2"):
            form["stations"][name] |= {"capacity": 9, "start": dice.choice([2, 3])}
    for number, part in enumerate(form["parts"].values()):
        part["route"][0] = {"at": dice.choice([["raw"], ["raw2"], ["raw", "raw2"]]) if number else ["raw", "raw2"]}
    return form


@pytest.mark.parametrize("seed", SEEDS)
def test_random_lots_by_every_order_of_visits(seed: int) -> None:
    """The proven plan is as long as the best of all orders."""
    form = two_pallets(seed)

    assert proven(form).period_steps == shortest(cell_from(form))


def pallets(size: int, near: int | None) -> Form:
    """One machine, a pallet beside it with so many parts, None for any number, and one 10 s away with two."""
    form = arm_cell(1, way_s=WAY_S, time_s=WORK_S) | {"goal": "makespan", "grid_s": 1}
    del form["dispatch"]
    form["places"]["far"] = {}
    form["moves"]["ways"]["places"].append("far")
    rows = form["moves"]["ways"]["empty_s"]
    form["moves"]["ways"]["empty_s"] = [*([*row, FAR_S] for row in rows), [*([FAR_S] * len(rows)), 0]]
    form["stations"]["raw"] |= {"capacity": None if near is None else 9, "start": near or 0}
    form["stations"]["raw2"] = {"kind": "supply", "place": "far", "capacity": 9, "start": 2}
    form["handling"][0]["at"] = ["raw", "raw2"]
    form["parts"]["part"]["route"][0]["at"] = ["raw", "raw2"]
    form["parts"]["part"]["lot"] = {"size": size}
    return form


def test_by_hand() -> None:
    """The arm stands at the near pallet: 5 + 4 + 5 + 100 + 5 + 4 + 5 s for the first part. The second has to come from
    far, 10 s away from everywhere; the other order would cost another way. With two near neither comes from far."""
    near = HOLD_S + WAY_S + HOLD_S + WORK_S + HOLD_S + WAY_S + HOLD_S
    far = FAR_S + HOLD_S + FAR_S + HOLD_S + WORK_S + HOLD_S + WAY_S + HOLD_S

    assert proven(pallets(2, 1)).period_steps == near + far
    assert proven(pallets(2, 2)).period_steps == proven(pallets(2, None)).period_steps == near + WAY_S + near


def test_lots_that_neither_supply_nor_both_hold_are_told() -> None:
    """Three parts, of which two are far and none is near."""
    with pytest.raises(InputErrors) as caught:
        proven(pallets(4, 1))

    assert "3 parts at the start in raw and raw2, lots of 4" in str(caught.value)
    assert "4 together, or a refill" in str(caught.value)


def test_more_than_a_supply_holds_is_told() -> None:
    """A plan that takes both parts near, given for a cell with one of them there."""
    cell = cell_from(pallets(2, 2))
    fewer = replace(cell, stations=cell.stations | {"raw": replace(cell.stations["raw"], start=1)})

    assert violations(fewer, proven(pallets(2, 2))) == ["2 parts are lifted from raw, which starts with 1"]


def test_each_supply_gives_its_lots_in_order() -> None:
    """A later lot may come out of one supply before an earlier one is all lifted from the other, and never out of the
    same one: plates only lie far, shafts in both; the shaft is lifted near while the plate is worked on."""
    form = pallets(1, None)
    shaft = form["parts"].pop("part")
    form["parts"]["plate"] = shaft | {"route": [{"at": ["raw2"]}, *shaft["route"][1:]]}
    form["parts"]["shaft"] = shaft
    found = proven(form)

    assert [(event.part, event.station) for event in found.events if event.what == "lift"][:2] == [
        ("shaft", "raw"),
        ("shaft", "m1"),
    ]


def out_after_s(form: Form) -> tuple[float, dict[str, int]]:
    """When the simulation has all lots out, and its counts."""
    run = run_of(form, 2)
    found = counts_of(run)

    assert times_s(run, "out")
    return max(times_s(run, "out")), found


@pytest.mark.parametrize("size", [2, 3])
def test_the_simulation_lifts_the_parts_of_one_lot(size: int) -> None:
    """Of one part near and two far two or three come out, as many as the lot has. The first is lifted near, and the
    next only when it is out, so each takes what a plan of one part takes."""
    near = HOLD_S + WAY_S + HOLD_S + WORK_S + HOLD_S + WAY_S + HOLD_S
    far = FAR_S + HOLD_S + FAR_S + HOLD_S + WORK_S + HOLD_S + WAY_S + HOLD_S
    last, counted = out_after_s(pallets(size, 1))

    assert (counted["picked"], counted["parts"]) == (size, size)
    assert last == near + (size - 1) * far


def test_a_supply_keeps_what_only_it_gives() -> None:
    """One plate and two shafts behind it lie near, two plates far: all come out only if no second plate is taken
    near."""
    form = pallets(3, 2)
    form["stations"]["raw2"] |= {"start": 3}
    form["parts"]["shaft"] = {"route": [{"at": ["raw2"]}, *form["parts"]["part"]["route"][1:]], "lot": {"size": 2}}
    form["stations"]["raw"]["place"], form["stations"]["raw2"]["place"] = "far", "in"

    assert out_after_s(form)[1]["parts"] == 5


def test_the_command_line_takes_such_a_lot(tmp_path: Path) -> None:
    """All lots are done."""
    path = tmp_path / "pallets.json"
    path.write_text(json.dumps(pallets(2, 1)), encoding="utf-8")
    told = CliRunner().invoke(group, ["simulate", str(path), "--warm-up", "0", "--hours", "2", "--replications", "1"])

    assert told.exit_code == 0, told.output
    assert "All lots are done after" in told.output


def test_the_example() -> None:
    """Two lots on two pallets, loads of one and of two, an attended press and jaws changed with both hands: proven, and
    in the chart each part of a load has a set-down of its own."""
    cell = read_cell(Path("examples/cells/lots_on_two_pallets.json"))
    found = shortest_makespan(cell, deadline=None, deterministic=30.0, workers=1, seed=1)
    set_downs = [stay.set_down for stay in stays(found)]

    assert proof_gaps(found) == []
    assert (found.period_steps, found.proven) == (561, True)
    assert len(set(set_downs)) == len(set_downs) == 7
