"""A stressed cell with two people and an arm against the model of tests/oracle_simpy.py, figure by figure.

The comparison is that of tests.agreement.test_simpy: distributions and means, each at one chance in a thousand. Seeds
and changes were chosen beforehand. Misses are left out: what is counted of a pick that is given up is held elsewhere.
"""

import math
from functools import cache
from typing import Any

import pytest

from millhand.model.performance import Output
from tests import oracle_simpy as oracle
from tests.agreement.test_simpy import SEED, differing, outputs
from tests.reference_variants import MEASURES

HOURS = 24.0  # the model refills by the clock once, so no more than a day
QUICK_OURS, QUICK_SIMPY = 24, 60  # replications
QUICK_WRONG = 20

VARIANTS: dict[str, dict[str, Any]] = {
    "as it is": {},
    "a small presenter": {"POCKETS": 14, "BELOW": 4},
    "many stops and no way": {"STOP_S": 1000.0, "WALK_S": [[0] * 6 for _ in range(6)]},
    "many misses, no retry": {"MISS": 0.12, "RETRIES": 0, "EVERY": 3},
    "slow people, often called away": {"PACE": {"op1": 2.0, "op2": 3.0}, "AWAY_EVERY_S": 1200.0},
}


def lognormal_span(mean_s: float, cv: float) -> dict[str, Any]:
    """The span in the form of the file."""
    return {"dist": "lognormal", "mean_s": mean_s, "cv": cv}


def people_form() -> dict[str, Any]:
    """The cell of tests/oracle_simpy.py in the format."""
    triggers: dict[str, Any] = {
        "clear": {"trigger": {"kind": "fault"}, "holds": "station"},
        "free": {"trigger": {"kind": "fault"}, "holds": "station"},
        "refill": {
            "trigger": {"kind": "level", "at": ["raw"], "below": oracle.BELOW},
            "also": {"kind": "clock", "at_s": [oracle.REFILL_AT_S]},
            "restores": {"raw": "full"},
        },
        "gauge": {"trigger": {"kind": "parts", "at": ["m1", "m2"], "every": oracle.EVERY}},
        "away": {"trigger": {"kind": "clock", "every": {"dist": "exponential", "mean_s": oracle.AWAY_EVERY_S}}},
    }
    duties = {}
    for name, duty in oracle.DUTIES.items():
        duties[name] = triggers[name] | {
            "who": list(duty.who),
            "priority": duty.priority,
            "takes": lognormal_span(duty.takes_s, duty.cv),
            "response_s": duty.response_s,
        }
        if duty.place:
            duties[name]["place"] = duty.place
    stop = {"id": "stop", "on": "busy", "every": {"dist": "exponential", "mean_s": oracle.STOP_S}, "duty": "clear"}
    machine = {"kind": "process", "faults": [stop]}
    pockets = {"capacity": oracle.POCKETS, "start": oracle.POCKETS}
    person = {"kind": "operator", "home": "desk", "moves": "walk", "calendar": "turn"}
    return {
        "format": "millhand-cell/1",
        "name": "two machines, an arm and two busy people",
        "places": {place: {} for place in oracle.WALK_PLACES},
        "calendars": {"turn": {"period_s": oracle.PERIOD_S, "on": oracle.HOURS, "at_end": "finish_duty"}},
        "stations": {
            "raw": {
                "kind": "supply",
                "place": "rack",
                "refill": "refill",
            }
            | pockets,
            "m1": machine | {"place": "m1"},
            "m2": machine | {"place": "m2"},
            "done": {"kind": "sink", "place": "rack", "capacity": None},
        },
        "attendants": {
            "arm": {"kind": "arm", "hands": 2, "home": "rack", "moves": "arm"},
            **{name: person | {"pace": pace} for name, pace in oracle.PACE.items()},
        },
        "moves": {
            "walk": {"places": oracle.WALK_PLACES, "empty_s": oracle.WALK_S},
            "arm": {"places": oracle.ARM_PLACES, "empty_s": oracle.ARM_S},
        },
        "handling": [
            {
                "who": ["arm"],
                "at": ["raw"],
                "pick": {"hold_s": oracle.PICK_S},
                "miss": {"p": oracle.MISS, "retries": oracle.RETRIES, "retry_s": oracle.RETRY_S, "duty": "free"},
            },
            {"who": ["arm"], "at": ["done"], "place": {"hold_s": oracle.PLACE_S}},
            {
                "who": ["arm"],
                "at": ["m1", "m2"],
                "place": {"hold_s": oracle.LOAD_S, "tail_s": oracle.TAIL_S},
                "swap": {"lead_s": oracle.LEAD_S, "hold_s": oracle.SWAP_S, "tail_s": oracle.TAIL_S},
            },
        ],
        "parts": {
            "part": {
                "route": [
                    {"at": ["raw"]},
                    {"at": ["m1", "m2"], "time_s": lognormal_span(oracle.WORK_S, oracle.WORK_CV), "good": oracle.GOOD},
                    {"at": ["done"]},
                ]
            }
        },
        "duties": duties,
        "dispatch": {"arm": {"rule": "first_to_finish"}},
    }


def own_figure(output: Output, name: str) -> float:
    """One figure under the name that the model of tests/oracle_simpy.py gives it: a count an hour, or a share."""
    if name.endswith("_per_h"):
        what = name.removesuffix("_per_h")
        figures = {"parts": output.parts_per_h, "good": output.good_per_h, **output.counts, **output.duties}
        return figures[what].mean
    who, state = name.split()
    return math.fsum(share for word, share in output.states[who].items() if MEASURES.get(word, word) == state)


@pytest.mark.parametrize("changed", VARIANTS.values(), ids=VARIANTS)
def test_two_busy_people_and_an_arm(monkeypatch: pytest.MonkeyPatch, changed: dict[str, Any]) -> None:
    """34 figures of a cell with hours, walks, priorities, calls by level, clock, parts, stops, misses and chance."""
    for name, value in changed.items():
        monkeypatch.setattr(oracle, name, value)
    other_runs = oracle.replications(QUICK_SIMPY, hours=HOURS, seed=SEED)
    names = sorted({name for figures in other_runs for name in figures})
    other = {name: [figures.get(name, 0.0) for figures in other_runs] for name in names}
    each = outputs(people_form(), hours=HOURS, replications=QUICK_OURS)
    ours = {name: [own_figure(output, name) for output in each] for name in names}

    assert len(names) >= 32  # nobody travels where there is no way
    assert not differing(ours, other)


@cache
def right_runs() -> list[dict[str, float]]:
    """The model as it is."""
    return oracle.replications(QUICK_WRONG, hours=HOURS, seed=SEED)


@pytest.mark.parametrize("wrong", [{"RETRIES": 0}, {"STOP_S": 1800.0}, {"BELOW": 1}, {"EVERY": 6}, {"TAIL_S": 12.0}])
def test_a_wrong_rule_would_show(monkeypatch: pytest.MonkeyPatch, wrong: dict[str, Any]) -> None:
    """The model with one number changed differs from itself: the comparison is sharp enough to see it."""
    right = right_runs()
    for name, value in wrong.items():
        monkeypatch.setattr(oracle, name, value)
    changed = oracle.replications(QUICK_WRONG, hours=HOURS, seed=SEED + 1)
    names = set(right[0]) & set(changed[0])

    assert differing(
        {name: [figures.get(name, 0.0) for figures in right] for name in names},
        {name: [figures.get(name, 0.0) for figures in changed] for name in names},
    )
