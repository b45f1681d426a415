"""`millhand check`: what could end the job first, then every assumption with its question, in eighty columns."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from millhand.cli.check import COLUMNS
from millhand.cli.main import group
from millhand.intake.inquiry_gaps import template
from millhand.model.fact import Fact
from millhand.report.fact_words import form_of

TOP = Path(__file__).resolve().parents[2]
DOZEN, LONG = TOP / "tests" / "data" / "dozen.yaml", TOP / "tests" / "data" / "long.yaml"
GOLDEN = TOP / "tests" / "golden" / "inquiry_1.yaml"


def check(*arguments: str) -> Result:
    """What the command says."""
    return CliRunner().invoke(group, ["check", *arguments])


@pytest.mark.parametrize("path", [DOZEN, LONG, GOLDEN], ids=lambda path: path.stem)
def test_the_answer_is_eighty_columns_wide(path: Path) -> None:
    """Readable when it is piped, and nothing on standard error."""
    result = check(str(path))

    assert (result.exit_code, result.stderr) == (0, "")
    assert max(map(len, result.stdout.splitlines())) <= COLUMNS
    assert "\x1b" not in result.stdout


def test_what_could_end_the_job_comes_first(tmp_path: Path) -> None:
    """The template asks its three questions before anything else."""
    file = tmp_path / "inquiry.yaml"
    file.write_text(template(), encoding="utf-8")

    lines = check(str(file)).stdout.splitlines()

    first = lines.index("Ask first: the answer could end the job")
    numbered = [line for line in lines if line[:2] in ("1.", "2.", "3.", "4.")]
    assert first == 3
    assert [line[:2] for line in numbered] == ["1.", "2.", "3."]
    assert "    machines.mill.control = free_outputs" in lines
    assert "    parts.bracket.milling.time = 6 min (5.6 to 6.3)" in [line.replace("\u202f", " ") for line in lines]


def test_every_assumption_stands_there_with_its_source() -> None:
    """Value, range and where it comes from, below the question that would replace it."""
    text = check(str(DOZEN)).stdout.replace("\u202f", " ")

    assert "- What is paid on top at night?\n    people.premium_night = 22 % (15 to 30)\n      [common practice" in text
    assert "Left open, and not counted" in text


def test_a_full_file_leaves_nothing_deadly_open() -> None:
    """Said instead of an empty list."""
    assert "Nothing of that kind is open." in check(str(LONG)).stdout


def test_judged_values_stand_beside_what_they_replaced() -> None:
    """With the reason."""
    text = " ".join(check(str(GOLDEN)).stdout.replace("\u202f", " ").split())

    assert "parts.shaft.keyway.good = 98 % instead of 99.5 % (given): scrap list of last month" in text


def test_json_holds_the_same_in_si() -> None:
    """Questions in their order, and every fact with its source."""
    found = json.loads(check(str(DOZEN), "--json").stdout)

    assert [question["kills"] for question in found["questions"][:3]] == [2, 3, 0]
    facts = {fact["id"]: fact for fact in found["facts"]}
    assert facts["parts.bracket.milling.time"]["value"] == 380
    assert facts["people.premium_night"]["basis"] == "assumed"
    assert found["open"] == ["wishes.budget", "wishes.floor", "wishes.height", "wishes.floor_load", "money.tax"]
    assert found["odd"][0].startswith("shop.country is not said")


def test_a_missing_file_is_wrong_input() -> None:
    """Exit 2 and words, no traceback."""
    result = check("nowhere.yaml")

    assert result.exit_code == 2
    assert result.stderr.startswith("nowhere.yaml: read 'No such file or directory'; write the path of an inquiry file")


@pytest.mark.parametrize(
    ("fact_id", "value", "unit", "form"),
    [("people.absence", 0.1, "1", ""), ("machines.mill.count", 2, "1", ""), ("today.walk", 6, "s", "seconds"),
     ("today.setup", 3600, "s", "minutes"), ("wishes.unattended", 10800, "s", "hours"), ("a.b", 0.5, "m", "mm"),
     ("a.b", 1.5, "m", "")],
)  # fmt: skip
def test_a_fact_is_shown_in_the_unit_that_a_person_uses(fact_id: str, value: float, unit: str, form: str) -> None:
    """Shares in per cent, times by their size, small lengths in millimetres."""
    assert form_of(Fact(id=fact_id, value=value, unit=unit, basis="given", source="x")) == form
