"""How long the best cycle takes to find and how near to its bound it is, on cells that decide whether it is of use."""

import json
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from benchmarks.measuring import Gate, Line, median_line, one_core
from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell
from millhand.run import LocalRunner

CELLS = Path(__file__).resolve().parents[1] / "examples" / "cells"
HARD = (
    "two_part_types_two_to_one",
    "three_machines_on_a_track_one_gripper",
    "turn_wash_and_gauge",
    "furnace_and_press",
)
COUNT = 60


def hoist(rounds: int) -> Iterator[Line]:
    """Processor seconds until the published line of twelve tanks is proven at its known period, on one core."""
    from millhand.solvers.cycle.best import best_cycle
    from millhand.solvers.cycle.effort import Effort

    cell, effort = read_cell(CELLS / "phillips_unger_1976.json"), Effort(workers=1, most_sets=1, deterministic=60.0)
    found = []
    with one_core():
        best_cycle(cell, effort=effort)  # the library is loaded
        for _ in range(rounds):
            before = time.process_time()
            best = best_cycle(cell, effort=effort)
            found.append(time.process_time() - before)
            assert (best.period_steps, best.proven) == (521, True)
    yield median_line("schedule_hoist_proven", found, unit="s of one core, one part a period", gate=Gate(most=2.0))


def eight(rounds: int) -> Iterator[Line]:
    """Eight machines, one arm with two grippers: how far the best cycle of ten seconds is from its bound."""
    yield gap("schedule_eight_machines", "published_identical_8_machines_two_grippers", (10.0, 1.0), rounds)


def two_arms(rounds: int) -> Iterator[Line]:
    """Two arms on one track over six stations: how far the best cycle of a minute is from its bound."""
    yield gap("schedule_two_arms", "two_arms_on_a_track", (60.0, 3.0), rounds)


def gap(figure: str, name: str, limits: tuple[float, float], rounds: int) -> Line:
    """Percent by which the period is above the best bound known, within so many seconds on two cores."""
    from millhand.solvers.cycle.best import best_cycle
    from millhand.solvers.cycle.effort import Effort

    seconds, most = limits
    effort = Effort(deterministic=None, seconds=seconds, workers=2)
    found = [best_cycle(read_cell(CELLS / f"{name}.json"), effort=effort) for _ in range(rounds)]
    gaps = [100.0 * (each.period_steps / each.least_steps - 1.0) for each in found]
    return median_line(figure, gaps, unit=f"% above the bound after {seconds:g} s", gate=Gate(most=most))


def sixty(rounds: int) -> Iterator[Line]:
    """Sixty cells that no simple cycle settles, each searched as in a study, in two fresh processes."""
    from millhand.road import cycle

    cells, found, proven = list(hard_cells()), [], 0
    for _ in range(rounds):
        before = time.perf_counter()
        made = list(LocalRunner(workers=2).map(cycle, cells))
        found.append(time.perf_counter() - before)
        proven = sum(1 for each in made if each is not None and each.proven)
    yield median_line(
        "schedule_sixty_concepts", found, unit="s, all of them searched, two processes", gate=Gate(most=10.0)
    )
    yield Line(figure="schedule_sixty_concepts_proven", value=proven, unit=f"of {COUNT} proven", rounds=1)


def hard_cells() -> Iterator[Cell]:
    """Example cells whose first process takes a little longer each time."""
    for number in range(COUNT):
        form: dict[str, Any] = json.loads((CELLS / f"{HARD[number % len(HARD)]}.json").read_text("utf-8"))
        part = next(iter(form["parts"].values()))
        part["route"][1]["time_s"] += number // len(HARD)
        if part["route"][1].get("stay_max_s") is not None:
            part["route"][1]["stay_max_s"] += number // len(HARD)
        yield cell_from(form)
