"""Lots served by two arms on one track of which one at least has two grippers: the plan by hand, its distances at every
moment, as the validator reads it, and against every rule of dispatch."""

from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.agreement.test_makespan_simulated import RULES, finished_s
from tests.small_lots import Form
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.cycle.test_makespan_rails import position_m, two_arms

SEEDS = (5, 6, 11, 13)  # range(40) by hand
ARMS = ("left", "right")
PLACES_M = {"park1": -3.0, "in": 0.0, "a": 2.0, "b": 4.0, "out": 6.0, "park2": 9.0}
KEEP_M = 1.5


def found_in(form: Form) -> Schedule:
    """The schedule that a short search finds, with all that has to hold for any."""
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=0.15, workers=1, seed=1)

    assert proof_gaps(found) == []
    return found


def table(steps_per_m: float) -> list[list[int]]:
    """Ways between all places."""
    spots = PLACES_M.values()
    return [[0 if a == b else round(abs(a - b) * steps_per_m) + 1 for b in spots] for a in spots]


def on_a_rail(seed: int) -> Form:
    """Two arms on one track, one at least with two grippers; two machines in a row or side by side."""
    dice = Random(f"rail {seed}")
    hands = dice.choice([(1, 2), (2, 1), (2, 2), (2, 2)])
    lead = dice.choice([0, 2])
    times = [dice.randint(5, 40) for _ in range(2)]
    row = [{"at": [name], "time_s": time} for name, time in zip(("m1", "m2"), times, strict=True)]
    either = [{"at": ["m1", "m2"], "time_s": dict(zip(("m1", "m2"), times, strict=True))}]
    form: Form = {
        "format": "millhand-cell/1", "name": "two arms on a rail", "grid_s": 1, "goal": "makespan",
        "places": {name: {"track_m": at} for name, at in PLACES_M.items()},
        "tracks": {"rail": {"attendants": list(ARMS), "keep_m": KEEP_M}},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "a"},
            "m2": {"kind": "process", "place": "b"},
            "done": {"kind": "sink", "place": "out", "capacity": None},
        },
        "attendants": {
            name: {"kind": "arm", "hands": count, "home": home, "moves": "ways", "turn_s": dice.choice([0, 2])}
            for name, count, home in zip(ARMS, hands, ("park1", "park2"), strict=True)
        },
        "moves": {"ways": {"places": list(PLACES_M), "empty_s": table(1.0)}},
        "handling": [
            {"who": list(ARMS), "at": ["raw"], "pick": {"hold_s": 2}},
            {"who": list(ARMS), "at": ["done"], "place": {"hold_s": 3}},
        ],
        "parts": {
            "part": {
                "lot": {"size": dice.choice([2, 3])},
                "route": [{"at": ["raw"]}, *dice.choice([row, either]), {"at": ["done"]}],
            }
        },
    }  # fmt: skip
    for name, count in zip(ARMS, hands, strict=True):
        visits = {"pick": {"hold_s": 3}, "place": {"hold_s": 4, "lead_s": lead}, "swap": {"hold_s": 5}}
        form["handling"].append({"who": [name], "at": ["m1", "m2"]} | dict(list(visits.items())[: count + 1]))
    if dice.random() < 0.5:
        form["moves"]["ways"]["loaded_s"] = table(1.5)
    return form


@pytest.mark.parametrize("seed", SEEDS)
def test_random_arms_keep_their_distance(seed: int) -> None:
    """At every event, between which positions are straight lines; and no rule of dispatch is faster than the bound."""
    form = on_a_rail(seed)
    cell, found = cell_from(form), found_in(form)
    times = sorted({event.at_steps for event in found.events})
    apart = [position_m(cell, found, "right", time) - position_m(cell, found, "left", time) for time in times]
    seen = [done for rule in RULES if (done := finished_s(form, rule)) is not None]

    assert min(apart) >= KEEP_M - 1e-9
    assert min(seen, default=found.least_steps) >= found.least_steps


def own_halves() -> Form:
    """A machine and a lot of two for each arm, far from each other; both have two grippers and exchange."""
    form = two_arms(2)
    form["stations"]["raw2"] = {"kind": "supply", "place": "p3", "capacity": None}
    form["handling"][0]["at"].append("raw2")
    form["stations"]["done1"] = {"kind": "sink", "place": "p1", "capacity": None}
    form["handling"][1]["at"].append("done1")
    form["handling"][2]["swap"] = {"hold_s": 12}
    for name, (raw, machine, done) in {"left": ("raw", "m1", "done1"), "right": ("raw2", "m4", "done")}.items():
        own = {"take_from": [raw, machine], "put_to": [machine, done]}
        form["attendants"][name] |= {"hands": 2, "turn_s": 1.5} | own
    form["parts"] = {
        "near": {"lot": {"size": 2}, "route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 90}, {"at": ["done1"]}]},
        "far": {"lot": {"size": 2}, "route": [{"at": ["raw2"]}, {"at": ["m4"], "time_s": 90}, {"at": ["done"]}]},
    }
    return form


def test_each_arm_exchanges_in_its_own_half() -> None:
    """The right arm, which has the longer ways: 5.3 s to its supply, pick 5, way 2.8, place 11, work 90, exchange 12
    with its turn 1.5, work 90, pick 9, way 2.8, place 5. The other arm is never in its way, so that is the least."""
    found = found_in(own_halves())
    lifts = {(event.attendant, event.part) for event in found.events if event.what == "lift"}

    assert lifts == {("left", "near"), ("right", "far")}
    assert found.period_steps == round(10 * (5.3 + 5 + 2.8 + 11 + 90 + 12 + 1.5 + 90 + 9 + 2.8 + 5))
    assert found.proven
