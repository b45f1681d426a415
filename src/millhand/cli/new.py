"""`millhand new DIR`: starts an inquiry in a new folder: a word on every line, from a starter, or from an example."""

import shlex
import shutil
from pathlib import Path

import click

from millhand.catalogue.examples import INQUIRY, example_folder, files_of_example
from millhand.catalogue.starters import inquiry_of_starter, starter_named
from millhand.errors import InputError
from millhand.intake.inquiry_gaps import template
from millhand.model.canonical import canonical


@click.command(name="new")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--example", metavar="NAME", help="Start from an example, such as 1_two_mills.")
@click.option("--starter", metavar="NAME", help="Start from a generic cell, such as flat_trays.")
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
def command(folder: Path, example: str | None, starter: str | None, as_json: bool) -> None:
    """Start an inquiry in the folder DIR: a dozen facts with a word on each line.

    The folder must be new or empty; nothing in it is ever overwritten. 'millhand catalogue starters' lists the generic
    cells that an inquiry can start from.
    """
    if example is not None and starter is not None:
        raise click.UsageError("--starter takes the place of --example; give one of them.")
    source = example_folder(example, "--example") if example is not None else None
    first = template() if starter is None else text_of_starter(starter)
    empty(folder)
    written = copied(source, folder) if source is not None else started(folder, first)
    if as_json:
        click.echo(canonical({"files": written}), nl=False)
        return
    for name in written:
        click.echo(folder / name)
    click.echo(f"Next: put your figures into it, then run: millhand check {shlex.quote(str(folder / INQUIRY))}")


def empty(folder: Path) -> None:
    """Refuse a folder that holds something, and a name that a file has."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        read = "a folder with files in it" if folder.is_dir() else "a file"
        raise InputError(str(folder), read, "the name of a new or empty folder", "folder_not_empty")


def started(folder: Path, first: str) -> list[str]:
    """Write the first inquiry."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / INQUIRY).write_text(first, encoding="utf-8")
    return [INQUIRY]


def text_of_starter(name: str) -> str:
    """The inquiry of a starter."""
    starter_named(name, "--starter")
    return inquiry_of_starter(name).read_text(encoding="utf-8")


def copied(source: Path, folder: Path) -> list[str]:
    """Copy an example with the files that it names."""
    kept = list(files_of_example(source))
    for name in kept:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source / name, folder / name)
    return kept
