"""Pieces that a step uses up besides its part: no part of a schedule where they are always at hand."""

from dataclasses import replace
from typing import Any

import pytest

from millhand.errors import InputErrors, NotYet
from millhand.intake.cell import cell_from
from millhand.model.cell import Cell, Step
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import load_bounds
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.kernel.replications import simulate
from tests.solvers.cycle.lots_proof import is_checked

Form = dict[str, Any]


def assembled(stock: Form, *, lots: int | None = None, pieces: int = 4) -> Cell:
    """An arm loads a machine that screws each part with so many screws; a person may refill them."""
    form: Form = {
        "format": "millhand-cell/1",
        "name": "a machine that screws",
        "grid_s": 1,
        "places": {"in": {}, "at": {}},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "at"},
            "done": {"kind": "sink", "place": "in", "capacity": None},
            "screws": {"place": "at", **stock},
        },
        "attendants": {
            "arm": {"kind": "arm", "home": "in", "moves": "ways"},
            "person": {"kind": "operator"},
        },
        "moves": {"ways": {"places": ["in", "at"], "empty_s": [[0, 3], [3, 0]]}},
        "handling": [
            {"who": ["arm"], "at": ["raw", "m1", "done"], "pick": {"hold_s": 2}, "place": {"hold_s": 2}},
        ],
        "parts": {"part": {"route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 20}, {"at": ["done"]}]}},
    }
    if pieces:
        form["parts"]["part"]["route"][1]["uses"] = {"screws": pieces}
    if "refill" in stock:
        restores = {"trigger": {"kind": "level", "at": ["screws"], "below": 20}, "restores": {"screws": "full"}}
        form["duties"] = {"fill": {"who": ["person"], "takes": 60, "place": "at", **restores}}
    if lots is not None:
        form["goal"] = "makespan"
        form["parts"]["part"]["lot"] = {"size": lots}
    return cell_from(form)


ENDLESS = {"kind": "supply", "capacity": None}
REFILLED = {"kind": "store", "capacity": 100, "start": 100, "refill": "fill"}
COUNTED = {"kind": "supply", "capacity": 10, "start": 10}


@pytest.mark.parametrize("stock", [ENDLESS, REFILLED], ids=["endless", "refilled"])
def test_pieces_at_hand_change_no_cycle_and_are_told(stock: Form) -> None:
    """The same period as without them, proven, and a line says what was taken for granted."""
    cell = assembled(stock)
    found, plain = best_cycle(cell), best_cycle(assembled(stock, pieces=0))

    assert (found.period_steps, found.proven) == (plain.period_steps, True)
    assert "pieces used up from screws: taken to be there" in found.left_out
    assert violations(cell, found) == []


def test_refilling_pieces_is_work_in_the_bound() -> None:
    """Four screws a part out of a hundred: 60 s of refilling each 25 parts are 2.4 s a part for the person."""
    steps = {each.resource: each.steps for each in load_bounds(assembled(REFILLED))}

    assert steps["person"] == pytest.approx(2.4)


def test_lots_use_pieces_that_suffice() -> None:
    """Two parts need eight of ten screws: the plan is that without screws; three parts need twelve, which is told."""
    two, plain = assembled(COUNTED, lots=2), assembled(COUNTED, lots=2, pieces=0)
    found, known = (shortest_makespan(c, deadline=None, deterministic=5.0, workers=1, seed=1) for c in (two, plain))

    assert (found.period_steps, found.proven) == (known.period_steps, True)
    assert is_checked(found)
    with pytest.raises(InputErrors, match="12, or a refill") as trouble:
        shortest_makespan(assembled(COUNTED, lots=3), deadline=None, deterministic=5.0, workers=1, seed=1)
    assert [each.where for each in trouble.value.errors] == ["/stations/screws/start"]


@pytest.mark.parametrize("kind", ["supply", "store"])
def test_how_long_pieces_last_that_nobody_refills(kind: str) -> None:
    """Ten screws are two parts of four: the cycle is that with screws for ever until then, and the simulation stops."""
    cell = assembled(COUNTED | {"kind": kind})
    found, plain = best_cycle(cell), best_cycle(assembled(COUNTED, pieces=0))
    words = (
        "pieces used up from screws: taken to be there; nobody refills them, and those at the start last for 2 parts"
    )

    assert (found.period_steps, found.proven) == (plain.period_steps, True)
    assert words in found.left_out
    assert violations(cell, found) == []
    assert simulate(cell, hours=1, replications=1).parts_per_h.mean == 2


def test_pieces_out_of_a_store_on_a_route_are_refused_with_a_cure() -> None:
    """By search and validator: whether some are there is a question of the schedule."""
    found = best_cycle(assembled(ENDLESS))
    cell = assembled({"kind": "store", "capacity": 10})
    part = cell.parts["part"]
    shelf = replace(part, route=(*part.route[:2], Step(at=("screws",)), part.route[2]))
    handling = tuple(replace(row, at=(*row.at, "screws")) for row in cell.handling)
    for refusing in (best_cycle, lambda cell: violations(cell, replace(found, goal="rate"))):
        with pytest.raises(
            NotYet, match=r"pieces that may run out \(screws\) yet; write screws as a supply or a store"
        ):
            refusing(replace(cell, parts={"part": shelf}, handling=handling))
