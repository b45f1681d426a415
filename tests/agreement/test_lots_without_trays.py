"""Lots in a cell with trays that no store says: the plan leaves them empty, and its bound holds with them as well."""

from dataclasses import replace

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.agreement.test_attended_buffers import bench
from tests.solvers.kernel.shop import Form


def lots_over_a_bench(station: Form, *, hold_s: int = 5, places: int = 2, size: int = 3) -> Form:
    """Two people, one who only brings parts to a bench with a tray before it, and one lot."""
    form = bench(station)
    form["stations"]["m1"]["in_queue"] = places
    form["attendants"]["brings"]["put_to"] = ["m1"]
    form["attendants"]["works"]["take_from"] = None
    form["handling"][2] |= {"pick": {"hold_s": hold_s}, "place": {"hold_s": hold_s}}
    form["parts"]["part"] = {"route": form["parts"]["part"]["route"], "lot": {"size": size, "count": 1}}
    return form | {"goal": "makespan", "dispatch": {}}


def planned(cell: Cell) -> Schedule:
    """A plan with little effort, the same everywhere."""
    return shortest_makespan(cell, deadline=None, deterministic=0.3, workers=1, seed=1)


@pytest.mark.parametrize(("hold_s", "places"), [(1, 1), (5, 2), (9, 3)])
def test_what_is_known_of_other_plans_holds_with_the_tray(hold_s: int, places: int) -> None:
    """A stay that is never too long says nothing, but no store says it: the shortest plan with the tray, proven without
    that stay, lies between the bound and the plan that leaves it empty."""
    form = lots_over_a_bench({}, hold_s=hold_s, places=places)
    with_tray = planned(cell_from(form))
    form["parts"]["part"]["route"][1]["stay_max_s"] = 1000
    cell = cell_from(form)
    found = planned(cell)

    assert with_tray.proven
    assert 0 < found.least_steps <= with_tray.period_steps <= found.period_steps
    assert violations(cell, found) == []
    assert "the buffer before m1 stays empty in the plan, where a run may use it" in found.how


@pytest.mark.parametrize("change", [{"capacity": None}, {"capacity": 2, "batch": 2}])
def test_slots_and_loads_with_a_tray_have_a_plan(change: Form) -> None:
    """Endless slots, and loads in several slots: what no store says is left empty, and the gap is told."""
    cell = cell_from(lots_over_a_bench(change, size=4))
    found = planned(cell)

    assert violations(cell, found) == []
    assert 0 < found.least_steps < found.period_steps
    assert not found.proven


def test_no_plan_with_a_stay_too_short_without_the_tray_is_no_contradiction() -> None:
    """Where no plan without the tray keeps a stay, or a belt fills it, it is said that the tray cannot be told yet."""
    form = lots_over_a_bench({"capacity": 2, "batch": 2, "self_in": True}, size=4)
    with pytest.raises(NotYet, match="a buffer of its own before it and several slots"):
        planned(cell_from(form))
    bare = cell_from(lots_over_a_bench({"capacity": 2, "batch": 2}, size=4))
    empty = replace(bare, stations={**bare.stations, "m1": replace(bare.stations["m1"], in_queue=0)})
    assert planned(bare).period_steps == planned(empty).period_steps
