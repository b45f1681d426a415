"""`millhand compare STUDY STUDY`: what changed between two studies, and which change moved the answer by how much."""

from pathlib import Path

import click

from millhand.comparing import compared
from millhand.intake.study_side import side_of
from millhand.model.canonical import canonical
from millhand.report.terminal import show
from millhand.report.terminal_difference import difference_parts


@click.command(name="compare")
@click.argument("first", metavar="STUDY", type=click.Path(path_type=Path))
@click.argument("second", metavar="STUDY", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Write the comparison as JSON for machines.")
def command(first: Path, second: Path, as_json: bool) -> None:
    """Put two studies beside each other: folders that `millhand study --out` wrote, the one before first.

    Every input that changed, and what it does to present worth and payback of the way that is advised. The lines add up
    to the whole difference; what only schedule and simulation gave anew is a line of its own.
    """
    found = compared(side_of(first), side_of(second))
    if as_json:
        click.echo(canonical(found), nl=False)
    else:
        show(difference_parts(found))
