"""Several hands and many parts a period: a short search has the best cycle with one hand to begin with."""

from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import STUDY
from millhand.solvers.cycle.one_hand import one_handed
from millhand.solvers.cycle.scope import scope

WALK = [[0, 4, 6, 3], [4, 0, 3, 4], [6, 3, 0, 5], [3, 4, 5, 0]]


def two_lathes(*, hands: int = 2, every: int = 4, deburr: bool = False) -> Cell:
    """An operator between two lathes who gauges every few parts, and may deburr each."""
    calls = {"kind": "parts", "at": ["l1", "l2"]}
    duties: dict[str, Any] = {"gauge": {"trigger": {**calls, "every": every}, "takes": 60}}
    if deburr:
        duties["deburr"] = {"trigger": {**calls, "every": 1}, "takes": 20}
    served: dict[str, Any] = {"who": ["op"], "at": ["l1", "l2"], "pick": {"hold_s": 8}, "place": {"hold_s": 12}}
    if hands > 1:
        served["swap"] = {"hold_s": 20}
    return cell_from({
        "format": "millhand-cell/1", "name": "an operator who gauges", "grid_s": 0.1, "goal": "rate",
        "places": {"rack": {}, "p1": {}, "p2": {}, "bench": {}},
        "stations": {
            "raw": {"kind": "supply", "place": "rack", "capacity": None},
            "l1": {"kind": "process", "place": "p1"}, "l2": {"kind": "process", "place": "p2"},
            "done": {"kind": "sink", "place": "rack", "capacity": None},
        },
        "attendants": {"op": {"kind": "operator", "hands": hands, "turn_s": 1, "home": "rack", "moves": "walk"}},
        "moves": {"walk": {"places": ["rack", "p1", "p2", "bench"], "empty_s": WALK}},
        "handling": [
            {"who": ["op"], "at": ["raw", "done"], "pick": {"hold_s": 3}, "place": {"hold_s": 3}},
            served,
        ],
        "parts": {"pin": {"route": [{"at": ["raw"]}, {"at": ["l1", "l2"], "time_s": 120}, {"at": ["done"]}]}},
        "duties": {name: {**each, "who": ["op"], "place": "bench"} for name, each in duties.items()},
    })  # fmt: skip


@pytest.mark.parametrize(("every", "deburr"), [(4, False), (3, True)])
def test_two_hands_are_never_worse_than_one(every: int, deburr: bool) -> None:
    """The short search with two hands found one load after the other here, more than twice as long."""
    both, one = (best_cycle(two_lathes(hands=hands, every=every, deburr=deburr), effort=STUDY) for hands in (2, 1))

    assert one.proven
    assert both.period_steps * one.parts_per_period <= one.period_steps * both.parts_per_period


def test_one_hand_is_looked_at_only_where_it_is_of_use() -> None:
    """Not where all have one, nor in short periods, which the search with all hands finds by itself."""
    for cell, used in ((two_lathes(), True), (two_lathes(hands=1), False), (two_lathes(every=1), False)):
        assert (one_handed(cell, scope(cell)) is not None) == used
