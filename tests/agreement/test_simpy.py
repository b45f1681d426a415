"""The simulation against two models in a general library, written apart from it, with other random numbers.

Every figure is compared twice: its distribution over replications by Kolmogorov and Smirnov, its mean by dealing the
runs out anew to the two sides, which holds for any distribution, those of rare and long stops included. Either fails
below one chance in a thousand, chosen beforehand as were the seeds.
"""

import json
import math
import subprocess
import sys
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats

from millhand.intake.cell import cell_from
from millhand.model.performance import Output
from millhand.solvers.kernel.replications import simulate
from tests import oracle_simpy as oracle
from tests.reference_variants import MEASURES, reference_form, stressed

PROGRAM = Path(__file__).parents[2] / "benchmarks/reference/reference_simpy.py"
LEAST_P = 0.001
DEALS = 4999
SEED = 41
QUICK_DAYS = 2
QUICK_OURS, QUICK_SIMPY = 30, 160  # replications
PEOPLE_HOURS = 24.0
QUICK_PEOPLE_OURS, QUICK_PEOPLE_SIMPY = 40, 100
QUICK_WRONG = 20

VARIANTS = {"reference": lambda form: form, "stressed": stressed}


def differing(ours: Mapping[str, Sequence[float]], other: Mapping[str, Sequence[float]]) -> dict[str, Any]:
    """The figures in which two simulations differ: both means and the lower chance of the two tests."""
    far = {}
    for name in other:
        a, b = list(ours[name]), list(other[name])
        chance = min(means_p(a, b), float(stats.ks_2samp(a, b).pvalue))
        if chance < LEAST_P:
            far[name] = (math.fsum(a) / len(a), math.fsum(b) / len(b), chance)
    return far


def means_p(a: Sequence[float], b: Sequence[float]) -> float:
    """Chance that runs dealt out at random to both sides have means so far apart."""
    runs, apart = np.array([*a, *b]), abs(np.mean(a) - np.mean(b))
    dealt = np.random.default_rng(SEED).permuted(np.tile(runs, (DEALS, 1)), axis=1)
    found = np.abs(dealt[:, : len(a)].mean(axis=1) - dealt[:, len(a) :].mean(axis=1))
    return float((1 + np.count_nonzero(found >= apart * (1 - 1e-12))) / (1 + DEALS))


def outputs(form: Mapping[str, Any], *, hours: float, replications: int) -> list[Output]:
    """What each replication put out, one by one."""
    cell = cell_from(form)
    return [simulate(cell, hours=hours, replications=1, seed=SEED, first=n) for n in range(replications)]


def reference_figure(output: Output, name: str) -> float:
    """One figure under the name that the reference program gives it: a count a day, or the share of a state."""
    who, _, what = name.partition("_")
    if what == "per_day":
        counts = {count: figure.mean for count, figure in output.counts.items()}
        counts |= {"parts": output.parts_per_h.mean, "good": output.good_per_h.mean}
        counts |= {"refills": output.duties["refill"].mean, "repairs": output.duties["clear"].mean}
        counts["interventions"] = counts["refills"] + counts["repairs"]
        return counts[who] * 24
    states = output.states[who]
    return math.fsum(share for state, share in states.items() if MEASURES.get(state, state) == what)


@pytest.mark.parametrize("variant", VARIANTS)
def test_the_reference_cell(variant: str) -> None:
    """27 figures of the reference cell, as it is and with its rare events made common."""
    options = {"variant": variant, "replications": QUICK_SIMPY, "days": QUICK_DAYS, "seed": SEED}
    words = [word for name, value in options.items() for word in (f"--{name}", str(value))]
    run = subprocess.run([sys.executable, PROGRAM, *words, "--each"], check=True, capture_output=True, text=True)
    other = {name: measure["each"] for name, measure in json.loads(run.stdout)["measures"].items()}
    each = outputs(VARIANTS[variant](reference_form()), hours=24 * QUICK_DAYS, replications=QUICK_OURS)
    ours = {name: [reference_figure(output, name) for output in each] for name in other}

    assert len(other) == 27
    assert not differing(ours, other)


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


def test_two_busy_people_and_an_arm() -> None:
    """34 figures of a cell with hours, walks, priorities, calls by level, clock, parts, stops, misses and chance."""
    other_runs = oracle.replications(QUICK_PEOPLE_SIMPY, hours=PEOPLE_HOURS, seed=SEED)
    names = sorted({name for figures in other_runs for name in figures})
    other = {name: [figures.get(name, 0.0) for figures in other_runs] for name in names}
    each = outputs(people_form(), hours=PEOPLE_HOURS, replications=QUICK_PEOPLE_OURS)
    ours = {name: [own_figure(output, name) for output in each] for name in names}

    assert len(names) == 34
    assert not differing(ours, other)


@cache
def right_runs() -> list[dict[str, float]]:
    """The model as it is."""
    return oracle.replications(QUICK_WRONG, hours=PEOPLE_HOURS, seed=SEED)


@pytest.mark.parametrize("wrong", [{"RETRIES": 0}, {"STOP_S": 1800.0}, {"BELOW": 1}, {"EVERY": 6}, {"TAIL_S": 12.0}])
def test_a_wrong_rule_would_show(monkeypatch: pytest.MonkeyPatch, wrong: dict[str, Any]) -> None:
    """The model with one number changed differs from itself: the comparison is sharp enough to see it."""
    right = right_runs()
    for name, value in wrong.items():
        monkeypatch.setattr(oracle, name, value)
    changed = oracle.replications(QUICK_WRONG, hours=PEOPLE_HOURS, seed=SEED + 1)
    names = set(right[0]) & set(changed[0])

    assert differing(
        {name: [figures.get(name, 0.0) for figures in right] for name in names},
        {name: [figures.get(name, 0.0) for figures in changed] for name in names},
    )
