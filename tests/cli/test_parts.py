"""`millhand parts`: a preview of the list, bad cells with exit code 2, consent in the call."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from millhand.cli.parts import command
from millhand.errors import InputErrors

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")
HEAD = "part,length [mm],width [mm],height [mm],mass [kg],time [min],quantity per year,lot size\n"


def written(folder: Path, rows: str, key: str = "part_list: parts.csv\n") -> str:
    """An inquiry with a list, as a path."""
    (folder / "parts.csv").write_text(HEAD + rows, encoding="utf-8")
    (folder / "inquiry.yaml").write_text(DOZEN.replace("today:\n", f"{key}today:\n"), encoding="utf-8")
    return str(folder / "inquiry.yaml")


def test_the_preview_needs_no_study(tmp_path: Path) -> None:
    """Columns, rows and gaps at once."""
    done = CliRunner().invoke(command, [written(tmp_path, "A 1,120,80,40,2.4,6,1000,50\n"), "--preview"])

    assert done.exit_code == 0
    for words in ("parts.csv: 1 parts", "length [mm]", "A 1", "120 x 80 x 40", "No column says the machine: the route"):
        assert words in done.output


def test_without_consent_bad_rows_are_shown_and_then_refused(tmp_path: Path) -> None:
    """What can be read is shown, then every bad cell is an error."""
    path = written(tmp_path, "A,120,80,40,2.4,6,1000,50\nB,x,80,40,2.4,6,1000,50\n")

    done = CliRunner().invoke(command, [path, "--preview"])

    assert "parts.csv: 1 parts" in done.output
    assert isinstance(done.exception, InputErrors)
    assert [error.where for error in done.exception.errors] == ["parts.csv:3:2", "parts.csv"]


def test_consent_may_stand_in_the_call(tmp_path: Path) -> None:
    """As JSON too, with the cells that were left out."""
    path = written(tmp_path, "A,120,80,40,2.4,6,1000,50\nB,x,80,40,2.4,6,1000,50\n")

    done = CliRunner().invoke(command, [path, "--preview", "--leave-out", "--json"])

    found = json.loads(done.output)
    assert [each["name"] for each in found["parts"]] == ["A"]
    assert found["left_out"][0]["where"] == "parts.csv:3:2"


@pytest.mark.parametrize(
    ("rows", "key"), [("A,120,80,40,2.4,6,1000,50\n", ""), ("x,,,,,,,\n", "part_list: parts.csv\n")]
)
def test_no_list_and_no_row_are_told(tmp_path: Path, rows: str, key: str) -> None:
    """What to write."""
    done = CliRunner().invoke(command, [written(tmp_path, rows, key), "--preview"])

    assert isinstance(done.exception, InputErrors)
    assert "part" in str(done.exception)
    assert "parts: " not in done.output
