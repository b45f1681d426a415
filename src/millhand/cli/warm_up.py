"""`millhand warm-up`: compile simulation and layout once, so that no later command has to."""

import json
import os
from time import perf_counter

import click

from millhand.cli.exits import exits
from millhand.cli.progress import watching
from millhand.run import LocalRunner
from millhand.solvers.cashflow.running import warm_up as warm_up_cases
from millhand.solvers.kernel.running import warm_up
from millhand.solvers.pose.compiled import warm_up as warm_up_poses


@click.command(name="warm-up")
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
@click.option(
    "--workers", type=click.IntRange(min=1), default=lambda: os.cpu_count() or 1, help="Processes to work in."
)
@exits
def command(as_json: bool, workers: int) -> None:
    """Compile the simulation for cells of every kind, about a quarter of a minute each, the measures of many draws of
    a case and the room round an arm; quick where that was done.

    The machine code is kept in the user's cache folder, or where the variable MILLHAND_CODE says.
    """
    begun = perf_counter()
    with watching() as watch:
        shapes = warm_up(watch, LocalRunner(workers=workers))
        warm_up_cases()
        warm_up_poses()
    seconds = perf_counter() - begun
    if as_json:
        click.echo(json.dumps({"shapes": shapes, "seconds": round(seconds, 1)}))
    else:
        click.echo(f"Layout and simulation are ready, for cells of {shapes} kinds ({seconds:.0f} s).")
