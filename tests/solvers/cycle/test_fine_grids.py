"""A grid of a millisecond, as studies have it: what is found and proven there with the effort of a study."""

from typing import Any

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import STUDY

PLACES = ["in", "lathe1", "lathe2", "mill", "washer", "out"]
AT_M = (0.0, 3.1, 6.3, 7.9, 8.7, 1.2)


def by_hand() -> Cell:
    """Two people over two lathes side by side, a mill and a washer: ways and handling to the millisecond."""
    ways = [[round(abs(a - b) / 1.1, 3) for b in AT_M] for a in AT_M]
    machines, two = ["lathe1", "lathe2"], ["op1", "op2"]
    form: dict[str, Any] = {
        "format": "millhand-cell/1", "name": "two people over four machines", "grid_s": 0.001, "goal": "rate",
        "places": {place: {} for place in PLACES},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            **{name: {"kind": "process", "place": name} for name in [*machines, "mill", "washer"]},
            "done": {"kind": "sink", "place": "out", "capacity": None},
        },
        "attendants": {who: {"kind": "operator", "hands": 2, "home": "in", "moves": "walk"} for who in two},
        "moves": {"walk": {"places": PLACES, "empty_s": ways}},
        "handling": [
            {"who": two, "at": ["raw"], "pick": {"hold_s": 2.213}},
            {"who": two, "at": ["done"], "place": {"hold_s": 92.071}},
            {"who": two, "at": machines, "pick": {"hold_s": 7.319}, "place": {"hold_s": 9.127},
             "swap": {"hold_s": 14.873}},
            {"who": two, "at": ["mill", "washer"], "pick": {"hold_s": 3.411}, "place": {"hold_s": 3.607},
             "swap": {"hold_s": 5.903}},
        ],
        "parts": {"ring": {"route": [
            {"at": ["raw"]}, {"at": machines, "time_s": 171.337}, {"at": ["mill"], "time_s": 71.289},
            {"at": ["washer"], "time_s": 55.017}, {"at": ["done"]},
        ]}},
    }  # fmt: skip
    return cell_from(form)


def test_machines_side_by_side_are_searched_as_one_pool_first() -> None:
    """Within a fifth of the load bound; the effort was gone before anything nearer than twice the bound was found."""
    found = best_cycle(by_hand(), effort=STUDY)
    least = max(bound.cycle_steps for bound in found.bounds) * found.parts_per_period

    assert "pooled" in found.how
    assert least <= found.period_steps <= 1.2 * least
