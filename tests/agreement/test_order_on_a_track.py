"""Two arms on a track under the rule `order`, one of which hands parts on to the other: the run keeps the order of
places as the schedule does, and so its period."""

from itertools import pairwise

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import finished_run
from tests.agreement.kept_period import assert_keeps_period
from tests.agreement.test_cycle_simulated import ends, way_of
from tests.solvers.kernel.shop import Form

PLACES = {"left": 0, "in": 1, "machine": 3, "out": 4, "aside": 5, "right": 6}


def handing_on() -> Form:
    """The arm on the right brings parts, the one on the left takes them away; a metre takes a second."""
    ways = [[abs(here - there) for there in PLACES.values()] for here in PLACES.values()]
    loaded = [[steps + 1 if steps else 0 for steps in row] for row in ways]
    hold, tail = {"hold_s": 1}, {"hold_s": 2, "tail_s": 2}
    return {
        "format": "millhand-cell/1",
        "name": "handing on",
        "grid_s": 1,
        "places": {place: {"track_m": at} for place, at in PLACES.items()},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "machine"},
            "done": {"kind": "sink", "place": "out", "capacity": None},
        },
        "attendants": {
            "takes": {"kind": "arm", "hands": 1, "home": "left", "moves": "empty", "take_from": ["m1"]},
            "brings": {"kind": "arm", "hands": 1, "home": "right", "moves": "slower"},
        },
        "moves": {
            "empty": {"places": list(PLACES), "empty_s": ways},
            "slower": {"places": list(PLACES), "empty_s": ways, "loaded_s": loaded},
        },
        "handling": [
            {"who": ["brings"], "at": ["raw"], "pick": {"hold_s": 2}},
            {"who": ["brings"], "at": ["m1"], "place": tail},
            {"who": ["takes"], "at": ["m1"], "pick": hold},
            {"who": ["takes"], "at": ["done"], "place": hold},
        ],
        "parts": {"part": {"route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 0}, {"at": ["done"]}]}},
        "tracks": {"rail": {"attendants": ["takes", "brings"], "rule": "order"}},
        "dispatch": {name: {"rule": "cycle"} for name in ("takes", "brings")},
    }


def out_of_order(cell: Cell, best: Schedule) -> list[float]:
    """When the two were on stretches whose places are not in order: neither those left nor those gone to may be."""
    horizon = 40 * best.period_steps
    run = finished_run(compiled(cell, schedule=best), horizon, seed=1, replication=0, logging=True)
    low, high = (way_of(cell, run, who) for who in cell.tracks["rail"].attendants)
    times = sorted({at for leg in (*low, *high) for at in leg[:2] if at < horizon * cell.grid_s})
    found = []
    for at in ((one + other) / 2 for one, other in pairwise(times)):
        below, above = ends(low, at), ends(high, at)
        if above[0] < below[0] or above[1] < below[1]:
            found.append(at)
    return found


def test_who_goes_where_another_has_left_arrives_no_sooner_than_it() -> None:
    """The run was a second in 15 faster than the cycle: the one arm stood at the end while the other, which had set out
    from before it, was still on its way to behind it."""
    cell = cell_from(handing_on())
    best = best_cycle(cell, effort=Effort(deterministic=0.3, most_sets=2))

    assert out_of_order(cell, best) == []
    assert_keeps_period(cell, best)
