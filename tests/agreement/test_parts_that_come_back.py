"""Rule `cycle` where a part comes back to a machine with several slots: it is lifted at the step of the schedule.

Parts of one type lie side by side there at two steps of their route. Whatever is lifted too early or too late leaves
the order of the schedule, and in the end everybody waits for everybody.
"""

from dataclasses import replace
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_cycle_simulated import outs_of

ROUNDS = 60  # looked at, after as many in which the line fills
FILLING = 3  # parts that may be out sooner or later where the two slots do not come in turn evenly


def slotted(times_s: tuple[int, int, int], *, way_s: int, hands: int = 1, arms: int = 1, slots: int = 2) -> Cell:
    """From a supply to a machine with several slots, to another machine and back, and out; a hold of 1 s each."""
    places = ["pi", "p1", "p2", "po"]
    who = [f"arm{n + 1}" for n in range(arms)]
    both: dict[str, Any] = {"pick": {"hold_s": 1}, "place": {"hold_s": 1}}
    rows = [{"who": who, "at": ["i", "m1", "m2", "o"]} | both]
    if hands > 1:
        rows.insert(0, {"who": who[:1], "at": ["m1", "m2"], "swap": {"hold_s": 2}} | both)
    first, between, last = times_s
    return cell_from({
        "format": "millhand-cell/1",
        "name": "a part that comes back",
        "grid_s": 1,
        "places": {place: {} for place in places},
        "stations": {
            "i": {"kind": "supply", "place": "pi", "capacity": None},
            "m1": {"kind": "process", "place": "p1", "capacity": slots},
            "m2": {"kind": "process", "place": "p2"},
            "o": {"kind": "sink", "place": "po", "capacity": None},
        },
        "attendants": {name: {"kind": "arm", "hands": hands, "home": "pi", "moves": "line"} for name in who},
        "moves": {"line": {"places": places, "empty_s": [[way_s * abs(a - b) for b in range(4)] for a in range(4)]}},
        "handling": rows,
        "parts": {"part": {"route": [
            {"at": ["i"]},
            {"at": ["m1"], "time_s": first},
            {"at": ["m2"], "time_s": between},
            {"at": ["m1"], "time_s": last},
            {"at": ["o"]},
        ]}},
        "dispatch": {name: {"rule": "cycle"} for name in who},
    })  # fmt: skip


@pytest.mark.parametrize(
    ("times_s", "way_s", "hands", "arms"),
    [
        ((7, 20, 1), 0, 1, 2),
        ((4, 0, 0), 0, 1, 1),
        ((5, 9, 10), 0, 1, 1),
        ((9, 5, 2), 2, 1, 2),
        ((5, 2, 4), 2, 2, 1),  # exchanged in a slot, not set down in a free one
        ((11, 12, 0), 2, 2, 2),
        ((20, 18, 12), 1, 2, 1),
    ],
)
def test_the_simulation_goes_on_at_the_pace_of_the_schedule(
    times_s: tuple[int, int, int], way_s: int, hands: int, arms: int
) -> None:
    """As many parts come out as the schedule says, for as long as one looks; before, all stood still in a while."""
    cell = slotted(times_s, way_s=way_s, hands=hands, arms=arms)
    best = best_cycle(cell, effort=Effort(deterministic=0.2, most_sets=1))
    late = [at for at in outs_of(cell, best, periods=2 * ROUNDS) if at >= ROUNDS * best.period_steps]

    assert len(late) == pytest.approx(ROUNDS * best.parts_per_period, abs=FILLING)


def test_a_simple_cycle_that_is_refused_does_not_end_the_search() -> None:
    """Three slots: the plain rounds do not pass the validator. A search of every state second by second has six parts
    in 114 s at best."""
    best = best_cycle(slotted((18, 4, 20), way_s=1, slots=3), effort=Effort(deterministic=0.5, most_sets=2))

    assert best.period_steps == 19 * best.parts_per_period


def test_a_machine_with_buffers_takes_the_steps_in_turn() -> None:
    """Two arms, room for two parts on each side of a machine that every part passes twice: it begins the two steps in
    the order of the schedule, and is never without work."""
    cell = slotted((19, 20, 11), way_s=1, arms=2, slots=1)
    buffered = replace(cell.stations["m1"], in_queue=2, out_queue=2)
    cell = replace(cell, stations={**cell.stations, "m1": buffered})
    best = best_cycle(cell, effort=Effort(deterministic=0.2, most_sets=1))
    late = [at for at in outs_of(cell, best, periods=2 * ROUNDS) if at >= ROUNDS * best.period_steps]

    assert (best.period_steps, best.proven) == (30, True)
    assert len(late) == pytest.approx(ROUNDS, abs=1)
