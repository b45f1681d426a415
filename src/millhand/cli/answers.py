"""`millhand answers INQUIRY FILE.xlsx`: a filled form read back into the inquiry, without retyping."""

import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import click

from millhand.catalogue.assumptions import assumptions
from millhand.cli.check import wrapped
from millhand.errors import ToolError
from millhand.intake.answers import Merged, merged
from millhand.intake.question_sheet import read_sheet
from millhand.model.canonical import canonical
from millhand.report.fact_words import taken_words


@click.command(name="answers")
@click.argument("inquiry", type=click.Path(path_type=Path))
@click.argument("file", metavar="FILE.xlsx", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), help="Write a new inquiry file beside the old.")
@click.option("--write", is_flag=True, help="Put the new text in the place of the old, which is kept as INQUIRY.r1 ...")
@click.option("--json", "as_json", is_flag=True, help="Write what was taken as JSON for machines.")
def command(inquiry: Path, file: Path, out: Path | None, write: bool, as_json: bool) -> None:
    """Read the form FILE.xlsx that the shop filled in back into the file INQUIRY.

    Each answer becomes a given or measured fact with who said so and when. Units, limits and contradictions are checked
    first, all at once, each at its cell; where anything is wrong nothing is written. Without --out and --write it is
    only told what would change.
    """
    if out is not None and write:
        raise click.UsageError("--out writes a new file and --write the old one; give one of them.")
    if out is not None and out.exists():
        raise ToolError(f"{out} is there already; choose another name.", code="not_ours")
    found = merged(inquiry, read_sheet(file), assumptions(), (out or inquiry).absolute().parent)
    kept = None
    if found.taken and out is not None:
        put(found.text, out)
    elif found.taken and write:
        kept = revised(inquiry, found.text)
    if as_json:
        click.echo(canonical(as_map(found)), nl=False)
        return
    written = (out or inquiry) if found.taken and (out or write) else None
    click.echo("\n".join(page(found, written, kept)))


def revised(inquiry: Path, text: str) -> Path:
    """Put the text in the place of the inquiry; the old one stays as the next revision, whose path comes back."""
    old, number = inquiry.read_bytes(), 1
    while True:
        kept = inquiry.with_name(f"{inquiry.stem}.r{number}{inquiry.suffix}")
        try:
            with kept.open("xb") as stream:
                stream.write(old)
            break
        except FileExistsError:
            number += 1
    put(text, inquiry)
    return kept


def put(text: str, path: Path) -> None:
    """Write a file whole or not at all; one that is there keeps its rights, and a link stays one."""
    path = path.resolve()
    new = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        with new.open("xb") as stream:
            stream.write(text.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        if path.exists():
            shutil.copymode(path, new)
        new.replace(path)
    finally:
        with suppress(OSError):
            new.unlink()


def page(found: Merged, written: Path | None, kept: Path | None) -> Iterator[str]:
    """What was taken, what stays open, what was written."""
    if not found.taken:
        yield "No new answer is on the sheet; nothing was written."
    for each in found.taken:
        yield from wrapped(taken_words(each, found.inquiry.shop.currency), "- ")
    if found.already:
        yield from wrapped(f"The inquiry holds already: {', '.join(found.already)}.")
    for note in found.notes:
        yield from wrapped(f"A note without an answer, {note}", "- ")
    if written is not None:
        old = f" The old text is kept as {kept}." if kept is not None else ""
        yield from wrapped(f"Written: {written}, with {len(found.taken)} answers.{old}")
    elif found.taken:
        yield from wrapped("Nothing was written: --out NEW.yaml writes a new file, --write the inquiry itself.")


def as_map(found: Merged) -> dict[str, object]:
    """The same for machines, in SI."""
    return {"taken": found.taken, "already": found.already, "notes": found.notes}
