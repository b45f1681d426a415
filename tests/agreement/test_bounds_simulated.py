"""Load bounds against the simulation: no cell makes more than its busiest resource allows."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings

from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.kernel.codes import COUNTS
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.refusals import refusals
from millhand.solvers.kernel.replications import Plan, finished_run, simulate
from tests.cells_strategy import cells
from tests.solvers.kernel.shop import arm_cell, with_person

EXAMPLES = [  # a plan of lots has no rate
    path
    for path in sorted(Path("examples/cells").glob("*.json"))
    if '"goal": "makespan"' not in path.read_text("utf-8")
]
DAY_H = 24.0
QUICK = settings(max_examples=8, suppress_health_check=list(HealthCheck), phases=(Phase.generate,))
PLAIN = frozenset({"gauge", "store", "swap", "helper", "self", "track"})
# Without stores: one without a limit may grow and grow where its attendant always finds the supply first. Without
# helpers: where one cannot keep up with the work of each part, the simulation lets it grow undone; the bound does not.
TROUBLED = (PLAIN - {"store", "helper"}) | {"faults", "wear", "refill", "calls", "miss", "zone"}


def made(cell: Cell, hours: float) -> int:
    """Parts of one replication."""
    run = finished_run(compiled(cell), round(hours * 3600 / cell.grid_s), seed=7, replication=0)
    return int(dict(zip(COUNTS, run.k.counts.tolist(), strict=True))["parts"])


@pytest.mark.parametrize(
    ("features", "hours", "beside"),
    [(PLAIN, 6.0, 0.0), (TROUBLED, 30.0, 0.05)],
    ids=["nothing goes wrong", "stops, wear, refills, calls"],
)
def test_no_simulated_cell_beats_its_load_bound(features: frozenset[str], hours: float, beside: float) -> None:
    """Between two moments of a long run: at most the bound, two parts for where the moments fall, and chance where
    there is any (5 % of a run of 60 h, about three standard errors of its rarest stops)."""

    @QUICK
    @given(cell=cells(features))
    def holds(cell: Cell) -> None:
        assume(not list(refusals(cell)))
        between = made(cell, 3 * hours) - made(cell, hours)
        assert between <= rate_bound_per_h(cell) * 2 * hours * (1 + beside) + 2

    holds()


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_no_example_beats_its_load_bound(path: Path) -> None:
    """The lower end of the simulated interval of a second day is at most the bound, but for the two parts that may fall
    on either side of the day's ends."""
    cell = read_cell(path)
    assert not list(refusals(cell))
    made = simulate(cell, hours=2 * DAY_H, replications=3, plan=Plan(warm_up_hours=DAY_H)).parts_per_h

    assert made.low <= rate_bound_per_h(cell) + 2 / DAY_H


def emptied() -> dict[str, Any]:
    """An outfeed for ten parts that somebody empties by the clock, and whenever it is full."""
    clock = {"kind": "clock", "every": 650}
    form = with_person(arm_cell(1, time_s=40), empty={"trigger": clock, "takes": 600, "restores": {"done": "empty"}})
    form["stations"]["done"] |= {"capacity": 12, "refill": "empty"}
    return form


def renewed() -> dict[str, Any]:
    """A tool that somebody changes by the clock, long before it is worn, while the machine works on."""
    clock = {"kind": "clock", "every": 700}
    form = with_person(arm_cell(1, time_s=40), tool={"trigger": {"kind": "wear"}, "also": clock, "takes": 600})
    form["stations"]["m1"]["wear"] = [{"id": "tool", "unit": "loads", "limit": 20, "duty": "tool"}]
    return form


def two_at_a_gate() -> dict[str, Any]:
    """Two who each serve a machine and set down for a long time at one gate, side by side."""
    form = arm_cell(2, time_s=10)
    form["stations"]["raw"] = {"kind": "gate", "place": form["stations"]["raw"]["place"]}
    del form["stations"]["done"]
    form["parts"]["part"]["route"][-1] = {"at": ["raw"]}
    form["attendants"]["second"] = form["attendants"]["arm"]
    for row in form["handling"]:
        row["who"] = ["arm", "second"]
    form["handling"][0]["place"] = {"hold_s": 100}
    form["handling"] = [row for row in form["handling"] if row["at"] != ["done"]]
    return form


@pytest.mark.parametrize("form", [emptied(), renewed(), two_at_a_gate()], ids=["emptied", "renewed", "gate"])
def test_what_is_done_side_by_side_or_before_it_is_due_is_not_added_up(form: dict[str, Any]) -> None:
    """What a clock has emptied or renewed calls nobody for that; two set down at a gate at the same time."""
    cell = cell_from(form)

    assert made(cell, 60.0) - made(cell, 20.0) <= rate_bound_per_h(cell) * 40.0 + 2


def held(holds: str, *, attended: bool = False, people: int = 1) -> dict[str, Any]:
    """A look at each part by people who hold up a machine or the arm, which may stay at the machine's work and then
    exchanges parts there, so that the look falls into it."""
    trigger = {"kind": "parts", "at": ["m1"], "every": 1}
    looks = {f"look{n}": {"trigger": trigger, "takes": 12, "holds": holds} for n in range(people)}
    form = with_person(arm_cell(1, time_s=20, hands=1 + attended), **looks)
    form["stations"]["m1"]["attended"] = attended
    if attended:
        form["dispatch"]["arm"] = {"rule": "cycle"}
    for n in range(1, people):
        form["attendants"][f"person{n}"] = form["attendants"]["person"]
        form["duties"][f"look{n}"] |= {"who": [f"person{n}"]}
    return form


@pytest.mark.parametrize(
    "form",
    [held("station"), held("arm", attended=True), held("arm", people=2)],
    ids=["a machine that is empty", "an arm that stays", "an arm for two"],
)
def test_what_a_duty_holds_while_it_would_stand_anyway_is_not_added_up(form: dict[str, Any]) -> None:
    """A machine is empty while the arm is away; work that an arm stays at goes on; two look at the same time."""
    cell = cell_from(form)

    assert made(cell, 60.0) - made(cell, 20.0) <= rate_bound_per_h(cell) * 40.0 + 2
