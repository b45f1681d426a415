"""`millhand study INQUIRY`: everything from the inquiry to a recommendation, on screen and as a folder."""

import os
from datetime import datetime
from pathlib import Path

import click
from click.core import ParameterSource

from millhand.cache import results_folder
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.cli.exits import refuse
from millhand.cli.progress import watching
from millhand.cluster import HELP, runner_at
from millhand.intake.company import read_company
from millhand.intake.inquiry import read_inquiry
from millhand.model.company import Company
from millhand.report.comparison import ANSWERS
from millhand.report.customer import for_customer
from millhand.report.proposal.letter import FORMS, Form, Letter, numbered
from millhand.report.study_json import study_as_json
from millhand.report.terminal import page_of, show, study_parts
from millhand.report.terminal_part_mix import mix_parts
from millhand.report.tongue import LANGUAGES
from millhand.report.writing import refuse_foreign, write_study
from millhand.run import LocalRunner, Runner
from millhand.study import DRAWS
from millhand.whole import answered


def runner_of(scheduler: str | None, workers: int) -> Runner:
    """Where the study is simulated: at the cluster that was named, or in processes of this machine."""
    if scheduler is None:
        return LocalRunner(workers=workers, cache=results_folder())
    if click.get_current_context().get_parameter_source("workers") is ParameterSource.COMMANDLINE:
        raise click.UsageError("--scheduler takes the place of --workers; give one of them.")
    return runner_at(scheduler, cache=results_folder())


@click.command(name="study")
@click.argument("inquiry", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), help="Write report and figures into this folder."
)
@click.option(
    "--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Chooses the chance of the runs."
)
@click.option(
    "--draws", type=click.IntRange(min=10, max=100_000), default=DRAWS, show_default=True,
    help="Draws of everything uncertain.",
)  # fmt: skip
@click.option(
    "--workers", type=click.IntRange(min=1), default=lambda: os.cpu_count() or 1, help="Processes to work in."
)
@click.option("--scheduler", metavar="ADDRESS", help=f"{HELP} Instead of --workers.")
@click.option("--prices", type=click.Path(path_type=Path), help="A file of prices that replace the catalogue's.")
@click.option(
    "--components", type=click.Path(path_type=Path), multiple=True,
    help="A file of own components, of arms' links (CSV, URDF); may be given several times.",
)  # fmt: skip
@click.option("--past", type=click.Path(path_type=Path), help="A file of past jobs: what was quoted, what was paid.")
@click.option(
    "--copy", type=click.Choice(["own", "customer"]), default="own", show_default=True,
    help="A customer's copy holds no cost, margin, past jobs and notes.",
)  # fmt: skip
@click.option("--leave-out", is_flag=True, help="Leave out rows of the part list that cannot be read.")
@click.option("--fail-on-no", is_flag=True, help="End with exit code 3 where the answer is no.")
@click.option("--json", "as_json", is_flag=True, help="Write the whole study as JSON for machines.")
@click.option("--lang", type=click.Choice(LANGUAGES), default="en", show_default=True, help="Language of the papers.")
@click.option(
    "--form", type=click.Choice(FORMS), default="short", show_default=True, help="Two pages, or the whole proposal."
)
@click.option("--company", type=click.Path(path_type=Path), help="A file that says whose paper the proposal is on.")
@click.option("--number", default="", metavar="TEXT", help="Number of the proposal, instead of the company file's.")
@click.option("--revision", default="", metavar="TEXT", help="Revision of the proposal, instead of the company file's.")
@click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="Date of the proposal, as 2027-01-31; today where none.",
)
def command(
    inquiry: Path,
    out: Path | None,
    seed: int,
    draws: int,
    workers: int,
    scheduler: str | None,
    prices: Path | None,
    components: tuple[Path, ...],
    past: Path | None,
    copy: str,
    leave_out: bool,
    fail_on_no: bool,
    as_json: bool,
    lang: str,
    form: Form,
    company: Path | None,
    number: str,
    revision: str,
    on: datetime | None,
) -> None:
    """Answer the inquiry in the file INQUIRY: concepts, output, price, payback, and what to ask next.

    Without --out nothing is written; with it the folder holds report.html, proposal.pdf, study.json, tables and
    every cell.
    """
    letter = Letter(
        on=(on or datetime.now()).date(), language=lang, form=form,
        company=read_company(company) if company else Company(),
    )  # fmt: skip
    letter = numbered(letter, number, revision)
    runner = runner_of(scheduler, workers)
    asked = read_inquiry(inquiry, assumptions(), leave_out=leave_out)
    catalogue = read_catalogue(prices=prices, components=components, past=past)
    if out is not None:
        refuse_foreign(out.absolute())
    with watching() as watch:
        found = answered(asked, catalogue, seed=seed, draws=draws, runner=runner, watch=watch)
    if copy == "customer":
        found = for_customer(found)
    written = write_study(found, out, letter) if out is not None else ()
    if as_json:
        click.echo(study_as_json(found), nl=False)
    else:
        show(study_parts(found, written, beside=mix_parts(page_of(found))))
    if found.decision.answer == "no":
        refuse(f"millhand: the answer is no: {ANSWERS['no'].lower()}.", fail_on_no=fail_on_no)
