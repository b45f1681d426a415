"""`millhand simulate CELL...`: what a cell puts out, attended and alone, with intervals; several cells are compared."""

from pathlib import Path

import click

from millhand.cli.cell_told import say_odd
from millhand.cli.exits import exits
from millhand.cli.progress import watching
from millhand.cli.simulate_answers import one_cell, several_cells
from millhand.cli.simulate_log import write_log
from millhand.cli.simulate_wishes import (
    Wishes,
    check_files,
    check_hours,
    check_log,
    check_numbers,
    hours_or_auto,
)
from millhand.cluster import HELP, runner_at
from millhand.intake.cell import read_cell
from millhand.solvers.kernel.replications import Plan


@click.command(name="simulate")
@click.argument(
    "cells", metavar="CELL...", nargs=-1, required=True, type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
@click.option("--hours", default=168.0, show_default=True, help="Simulated hours of each replication.")
@click.option("--replications", default=10, show_default=True, help="How many replications.")
@click.option("--seed", default=1, show_default=True, help="The same seed gives the same numbers.")
@click.option(
    "--warm-up",
    metavar="HOURS|auto",
    default="0",
    show_default=True,
    callback=hours_or_auto,
    help="Hours cut off at the start of each replication; auto finds them in a pilot.",
)
@click.option(
    "--precision",
    metavar="P",
    type=float,
    help="Go on until half the interval of the good parts is this share of them, such as 0.01; of several cells, until "
    "one leads by it.",
)
@click.option("--most", type=int, help="Most replications for --precision.  [default: 100 times --replications]")
@click.option(
    "--log",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write a replication's events: a table where the name ends in .csv, JSON lines otherwise.",
)
@click.option(
    "--log-replication", metavar="N", type=int, help="Which replication --log writes.  [default: 0, the first]"
)
@click.option("--scheduler", metavar="ADDRESS", help=HELP)
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
@exits
def command(
    cells: tuple[Path, ...],
    hours: float,
    replications: int,
    seed: int,
    warm_up: float | None,
    precision: float | None,
    most: int | None,
    log: Path | None,
    log_replication: int | None,
    scheduler: str | None,
    as_json: bool,
) -> None:
    """Simulate the file CELL: parts an hour, a shift and a week with 95 % intervals, attended and alone; who is called
    how often; cycle times, OEE, states. Several cells meet the same chance and are compared with the first.
    """
    wishes = Wishes(hours=hours, replications=replications, seed=seed, warm_up=warm_up, precision=precision, most=most)
    check_numbers(wishes)
    check_files(cells, wishes)
    check_log(cells, log=log, replication=log_replication)
    runner = runner_at(scheduler, cache=None) if scheduler is not None else None
    loaded = {path: read_cell(path) for path in cells}
    first = loaded[cells[0]]
    for path, cell in loaded.items():
        check_hours(cell, wishes)
        say_odd(path, cell)
    with watching() as watch:
        plan = Plan(runner=runner, watch=watch)
        told = (
            one_cell(first, wishes, plan=plan, as_json=as_json)
            if len(cells) == 1
            else several_cells(loaded, wishes, plan=plan, as_json=as_json)
        )
    if log is not None:
        write_log(log, first, hours=hours, seed=seed, replication=log_replication or 0)
    click.echo(told)
