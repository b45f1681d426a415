"""`millhand today INQUIRY`: today's process alone, and better ways to do it by hand."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from millhand.beside import with_ways_by_hand
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.wished import refuse_unknown_names
from millhand.cli.progress import watching
from millhand.intake.inquiry import read_inquiry
from millhand.model.canonical import canonical, plain
from millhand.model.concept import BY_HAND
from millhand.model.study import Study
from millhand.report.comparison import today_figures, today_of
from millhand.report.study_json import study_plain
from millhand.report.terminal import show
from millhand.report.terminal_today import today_parts
from millhand.study import study


@click.command(name="today")
@click.argument("inquiry", type=click.Path(path_type=Path))
@click.option(
    "--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Chooses the chance of the runs."
)
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
def command(inquiry: Path, seed: int, as_json: bool) -> None:
    """Look at today's process in the file INQUIRY: activity chart, output, cost per part, better ways by hand.

    No cell is looked at: what is left of the catalogue are the changes by hand.
    """
    asked = read_inquiry(inquiry, assumptions())
    catalogue = read_catalogue()
    refuse_unknown_names(asked, catalogue.components)
    with watching() as watch:
        own = replace(catalogue, components={})
        found = with_ways_by_hand(study(asked, own, seed=seed, watch=watch), asked, own, watch=watch)
    if as_json:
        click.echo(canonical(today_plain(found)), nl=False)
    else:
        show(today_parts(found))


def today_plain(found: Study) -> dict[str, Any]:
    """Today and the ways by hand as ids into the same map of facts that a study has."""
    whole = study_plain(found)
    figures = {name: fact for name, fact in today_figures(found, today_of(found)).items() if fact}
    return {
        "format": whole["format"],
        "version": whole["version"],
        "seed": whole["seed"],
        "odd": plain(found.odd),
        "today": figures,
        "servicing": plain(found.servicing),
        "tending": plain(found.tending),
        "results": whole["results"],
        "left_out": [each for each in whole["dropped"] if each["choices"].startswith(BY_HAND)],
        "facts": whole["facts"],
    }
