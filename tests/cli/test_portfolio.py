"""`millhand portfolio`: studies side by side, read from their folders."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from millhand.cli.main import group

GOLDEN = Path(__file__).parents[1] / "golden"


def written(folder: Path, name: str, *, worth: float = 1.0, currency: str = "USD") -> Path:
    """The golden study under another name, its cell worth so many times as much."""
    study: dict[str, Any] = json.loads((GOLDEN / "study_2.json").read_text(encoding="utf-8"))
    study["inquiry"]["name"] = name
    study["inquiry"]["shop"]["currency"] = currency
    for result in study["results"]:
        if result["case"] is not None:
            study["facts"][result["case"]["npv"]]["value"] *= worth
            outlay = study["facts"][result["case"]["year"]["outlay"]]
            outlay["value"] = abs(outlay["value"])
    place = folder / name
    place.mkdir()
    (place / "study.json").write_text(json.dumps(study), encoding="utf-8")
    return place


def run(*arguments: object) -> Result:
    """The command with these arguments."""
    return CliRunner().invoke(group, ["portfolio", *map(str, arguments)])


def test_the_better_of_two_jobs_is_done_within_the_budget(tmp_path: Path) -> None:
    """One of two cells can be paid: the one that is worth more, and the other may be done by its change by hand."""
    one, two = written(tmp_path, "mills"), written(tmp_path, "lathes", worth=2.0)
    found = json.loads(run(one, two, "--budget", "140000", "--json").output)

    assert found["placed"][0]["job"] in ("mills", "lathes")
    cells = [each["job"] for each in found["placed"] if each["option"]["concept"].startswith("drawers")]
    assert cells == ["lathes"]
    assert found["outlay"] <= 140_000.0


def test_the_screen_says_what_first_and_what_is_left_out(tmp_path: Path) -> None:
    """With next to no budget nothing is done."""
    one = written(tmp_path, "mills")

    assert "mills" in run(one).output
    assert "Nothing: no job within these limits" in run(one, "--budget", "10 USD").output


def test_two_currencies_are_refused_with_a_cure(tmp_path: Path) -> None:
    """Euros and dollars are not added up."""
    found = run(written(tmp_path, "mills"), written(tmp_path, "lathes", currency="EUR"))

    assert found.exit_code != 0
    assert "EUR and USD: put them into one currency" in found.output


@pytest.mark.parametrize(
    ("text", "words"),
    [("{", "no JSON"), (None, "no such file"),
     ('{"format": "millhand-study/1"}', "run `millhand study` on its inquiry again")],
)  # fmt: skip
def test_what_is_no_study_is_refused_with_a_cure(tmp_path: Path, text: str | None, words: str) -> None:
    """No file, no JSON, an older format."""
    if text is not None:
        (tmp_path / "study.json").write_text(text, encoding="utf-8")
    found = run(tmp_path)

    assert found.exit_code == 2
    assert words in found.output
    assert "study.json" in found.output


@pytest.mark.parametrize(
    ("text", "words"),
    [("lots", "--budget: read 'lots'; write an amount, such as 150000 USD"), ("0", "an amount above nothing"),
     ("9000 EUR", "USD")],
)  # fmt: skip
def test_a_budget_that_is_no_amount_is_refused(tmp_path: Path, text: str, words: str) -> None:
    """In words, with the currency of the studies."""
    found = run(written(tmp_path, "mills"), "--budget", text)

    assert found.exit_code == 2
    assert words in found.output


def test_a_budget_may_be_written_in_thousands(tmp_path: Path) -> None:
    """As everywhere else."""
    one = written(tmp_path, "mills")

    assert run(one, "--budget", "400 kUSD", "--json").output == run(one, "--budget", "400000", "--json").output
