"""Plans for lots of which only the order of what happens at one moment is missing: it is looked for with all else as it
is, and simple plans keep the order in which they were made."""

from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle import makespan
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_lots import lots_of
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.solvers.cycle.test_makespan_moments import assert_least, at, cell, route


def through_a_shelf() -> dict[str, Any]:
    """Three parts, twice over one shelf, through machines with a buffer before and behind each; only ways take time."""
    own = {"in_queue": 1, "out_queue": 1}
    return cell(
        [[0, 5, 4], [4, 0, 0], [1, 0, 0]],
        {"raw": {}, "m1": own | {"place": "p2", "capacity": 2}, "m12": own | {"place": "p1"}, "m13": own,
         "done": {"place": "p1"}, "m1s": {"kind": "store", "capacity": 1}},
        {"bolt": (3, route(
            "raw", at("m13", 7), "m1s", {"at": ["m1", "m13"], "time_s": 2}, "m1s",
            {"at": ["m13", "m12"], "time_s": {"m13": 0, "m12": 7}}, "done",
        ))},
        arm={"home": "p1", "hands": 2, "turn_s": 2},
    )  # fmt: skip


def test_a_simple_plan_keeps_the_order_in_which_it_was_made() -> None:
    """Of several visits at one moment the one made first comes first; such a plan went round in a circle, and there was
    none. No plan is shorter than 32 s, as a search of every state says."""
    found = shortest_makespan(cell_from(through_a_shelf()), deadline=None, deterministic=0.2, workers=1, seed=1)

    assert found.period_steps >= 32
    assert found.least_steps <= 32


def test_an_order_is_looked_for_with_all_times_as_they_are(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search sets a part down before it lifts it, in one second; no other search is needed to put that right."""

    def asked(*_: object) -> None:
        raise AssertionError("searched anew")

    monkeypatch.setattr(makespan, "ranked_plan", asked)
    form = cell(
        [[0, 0], [0, 0]],
        {"raw": {}, "m1": {"place": "p1"}, "m12": {"place": "p1", "self_in": True},
         "m13": {"place": "p1", "attended": True}, "done": {"place": "p1"}},
        {"bolt": (3, route("raw", at("m13", 2), {"at": ["m1", "m12"], "time_s": {"m1": 7, "m12": 5}}, "done"))},
        arm={"kind": "operator", "hands": 2},
    )  # fmt: skip

    assert_least(form, 12)


def test_a_simple_plan_brings_no_part_to_where_only_an_exchange_takes_it_out() -> None:
    """The quicker machine is emptied by exchanges alone, so the last part would stay in it."""
    form = cell(
        [[0]],
        {"raw": {}, "m1": {}, "m12": {}, "done": {}},
        {"bolt": (2, route("raw", {"at": ["m1", "m12"], "time_s": {"m1": 2, "m12": 9}}, "done"))},
        arm={"hands": 2},
    )
    second: dict[str, Any] = {"hold_s": 1}
    form["handling"] = [
        {"who": ["arm"], "at": ["raw"], "pick": second},
        {"who": ["arm"], "at": ["m1"], "place": second, "swap": second},
        {"who": ["arm"], "at": ["m12"], "pick": second, "place": second},
        {"who": ["arm"], "at": ["done"], "place": second},
    ]
    plan = first_plan(lots_of(cell_from(form)))

    assert plan is not None
    assert {each.way.goal for each in plan.carried.values()} == {"m12", "done"}
