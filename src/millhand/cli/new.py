"""`millhand new DIR`: starts an inquiry in a new folder: a word on every line, from a starter, or from an example."""

import difflib
import shlex
import shutil
from pathlib import Path

import click

from millhand.catalogue.starters import inquiry_of_starter, starter_named
from millhand.errors import InputError, ToolError
from millhand.intake.inquiry_gaps import template
from millhand.model.canonical import canonical

FILE = "inquiry.yaml"
MADE_BY_US = ("expected.json",)


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
    source = example_folder(example) if example is not None else None
    first = template() if starter is None else text_of_starter(starter)
    empty(folder)
    written = copied(source, folder) if source is not None else started(folder, first)
    if as_json:
        click.echo(canonical({"files": written}), nl=False)
        return
    for name in written:
        click.echo(folder / name)
    click.echo(f"Next: put your figures into it, then run: millhand check {shlex.quote(str(folder / FILE))}")


def empty(folder: Path) -> None:
    """Refuse a folder that holds something, and a name that a file has."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        read = "a folder with files in it" if folder.is_dir() else "a file"
        raise InputError(str(folder), read, "the name of a new or empty folder", "folder_not_empty")


def started(folder: Path, first: str) -> list[str]:
    """Write the first inquiry."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / FILE).write_text(first, encoding="utf-8")
    return [FILE]


def text_of_starter(name: str) -> str:
    """The inquiry of a starter."""
    starter_named(name, "--starter")
    return inquiry_of_starter(name).read_text(encoding="utf-8")


def copied(source: Path, folder: Path) -> list[str]:
    """Copy an example with the files that it names."""
    names = sorted(path.relative_to(source).as_posix() for path in source.rglob("*") if path.is_file())
    kept = [name for name in names if name not in MADE_BY_US]
    for name in kept:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source / name, folder / name)
    return kept


def example_folder(name: str) -> Path:
    """The folder of an example in the checkout that this installation comes from."""
    examples = examples_folder()
    known = sorted(path.parent.name for path in examples.glob(f"*/{FILE}")) if examples is not None else []
    if examples is None or not known:
        raise ToolError(
            "the examples are part of the source checkout, and this installation has none; 'millhand new DIR' without "
            "--example needs none.", code="no_examples",
        )  # fmt: skip
    if name not in known:
        near = difflib.get_close_matches(name, known, n=1, cutoff=0.3)
        write = f"one of {', '.join(known)}" + (f" (did you mean {near[0]!r}?)" if near else "")
        raise InputError("--example", name, write, "unknown_example")
    return examples / name


def examples_folder() -> Path | None:
    """The folder `examples` beside the sources; None where only the package was installed."""
    found = Path(__file__).resolve().parents[3] / "examples"
    return found if found.is_dir() else None
