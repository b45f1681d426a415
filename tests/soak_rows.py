"""Lots of several types in rows of machines, by hand: `python tests/soak_rows.py --cells 16 --seed 1`.

How far the best simple plan is from the bound by thinking alone, without any search: cells of one gripper, two to four
machines of 30 to 150 s, two or three types, 24 to 60 parts, from one supply or from one for each type. Adds a line to
benchmarks/results.jsonl.
"""

import argparse
import json
import sys
from pathlib import Path
from random import Random

TOP = Path(__file__).parents[1]
sys.path.insert(0, str(TOP))

from millhand.intake.cell import cell_from  # noqa: E402
from millhand.solvers.cycle.lots.makespan_greedy import first_plan  # noqa: E402
from millhand.solvers.cycle.lots.makespan_lots import lots_of  # noqa: E402
from millhand.solvers.cycle.makespan import least_steps  # noqa: E402
from tests.soak import line  # noqa: E402
from tests.solvers.cycle.lots_rows import row_form  # noqa: E402

SHAPES = ((2, 15, 3), (3, 8, 3), (3, 8, 4), (2, 30, 2))  # types, parts of each, machines


def gap(number: int) -> float:
    """The share of the plan's time that the bound does not explain."""
    (types, size, machines), supplies = SHAPES[number // 2 % len(SHAPES)], number % 2
    dice = Random(number)
    times = [[dice.randint(30, 150) for _ in range(machines)] for _ in range(types)]
    lots = lots_of(cell_from(row_form(times, size=size, supplies=types if supplies else 1)))
    plan = first_plan(lots)
    return 1.0 if plan is None else 1 - least_steps(lots) / plan.end


def main() -> int:
    """Run, print, keep."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cells", type=int, default=16)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    options.studies = 0
    gaps = [gap(options.seed * 1000 + number) for number in range(options.cells)]
    mean = sum(gaps) / len(gaps)
    print(f"{len(gaps)} cells, plan above bound: {100 * mean:.2f} % on average, {100 * max(gaps):.1f} % at most")
    kept = line(options, "soak_rows_gap", round(mean, 5), "share of the plan, mean")
    kept["rounds"] = len(gaps)
    kept["command"] = f"python tests/soak_rows.py --cells {options.cells} --seed {options.seed}"
    with (TOP / "benchmarks/results.jsonl").open("a", encoding="utf-8") as results:
        results.write(json.dumps(kept) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
