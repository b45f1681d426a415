"""Large random runs, by hand: `make soak CELLS=n`, or `python tests/soak.py --cells n`.

Random cells are simulated, stopped and looked at here and there: every part and second is accounted for, nothing hangs;
what is wrong is kept as a file in tests/found. Half of the cells are rows of machines with one attendant, the others
have all features; the rule `cycle`, whose search takes longer than the rest together, one in twenty. Random inquiries
are answered. Then the stressed reference cell, in which the rare is common, is held against the independent SimPy
program (benchmarks/reference): means and whole distributions of 27 figures. Each run adds lines to
benchmarks/results.jsonl.
"""

import argparse
import importlib.util
import json
import multiprocessing
import platform
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from types import ModuleType
from typing import Any

from scipy import stats

TOP = Path(__file__).parents[1]
sys.path.insert(0, str(TOP))

from millhand.errors import InputErrors, NotYet  # noqa: E402
from millhand.intake.cell import cell_from  # noqa: E402
from millhand.run import LocalRunner, Nobody  # noqa: E402
from millhand.solvers.kernel.compiled import compiled  # noqa: E402
from millhand.solvers.kernel.replications import Piece, counted  # noqa: E402
from millhand.solvers.kernel.running import warm_up  # noqa: E402
from tests.agreement.test_simulation import measure  # noqa: E402
from tests.any_inquiry import any_inquiry, text_of  # noqa: E402
from tests.cells_draws import Data  # noqa: E402
from tests.cells_strategy import FEATURES  # noqa: E402
from tests.reference_variants import reference_form, stressed  # noqa: E402
from tests.study_checks import studied, wrong_faces, wrongs  # noqa: E402
from tests.tended_cells import tended_form  # noqa: E402
from tests.whole_cells import cuts_of, form_of, outcome  # noqa: E402

HOURS, DAYS, REPLICATIONS = 30.0, 20, 60
PROCESSES, CHUNK, BLOCK, LONGEST_S = 2, 100, 10_000_000, 120
LEAST_P = 0.0002  # two tests on each of 27 figures: a false alarm in one run of a hundred


def random_cells(count: int, start: int) -> tuple[Counter[str], list[str]]:
    """How the random cells of a block of numbers ended, done by two processes; and what was wrong, each kept as a file.

    Blocks of different seeds have no number in common up to ten million cells.
    """
    first, began = start * BLOCK, time.monotonic()
    ended: Counter[str] = Counter()
    wrong: list[str] = []
    numbers = range(first, first + count)
    pieces = [numbers[at : at + CHUNK] for at in range(0, count, CHUNK)]
    with multiprocessing.get_context("spawn").Pool(PROCESSES) as pool:
        for done, (some, found) in enumerate(pool.imap_unordered(cells_of, pieces), start=1):
            ended += some
            wrong += found
            told = f"{sum(ended.values())} of {count} cells, {len(wrong)} wrong, {time.monotonic() - began:.0f} s"
            if done % 10 == 0 or found or done == len(pieces):
                print("; ".join([told, *found]), file=sys.stderr, flush=True)
    return ended, wrong


def cells_of(numbers: range) -> tuple[Counter[str], list[str]]:
    """How the cells of these numbers ended, and in words what was wrong."""
    ended: Counter[str] = Counter()
    wrong = []
    for number in numbers:
        try:
            with hurried(LONGEST_S):
                ended[outcome(soaked_form(number), HOURS, cuts_of(number))] += 1
        except Exception as trouble:  # whatever it is, it is kept and told, and the rest goes on
            ended["wrong"] += 1
            wrong.append(f"cell {number}: {type(trouble).__name__} {trouble}"[:400])
            keep(number, wrong[-1])
    return ended, wrong


def soaked_form(number: int) -> Data:
    """The file form of the random cell of this number."""
    if number % 2:
        return tended_form(number)
    return form_of(number, FEATURES if number % 20 == 0 else FEATURES - {"cycle"})


@contextmanager
def hurried(longest_s: int) -> Iterator[None]:
    """Whatever takes longer hangs: it is left with an error."""

    def ring(*_: object) -> None:
        raise TimeoutError(f"longer than {longest_s} s")

    signal.signal(signal.SIGALRM, ring)
    signal.alarm(longest_s)
    try:
        yield
    finally:
        signal.alarm(0)


def keep(number: int, words: str) -> None:
    """The cell as a file of its own, with what was wrong and where it was looked at, for tests/found."""
    kept = {"found": words, "cuts": cuts_of(number), "hours": HOURS, "cell": soaked_form(number)}
    path = TOP / f"tests/found/cell_{number}.json"
    path.write_text(json.dumps(kept, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


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


def line(options: argparse.Namespace, figure: str, value: float, unit: str) -> dict[str, Any]:
    """One line of the results; rounds are cells, studies or replications of each program."""
    rounds = {"cells": options.cells, "studies": options.studies}.get(unit, REPLICATIONS)
    commit = subprocess.run(["git", "rev-parse", "--short=12", "HEAD"], cwd=TOP, capture_output=True, text=True)
    return {
        "figure": figure,
        "value": value,
        "low": None,
        "high": None,
        "unit": unit,
        "rounds": rounds,
        "command": f"python tests/soak.py --cells {options.cells} --studies {options.studies} --seed {options.seed}",
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
    warm_up(Nobody(), LocalRunner(workers=PROCESSES))  # compiled once, the processes use it
    ended, wrong = random_cells(options.cells, options.seed)
    print(", ".join([f"{count} {how}" for how, count in sorted(ended.items())]))
    print("\n".join(wrong) or "no cell hangs, loses a part or a second, or has a stock below nothing")
    studies = random_studies(options.studies, options.seed)
    print(", ".join(f"{count} {how}" for how, count in sorted(studies.items())))
    p, name = least_p(options.seed)
    print(f"stressed reference cell, {REPLICATIONS} replications of each program: least p {p:.4f} ({name})")
    answered = options.studies - studies["refused in words"]
    found = [
        line(options, "soak_cells_balanced", options.cells - len(wrong), "cells"),
        line(options, "soak_studies_sound", answered, "studies"),
        line(options, "soak_stressed_least_p", p, "probability of the worst of 54 tests"),
    ]
    with (TOP / "benchmarks/results.jsonl").open("a", encoding="utf-8") as results:
        results.writelines(json.dumps(each) + "\n" for each in found)
    return 0 if p > LEAST_P and not wrong else 1


if __name__ == "__main__":
    sys.exit(main())
