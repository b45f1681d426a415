"""Large random runs, by hand: `make soak CELLS=n`, or `python tests/soak.py --cells n`.

Random cells are simulated and every part and second accounted for. Then the stressed reference cell, in which the rare
is common, is held against the independent SimPy program (benchmarks/reference): means and whole distributions of 27
figures. Each run adds a line to benchmarks/results.jsonl.
"""

import argparse
import importlib.util
import json
import platform
import subprocess
import sys
from collections import Counter
from datetime import date
from pathlib import Path
from types import ModuleType
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from scipy import stats

TOP = Path(__file__).parents[1]
sys.path.insert(0, str(TOP))

from millhand.errors import InputErrors, NotYet, ToolError  # noqa: E402
from millhand.intake.cell import cell_from  # noqa: E402
from millhand.solvers.kernel.compiled import compiled  # noqa: E402
from millhand.solvers.kernel.refusals import refusals  # noqa: E402
from millhand.solvers.kernel.replications import Piece, counted  # noqa: E402
from millhand.solvers.kernel.running import Finished, finished_run  # noqa: E402
from tests.agreement.test_simulation import measure  # noqa: E402
from tests.any_inquiry import any_inquiry, text_of  # noqa: E402
from tests.cells_strategy import FEATURES, Data, cell_forms  # noqa: E402
from tests.properties.test_simulation import may_lock_up  # noqa: E402
from tests.reference_variants import reference_form, stressed  # noqa: E402
from tests.solvers.kernel.shop import books_of, counts_of, in_cell  # noqa: E402
from tests.study_checks import studied, wrong_faces, wrongs  # noqa: E402

HOURS, DAYS, REPLICATIONS = 30.0, 20, 60
LEAST_P = 0.0002  # two tests on each of 27 figures: a false alarm in one run of a hundred


def random_cells(count: int, start: int) -> Counter[str]:
    """How the random cells ended."""
    ended: Counter[str] = Counter()

    @seed(start)
    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(form=cell_forms(FEATURES - {"lots", "windows", "queues"}))
    def each(form: Data) -> None:
        ended[one_cell(form)] += 1

    each()
    return ended


def one_cell(form: Data) -> str:
    """Simulate one cell and say how it went; a part or second that is lost raises."""
    try:
        cell = cell_from(form)
    except InputErrors:
        return "not valid"
    if list(refusals(cell)):
        return "refused by name"
    horizon = round(HOURS * 3600 / cell.grid_s)
    try:
        run = finished_run(compiled(cell), horizon, seed=11, replication=0)
    except ToolError as trouble:
        if may_lock_up(cell) or trouble.code == "store_grows":
            return trouble.code
        raise
    assert balanced(run, horizon), json.dumps(form)
    return "balanced"


def balanced(run: Finished, horizon: int) -> bool:
    """True where every part and every grid step is accounted for, and no stock is below nothing."""
    counts = counts_of(run)
    parts = counts["picked"] == counts["good"] + counts["scrapped"] + counts["escaped"] + in_cell(run)
    times = all(sum(book) == horizon and min(book) >= 0 for book in books_of(run))
    return parts and times and int(run.k.s_stock.min()) >= 0


def random_studies(count: int, start: int) -> Counter[str]:
    """How the studies of random inquiries ended; a figure that cannot be raises."""
    ended: Counter[str] = Counter()
    for number in range(start * 100_000, start * 100_000 + count):
        text = text_of(any_inquiry(number))
        try:
            found = studied(text, simulated=True)
        except (InputErrors, NotYet):
            ended["refused in words"] += 1
            continue
        wrong = wrongs(found) + wrong_faces(found)
        assert not wrong, f"inquiry {number}: {wrong[:5]}"
        ended[f"answered {found.decision.answer}"] += 1
    return ended


def reference_program() -> ModuleType:
    """The independent program, loaded from its file."""
    spec = importlib.util.spec_from_file_location("reference_simpy", TOP / "benchmarks/reference/reference_simpy.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["reference_simpy"] = module
    spec.loader.exec_module(module)
    return module


def least_p(start: int) -> tuple[float, str]:
    """The least probability among means and distributions of all figures, and whose it is."""
    others = reference_program().report("stressed", REPLICATIONS, DAYS, start, True)["measures"]
    c = compiled(cell_from(stressed(reference_form())))
    horizon = DAYS * c.size.day
    pieces = [Piece(cell=c, horizon=horizon, warm_up=0, seed=start, replication=n) for n in range(REPLICATIONS)]
    ours = [counted(piece) for piece in pieces]
    found = []
    for name, other in others.items():
        values = [measure(c, counts, name) for counts in ours]
        means = stats.ttest_ind(values, other["each"], equal_var=False).pvalue
        shapes = stats.ks_2samp(values, other["each"]).pvalue
        found.append((float(min(means, shapes)), name))
    return min(found)


def line(figure: str, value: float, unit: str, rounds: int) -> dict[str, Any]:
    """One line of the results."""
    commit = subprocess.run(["git", "rev-parse", "--short=12", "HEAD"], cwd=TOP, capture_output=True, text=True)
    return {
        "figure": figure,
        "value": value,
        "low": None,
        "high": None,
        "unit": unit,
        "rounds": rounds,
        "command": "python tests/soak.py " + " ".join(sys.argv[1:]),
        "date": date.today().isoformat(),
        "commit": commit.stdout.strip(),
        "machine_class": f"{platform.machine()}, Python {platform.python_version()}",
    }


def main() -> int:
    """Run, print, keep; 1 where something does not agree."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cells", type=int, default=200)
    parser.add_argument("--studies", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    ended = random_cells(options.cells, options.seed)
    print(", ".join(f"{count} {how}" for how, count in sorted(ended.items())))
    studies = random_studies(options.studies, options.seed)
    print(", ".join(f"{count} {how}" for how, count in sorted(studies.items())))
    p, name = least_p(options.seed)
    print(f"stressed reference cell, {REPLICATIONS} replications of each program: least p {p:.4f} ({name})")
    with (TOP / "benchmarks/results.jsonl").open("a", encoding="utf-8") as results:
        balanced_cells = line("soak_cells_balanced", ended["balanced"], "cells", options.cells)
        agreement = line("soak_stressed_least_p", p, "probability of the worst of 54 tests", REPLICATIONS)
        answered = options.studies - studies["refused in words"]
        sound = line("soak_studies_sound", answered, "studies", options.studies)
        results.writelines(json.dumps(found) + "\n" for found in (balanced_cells, sound, agreement))
    return 0 if p > LEAST_P else 1


if __name__ == "__main__":
    sys.exit(main())
