"""`millhand starter NAME`: one generic cell as a starting point, looked at with its typical figures, and its plan."""

from pathlib import Path

import click

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.starters import inquiry_of_starter, starter_named
from millhand.cli.check import wrapped
from millhand.cli.starter_words import starter_lines
from millhand.intake.inquiry import read_inquiry
from millhand.model.study import Result
from millhand.report.drawings import picture
from millhand.report.marks import Marks
from millhand.road import Plan, planned_alone

CAUTION = (
    "An aid for concept work. The risk assessment of the real cell, the local codes and competent, licensed or "
    "authorised persons decide."
)


@click.command(name="starter")
@click.argument("name")
@click.option("--svg", type=click.Path(dir_okay=False, path_type=Path), help="Draw plan and side view into this file.")
def command(name: str, svg: Path | None) -> None:
    """Show the starter NAME: what it is, when it fits, its typical figures, and what its checks say of them.

    'millhand catalogue starters' lists all of them; 'millhand new DIR --starter NAME' starts an inquiry from one.
    """
    starter = starter_named(name, "starter")
    inquiry, catalogue = read_inquiry(inquiry_of_starter(name), assumptions()), read_catalogue()
    plan, facts, choices = planned_alone(inquiry, catalogue, starter.concept)
    lines = [*starter_lines(starter), *wrapped(f"with these figures: {verdict(plan)}", "  "), *wrapped(CAUTION, "  ")]
    if svg is not None:
        marks = Marks(facts=facts, choices=choices, currency=inquiry.shop.currency)
        result = Result(concept=plan.concept, verdicts=plan.verdicts, layout=plan.layout, timing=plan.timing)
        svg.write_bytes(picture(result, marks))
        lines.append(f"  drawn: {svg}")
    click.echo("\n".join(lines))


def verdict(plan: Plan) -> str:
    """Whether the cell can work, and which of its checks warn."""
    words = "can work" if plan.cell is not None else "cannot work"
    warned = [each.check.replace("_", " ") for each in plan.verdicts if not each.holds]
    return f"{plan.concept.title} {words}" + (f"; these checks warn: {', '.join(warned)}" if warned else "")
