"""`millhand portfolio STUDY...`: several studies, one budget, one engineer: what to do first, and in which order."""

import json
import re
from pathlib import Path

import click

from millhand.intake.study_file import job_of
from millhand.model.canonical import plain
from millhand.report.terminal import show
from millhand.report.terminal_portfolio import portfolio_parts
from millhand.stages.portfolio import portfolio

AMOUNT = re.compile(r"(\d[\d ]*(?:\.\d+)?) ?k?(?: ?[A-Z]{3})?")


def amount(_: click.Context, __: click.Parameter, text: str | None) -> float | None:
    """An amount as people type it: 400000, 400 000 USD."""
    if text is None:
        return None
    match = AMOUNT.fullmatch(text.strip())
    if match is None or float(match[1].replace(" ", "")) <= 0.0:
        raise click.BadParameter(f"read {text!r}; write an amount above nothing, such as 400000 or '400000 USD'")
    return float(match[1].replace(" ", "")) * (1000.0 if "k" in text else 1.0)


@click.command(name="portfolio")
@click.argument("studies", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--budget", callback=amount, help="What may be spent in all, in the studies' currency.")
@click.option("--months", type=click.FloatRange(min=0.0, min_open=True), help="Months of the shop's own engineer.")
@click.option("--json", "as_json", is_flag=True, help="Write the answer as JSON for machines.")
def command(studies: tuple[Path, ...], budget: float | None, months: float | None, as_json: bool) -> None:
    """Put the studies in the folders STUDY side by side: the best set within the budget, and the order to do it in."""
    found = portfolio([job_of(path) for path in studies], budget=budget, own_months=months)
    if as_json:
        click.echo(json.dumps(plain(found), indent=1, ensure_ascii=False))
    else:
        show(portfolio_parts(found))
