"""`millhand schema`: each kind prints a schema that is one, and the words for a kind that is none."""

import json

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from millhand.cli.schema import SCHEMAS, command
from millhand.intake.cell_schema import cell_schema


@pytest.mark.parametrize("kind", SCHEMAS)
@pytest.mark.parametrize("options", [[], ["--json"]])
def test_each_kind_prints_its_schema(kind: str, options: list[str]) -> None:
    """Standard output is the schema and nothing else, with and without --json."""
    result = CliRunner().invoke(command, [kind, *options])

    assert result.exit_code == 0
    Draft202012Validator.check_schema(json.loads(result.stdout))
    assert result.stderr == ""


def test_the_schema_of_a_cell_is_the_one_of_the_reader() -> None:
    """What is printed is what the records say."""
    assert json.loads(CliRunner().invoke(command, ["cell"]).stdout) == json.loads(json.dumps(cell_schema()))


def test_another_kind_is_refused_with_the_ones_there_are() -> None:
    """Exit 2, and the kinds by name."""
    result = CliRunner().invoke(command, ["machine"])

    assert result.exit_code == 2
    assert "'machine' is not one of" in result.stderr
    assert all(f"'{kind}'" in result.stderr for kind in SCHEMAS)
