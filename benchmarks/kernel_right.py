"""Whether the kernel is right, as the README of its fixed opponents asks."""

import json
import math
from collections.abc import Iterator
from pathlib import Path

from benchmarks.kernel_runs import PARTS, timed_run
from benchmarks.measuring import Gate, Line
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.compiled import compiled
from tests.agreement.test_simulation import measure
from tests.reference_variants import plain, reference_form, stressed

EXPECTED = json.loads((Path(__file__).with_name("reference") / "expected.json").read_text(encoding="utf-8"))
VARIANTS = {"reference": reference_form, "stressed": lambda: stressed(reference_form())}
DAYS, REPLICATIONS = 20, 2000
MOST = 3.0  # standard errors of the difference, for each mean


def right(_rounds: int) -> Iterator[Line]:
    """The worst of all means in standard errors, and by how many parts the cell without chance differs: none."""
    off = parts_without_chance() - EXPECTED["zero_variance"]["parts_in_days"][str(DAYS)]
    yield Line(figure="kernel_right_plain", value=off, unit="parts too many", rounds=1, gate=Gate(least=0, most=0))
    for variant in VARIANTS:
        z = distances(variant, replications=REPLICATIONS)
        worst = max(z, key=lambda name: abs(z[name]))
        unit = f"standard errors: {worst}, the worst of {len(z)} means"
        gate = Gate(most=MOST)
        yield Line(figure=f"kernel_right_{variant}", value=abs(z[worst]), unit=unit, rounds=REPLICATIONS, gate=gate)


def parts_without_chance() -> int:
    """Parts of the plain cell."""
    return timed_run(cell_from(plain(reference_form())), numbers=range(1), hours=24 * DAYS).counts[0].counted[PARTS]


def distances(variant: str, *, replications: int) -> dict[str, float]:
    """Of each figure the mean's distance from the long run of the C++ program, in standard errors of the difference."""
    c = compiled(cell_from(VARIANTS[variant]()))
    counts = timed_run(c, numbers=range(replications), hours=24 * DAYS).counts
    found = {}
    for name, known in EXPECTED[variant].items():
        if name == "events_per_part":
            continue
        values = [measure(c, each, name) for each in counts]
        mean = math.fsum(values) / replications
        variance = math.fsum((value - mean) ** 2 for value in values) / (replications - 1)
        found[name] = (mean - known["mean"]) / math.hypot(
            math.sqrt(variance / replications), known["half_width_95"] / 1.96
        )
    return found
