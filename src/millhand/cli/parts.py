"""`millhand parts INQUIRY`: how the inquiry's part list was understood, and what it comes to beside the best cell."""

from pathlib import Path

import click

from millhand.cache import results_folder
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.cli.progress import watching
from millhand.errors import InputError, InputErrors
from millhand.intake.inquiry import read_inquiry
from millhand.model.canonical import canonical, plain
from millhand.model.inquiry import Inquiry
from millhand.model.part_list import PartList
from millhand.model.study import Study
from millhand.part_mix import with_part_mix
from millhand.report.study_json import study_plain
from millhand.report.terminal import page_of, show
from millhand.report.terminal_part_mix import MANY, mix_parts, preview_parts
from millhand.run import LocalRunner
from millhand.study import study


@click.command(name="parts")
@click.argument("inquiry", type=click.Path(path_type=Path))
@click.option("--leave-out", is_flag=True, help="Go on without rows that cannot be read; they are counted and listed.")
@click.option("--preview", is_flag=True, help="Show what was read, without the study that gives the cell.")
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
def command(inquiry: Path, leave_out: bool, preview: bool, as_json: bool) -> None:
    """Show how the part list of the file INQUIRY was understood, and what it comes to beside the best cell.

    Bad rows are told cell by cell, beside what could be read; without consent the command then ends with exit code 2.
    """
    asked, refused = understood(inquiry, leave_out=leave_out)
    listed = asked.part_list
    if listed is None:
        write = "a file of parts as 'part_list: parts.csv' in the inquiry"
        raise InputErrors([InputError(inquiry.name, "no part list", write, "no_part_list")])
    if not as_json:
        show(preview_parts(listed))
    if refused is not None:
        raise refused
    if preview:
        if as_json:
            click.echo(canonical(plain(listed)), nl=False)
        return
    found = answered(asked)
    if as_json:
        click.echo(canonical(parts_plain(found, listed)), nl=False)
    else:
        show(mix_parts(page_of(found), most=MANY))


def understood(path: Path, *, leave_out: bool) -> tuple[Inquiry, InputErrors | None]:
    """The inquiry with what could be read of its list, and the errors for whose rows nobody gave consent."""
    try:
        return read_inquiry(path, assumptions(), leave_out=leave_out), None
    except InputErrors as refused:
        if all(error.code != "part_list_bad_rows" for error in refused.errors):
            raise
        try:
            return read_inquiry(path, assumptions(), leave_out=True), refused
        except InputErrors:
            raise refused from None


def answered(asked: Inquiry) -> Study:
    """The study, as far as the list needs it."""
    catalogue = read_catalogue()
    with watching() as watch:
        done = study(asked, catalogue, runner=LocalRunner(cache=results_folder()), watch=watch)
    return with_part_mix(done, asked, catalogue)


def parts_plain(found: Study, listed: PartList) -> dict[str, object]:
    """List and answer as ids into the same map of facts that a study has."""
    whole = study_plain(found)
    return {"part_list": plain(listed), "part_mix": whole["part_mix"], "facts": whole["facts"]}
