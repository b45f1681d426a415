"""Many random operators with alike machines, by hand: `python tests/soak_by_hand.py --cells 2000 --seed 1`.

The closed form of the worker-machine chart, the best cycle as it is searched for, and the simulation with nothing left
to chance: each round of all machines takes the same time in all three, to the grid step. Adds a line to
benchmarks/results.jsonl.
"""

import argparse
import json
import multiprocessing
import sys
from pathlib import Path
from random import Random

TOP = Path(__file__).parents[1]
sys.path.insert(0, str(TOP))

from millhand.formulas.worker_machine import servicing_cycle_s  # noqa: E402
from millhand.intake.cell import cell_from  # noqa: E402
from millhand.run import LocalRunner, Nobody  # noqa: E402
from millhand.solvers.cycle.best import best_cycle  # noqa: E402
from millhand.solvers.cycle.effort import Effort  # noqa: E402
from millhand.solvers.kernel.compiled import compiled  # noqa: E402
from millhand.solvers.kernel.running import finished_run, warm_up  # noqa: E402
from tests.agreement.test_simulation_plain import tended  # noqa: E402
from tests.soak import BLOCK, PROCESSES, line  # noqa: E402
from tests.solvers.kernel.shop import times_s  # noqa: E402

ROUNDS = 30  # of all machines, in the simulation; the first half fills


def told(number: int) -> str:
    """What does not agree in the case of this number; nothing where all does."""
    dice = Random(number)
    machines = dice.randint(1, 5)
    load_s, walk_s, time_s = dice.randint(1, 90), dice.randint(0, 20), dice.randint(0, 600)
    cell = cell_from(tended(machines, time_s=time_s, load_s=load_s, walk_s=walk_s if machines > 1 else 0))
    walked = walk_s if machines > 1 else 0
    closed = servicing_cycle_s(load_s, machining_s=time_s, walk_s=walked, machines=machines)
    best = best_cycle(cell, effort=Effort(most_sets=1))
    found = best.period_steps * cell.grid_s * machines / best.parts_per_period
    run = finished_run(compiled(cell), round(ROUNDS * closed / cell.grid_s), seed=1, replication=0, logging=True)
    outs = times_s(run, "out")
    late = [after - before for before, after in zip(outs, outs[machines:], strict=False)][len(outs) // 2 :]
    simulated = {round(each, 6) for each in late}
    if not best.proven or abs(found - closed) > 1e-9 or simulated != {closed}:
        return f"case {number}: closed form {closed:g}, best cycle {found:g}, simulated {sorted(simulated)}"
    return ""


def main() -> int:
    """Run, print, keep; 1 where something does not agree."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cells", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    warm_up(Nobody(), LocalRunner())
    numbers = range(options.seed * BLOCK, options.seed * BLOCK + options.cells)
    with multiprocessing.get_context("spawn").Pool(PROCESSES) as pool:
        wrong = [each for each in pool.imap_unordered(told, numbers, chunksize=20) if each]
    print("\n".join(wrong) or f"{options.cells} cases: the closed form, the best cycle and the simulation are the same")
    options.studies = 0
    kept = line(options, "soak_by_hand_agree", options.cells - len(wrong), "cells")
    kept["command"] = f"python tests/soak_by_hand.py --cells {options.cells} --seed {options.seed}"
    with (TOP / "benchmarks/results.jsonl").open("a", encoding="utf-8") as results:
        results.write(json.dumps(kept) + "\n")
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main())
