"""`millhand questions INQUIRY`: what nobody gave, as a form for the shop to fill in."""

from pathlib import Path

import click

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputError, ToolError
from millhand.intake.asked import Row, rows
from millhand.intake.inquiry import inquiry_and_form
from millhand.intake.study_file import first_by_worth, study_in_file
from millhand.intake.yaml_tree import read_tree
from millhand.model.canonical import canonical
from millhand.model.fact import Fact
from millhand.report.question_sheet import question_sheet, typed_unit


@click.command(name="questions")
@click.argument("inquiry", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), help="Write the form into this .xlsx file.")
@click.option(
    "--study", type=click.Path(path_type=Path), help="A study of this inquiry: ask first what is worth most to know."
)
@click.option("--json", "as_json", is_flag=True, help="Write the questions as JSON for machines.")
def command(inquiry: Path, out: Path | None, study: Path | None, as_json: bool) -> None:
    """Write a form with the open questions of the file INQUIRY, for the shop to fill in.

    One row a question: what is counted meanwhile, why it matters, and cells for the answer, its range, who says so and
    when. `millhand answers` reads the filled form back into the inquiry.
    """
    if out is None and not as_json:
        raise click.UsageError("say where to: --out questions.xlsx, or --json.")
    read, opened = inquiry_and_form(read_tree(inquiry), inquiry.parent, assumptions())
    found, facts = rows(read, opened, assumptions()), dict[str, Fact]()
    if study is not None:
        told = study_in_file(study)
        if told["inquiry"]["name"] != read.name:
            raise InputError(str(study), str(told["inquiry"]["name"]), f"a study of {read.name!r}", "other_job")
        found, facts = first_by_worth(found, told)
    if out is not None:
        refuse_other(out)
        out.write_bytes(question_sheet(read, found, facts, comma=opened.manner.comma))
    if as_json:
        click.echo(canonical([as_map(row, read.shop.currency) for row in found]), nl=False)
        return
    number = len({row.question for row in found})
    click.echo(f"{out}: {number} questions in {len(found)} rows. Next: fill it in, then run:")
    click.echo(f"millhand answers {inquiry} {out}")


def refuse_other(out: Path) -> None:
    """A form is an .xlsx file, and one that may be filled in already is never overwritten."""
    if out.suffix.lower() != ".xlsx":
        raise click.UsageError(f"--out {out.name}: write a name that ends in .xlsx.")
    if out.exists():
        raise ToolError(f"{out} is there already, and may be filled in; choose another name.", code="not_ours")


def as_map(row: Row, currency: str) -> dict[str, object]:
    """One row for machines; the value that is counted meanwhile in SI."""
    return {
        "path": row.path, "question": row.question, "title": row.title, "subject": row.subject, "kills": row.kills,
        "why": row.why, "unit": typed_unit(row, currency), "meanwhile": row.meanwhile,
    }  # fmt: skip
