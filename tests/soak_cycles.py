"""Many random small cells, by hand: `python tests/soak_cycles.py --cells 2000 --seed 3`.

The best cycle of each, as a study searches for it, against every order of one part set looked at one by one
(cycle_oracle.py), each of several machines side by side loaded once: what is said to be proven is the best, nothing of
that kind is better than possible, and whatever is found passes the validator. Better in another way are cycles that
pass over a machine or go over several rounds. Adds a line to benchmarks/results.jsonl.
"""

import argparse
import json
import multiprocessing
import sys
from collections import Counter
from pathlib import Path

TOP = Path(__file__).parents[1]
sys.path.insert(0, str(TOP))

from millhand.errors import Contradiction, NotYet, ToolError  # noqa: E402
from millhand.solvers.cycle.best import best_cycle as searched  # noqa: E402
from millhand.solvers.cycle.effort import Effort  # noqa: E402
from tests.agreement.random_small import small_cell  # noqa: E402
from tests.cycle_oracle import NotCoveredError, best_cycle, numbers_of  # noqa: E402
from tests.soak import BLOCK, PROCESSES, line  # noqa: E402

STEP = 20


def told(number: int) -> tuple[str, str]:
    """How the two agree on one cell, and what is wrong."""
    cell = small_cell(number)
    try:
        looked_at, parts = best_cycle(cell).best_or_none, len(numbers_of(cell).chains)
    except NotCoveredError:
        return "not covered", ""
    try:
        found = searched(cell, effort=Effort(most_sets=1))
    except (NotYet, Contradiction) as refused:
        wrong = looked_at is not None and looked_at > 1
        return "no cycle", f"cell {number}: {refused}, but {looked_at} is possible" if wrong else ""
    except ToolError as failed:
        return "failed", f"cell {number}: {failed}"
    mine = found.period_steps * parts / found.parts_per_period
    if looked_at is None or mine < looked_at:
        lifts = Counter(event.station for event in found.events if event.what == "lift")
        unlike = found.parts_per_period > parts or (parts > 1 and len(lifts) < parts + 1)
        other = unlike or looked_at is None
        return "better in another way", "" if other else f"cell {number}: {mine:g} found, the best is {looked_at}"
    if mine == looked_at:
        return "the same, proven" if found.proven else "the same, open", ""
    return "longer, open", f"cell {number}: {mine:g} proven, {looked_at} is possible" if found.proven else ""


def main() -> int:
    """Run, print, keep; 1 where something does not agree."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cells", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    options.studies = 0
    first = options.seed * BLOCK
    ended: Counter[str] = Counter()
    wrong = []
    with multiprocessing.get_context("spawn").Pool(PROCESSES) as pool:
        for how, words in pool.imap_unordered(told, range(first, first + options.cells), chunksize=STEP):
            ended[how] += 1
            if words:
                wrong.append(words)
                print(words, file=sys.stderr, flush=True)
    print(", ".join(f"{count} {how}" for how, count in sorted(ended.items())))
    kept = line(options, "soak_cycles_agree", options.cells - len(wrong), "cells")
    kept["command"] = f"python tests/soak_cycles.py --cells {options.cells} --seed {options.seed}"
    with (TOP / "benchmarks/results.jsonl").open("a", encoding="utf-8") as results:
        results.write(json.dumps(kept) + "\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
