"""`millhand portfolio STUDY...`: several studies, one budget, one engineer: what to do first, and in which order."""

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click

from millhand.errors import InputError, InputErrors
from millhand.intake.study_file import job_of
from millhand.intake.text import Manner, read_quantity
from millhand.model.canonical import plain
from millhand.model.portfolio import Job
from millhand.report.terminal import show
from millhand.report.terminal_portfolio import portfolio_parts
from millhand.stages.portfolio import portfolio


def amount(text: str | None, jobs: Sequence[Job]) -> float | None:
    """An amount as people type it, in the currency of the studies: 400000, 400000 USD, 400 kUSD."""
    if text is None:
        return None
    currency = jobs[0].currency
    try:
        named = text if any(map(str.isalpha, text)) else f"{text} {currency}"
        found = read_quantity(named, "money", Manner(currency=currency)).value
    except InputError as trouble:
        raise InputErrors([replace(trouble, where="--budget")]) from None
    if found <= 0.0:
        raise InputErrors(
            [InputError("--budget", text, f"an amount above nothing, such as 400000 {currency}", "out_of_range")]
        )
    return found


@click.command(name="portfolio")
@click.argument("studies", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--budget", help="What may be spent in all, in the studies' currency.")
@click.option("--months", type=click.FloatRange(min=0.0, min_open=True), help="Months of the shop's own engineer.")
@click.option("--json", "as_json", is_flag=True, help="Write the answer as JSON for machines.")
def command(studies: tuple[Path, ...], budget: str | None, months: float | None, as_json: bool) -> None:
    """Put the studies in the folders STUDY side by side: the best set within the budget, and the order to do it in."""
    jobs = [job_of(path) for path in studies]
    found = portfolio(jobs, budget=amount(budget, jobs), own_months=months)
    if as_json:
        click.echo(json.dumps(plain(found), indent=1, ensure_ascii=False))
    else:
        show(portfolio_parts(found))
