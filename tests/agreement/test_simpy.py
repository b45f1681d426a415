"""The reference cell against a model in a general library, written apart from it, with other random numbers.

Every figure is compared twice: its distribution over replications by Kolmogorov and Smirnov, its mean by dealing the
runs out anew to the two sides, which holds for any distribution, those of rare and long stops included. Either fails
below one chance in a thousand, chosen beforehand as were the seeds.
"""

import json
import math
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats

from millhand.intake.cell import cell_from
from millhand.model.performance import Output
from millhand.solvers.kernel.replications import simulate
from tests.reference_variants import MEASURES, reference_form, stressed

PROGRAM = Path(__file__).parents[2] / "benchmarks/reference/reference_simpy.py"
LEAST_P = 0.001
DEALS = 4999
SEED = 41
QUICK_DAYS = 2
QUICK_OURS, QUICK_SIMPY = 30, 160  # replications

VARIANTS = {"reference": lambda form: form, "stressed": stressed}


def differing(ours: Mapping[str, Sequence[float]], other: Mapping[str, Sequence[float]]) -> dict[str, Any]:
    """The figures in which two simulations differ: both means and the lower chance of the two tests."""
    far = {}
    for name in other:
        a, b = ([float(f"{value:.9g}") for value in side[name]] for side in (ours, other))  # equal counts are equal
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
