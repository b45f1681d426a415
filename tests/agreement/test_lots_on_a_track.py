"""Lots of two arms on one track against every way that there is: the search, its motions and its bound."""

import random
from typing import Any

import pytest

from millhand.errors import InputError
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.agreement.lots_on_a_track import best_makespan
from tests.solvers.cycle.lots_proof import proof_gaps

Form = dict[str, Any]


def small(seed: int) -> Form:
    """Two arms on a track of a few metres, a machine or two in a row, two or three parts."""
    dice = random.Random(f"lots on a track {seed}")
    metres = {
        "w": 0,
        "in": dice.choice([1, 2]),
        "a": 3,
        **({"b": 4} if seed % 3 == 0 else {}),
        "e": dice.choice([6, 7]),
    }
    names = list(metres)
    route = [{"at": ["m1"], "time_s": dice.randint(0, 8)}, {"at": ["m2"], "time_s": dice.randint(0, 6)}]
    pace = dice.choice([0, 1])  # of a second for speeding up and braking
    return {
        "format": "millhand-cell/1",
        "name": "two arms on a track with a lot",
        "grid_s": 1,
        "goal": "makespan",
        "places": {name: {"track_m": float(at)} for name, at in metres.items()},
        "tracks": {"rail": {"attendants": ["left", "right"], "keep_m": float(dice.choice([1, 2]))}},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "a"},
            "m2": {"kind": "process", "place": "b" if seed % 3 == 0 else "a"},
            "done": {"kind": "sink", "place": dice.choice(["e", "in", "w"]), "capacity": None},
        },
        "attendants": {
            "left": {"kind": "arm", "hands": 1, "home": "w", "moves": "ways"},
            "right": {"kind": "arm", "hands": 1, "home": "e", "moves": "ways"},
        },
        "moves": {
            "ways": {
                "places": names,
                "empty_s": [[0 if a == b else max(1, abs(metres[a] - metres[b])) + pace for b in names] for a in names],
            }
        },
        "handling": [
            {"who": ["left", "right"], "at": ["raw"], "pick": {"hold_s": dice.randint(1, 2)}},
            {"who": ["left", "right"], "at": ["done"], "place": {"hold_s": dice.randint(1, 2)}},
            {
                "who": ["left", "right"],
                "at": ["m1", "m2"],
                "pick": {"hold_s": dice.randint(1, 2)},
                "place": {"hold_s": dice.randint(1, 2)},
            },
        ],
        "parts": {
            "part": {
                "lot": {"size": 2 if seed % 3 == 0 else 3},
                "route": [{"at": ["raw"]}, *route[: 2 if seed % 3 == 0 else 1], {"at": ["done"]}],
            }
        },
    }


@pytest.mark.parametrize("seed", [2, 7, 15, 44, 46, 53])
def test_the_shortest_of_all_is_found_and_proven(seed: int) -> None:
    """No way of two arms, with as many stops aside as anybody likes, is shorter than what the search calls proven."""
    cell = cell_from(small(seed))
    found = shortest_makespan(cell, deadline=None, deterministic=4.0, workers=1, seed=1)

    assert proof_gaps(found) == []
    assert found.proven
    assert found.period_steps == best_makespan(cell, most=found.period_steps)


def test_without_room_aside_the_cure_names_the_track() -> None:
    """Where an idle arm has no place out of the other's way no plan exists, and the cure says so."""
    form = small(3)
    form["places"]["e"]["track_m"] = 4.0
    form["tracks"]["rail"]["keep_m"] = 2.0
    form["stations"]["done"]["place"] = "w"
    with pytest.raises(InputError, match="place on the track where each attendant is out of the others' way"):
        shortest_makespan(cell_from(form), deadline=None, deterministic=4.0, workers=1, seed=1)
