"""What `millhand simulate` runs for a wish, and how the answer is told: to people or to machines."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from millhand.cli.simulate_compare import comparison, label
from millhand.cli.simulate_show import answer, pilot_words
from millhand.cli.simulate_wishes import Wishes, check_cut
from millhand.model.canonical import canonical, plain
from millhand.model.cell import Cell
from millhand.model.performance import Output
from millhand.solvers.kernel.replications import Plan
from millhand.solvers.output.contest import Contest, ranked, selected
from millhand.solvers.output.per_shift import interventions, minutes_of_people, operators, rates
from millhand.solvers.output.pilot import Pilot, pilot
from millhand.solvers.output.runs import (
    Run,
    good_per_h,
    more,
    no_runs,
    output_so_far,
    run_until_precise,
    sureness,
)


def one_cell(cell: Cell, wishes: Wishes, *, plan: Plan, as_json: bool) -> str:
    """Run one cell as wished, and tell it."""
    run, found = settled_run([cell], wishes, plan=plan)
    runs = no_runs(cell, run=run)
    if wishes.precision is None:
        more(runs, wishes.replications)
        sure = sureness(good_per_h(runs))
    else:
        sure = run_until_precise(runs, precision=wishes.precision, least=wishes.least, most=wishes.at_most)
    output = output_so_far(runs, settled=any(each.long_enough for each in found))
    pilot_of = found[0] if found else None
    if as_json:
        return canonical(told(cell, output) | {"sureness": sure, "warm_up": pilot_of}).rstrip()
    return "\n".join(answer(cell, output, sure=sure, pilot=pilot_of))


def several_cells(loaded: Mapping[Path, Cell], wishes: Wishes, *, plan: Plan, as_json: bool) -> str:
    """Run several cells with the same chance, and compare them."""
    cells = {label(number): cell for number, cell in enumerate(loaded.values(), start=1)}
    run, found = settled_run(list(cells.values()), wishes, plan=plan)
    runs = {name: no_runs(cell, run=run) for name, cell in cells.items()}
    if wishes.precision is None:
        contest = ranked(runs, count=wishes.replications)
    else:
        contest = selected(runs, zone=wishes.precision, least=wishes.least, most=wishes.at_most)
    settled = bool(found) and all(each.long_enough for each in found)
    outputs = {name: output_so_far(each, settled=settled) for name, each in runs.items()}
    if as_json:
        return _compared_json(loaded, outputs, contest=contest, pilots=found)
    lines = comparison(loaded, list(outputs.values()), found=contest)
    cut = [line for each in found for line in pilot_words(each)]
    return "\n".join((*lines, *dict.fromkeys(cut)))


def settled_run(cells: list[Cell], wishes: Wishes, *, plan: Plan) -> tuple[Run, list[Pilot]]:
    """How all cells are run: where the warm-up is to be found, the longest one is cut off all of them."""
    run = Run(hours=wishes.hours, seed=wishes.seed, plan=replace(plan, warm_up_hours=wishes.warm_up or 0.0))
    if wishes.warm_up is not None:
        return run, []
    found = [pilot(cell, run=run) for cell in cells]
    cut = max(each.cut_h for each in found)
    check_cut(cut, wishes)
    return replace(run, plan=replace(plan, warm_up_hours=cut)), found


def told(cell: Cell, output: Output) -> dict[str, Any]:
    """An output with what is scaled from it for the reader."""
    whole: dict[str, Any] = plain(output)
    return whole | {
        "rates": rates(output),
        "interventions": interventions(output),
        "people": minutes_of_people(output, operators(cell)),
    }


def _compared_json(
    loaded: Mapping[Path, Cell], outputs: Mapping[str, Output], *, contest: Contest, pilots: list[Pilot]
) -> str:
    """A comparison for machines."""
    cells = [
        {"label": name, "file": str(path), "name": cell.name, "output": told(cell, output)}
        for (path, cell), (name, output) in zip(loaded.items(), outputs.items(), strict=True)
    ]
    return canonical({"cells": cells, "comparison": contest, "warm_up": pilots}).rstrip()
