"""`millhand schema inquiry|cell|study`: the published JSON Schema of a format."""

from collections.abc import Callable, Mapping
from typing import Any

import click

from millhand.intake.cell_schema import cell_schema
from millhand.intake.inquiry_schema import inquiry_schema
from millhand.model.canonical import canonical
from millhand.report.study_schema import study_schema

SCHEMAS: Mapping[str, Callable[[], dict[str, Any]]] = {
    "inquiry": inquiry_schema,
    "cell": cell_schema,
    "study": study_schema,
}


@click.command(name="schema")
@click.argument("kind", type=click.Choice(list(SCHEMAS)))
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines; a schema is JSON in any case.")
def command(kind: str, as_json: bool) -> None:
    """Print the JSON Schema (draft 2020-12) of a KIND of file.

    The schema holds shapes and limits. What a checker finds beyond it, such as a reference that leads nowhere, is told
    by the command that reads the file.
    """
    del as_json  # the same text with and without it
    click.echo(canonical(SCHEMAS[kind]()), nl=False)
