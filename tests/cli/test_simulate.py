"""`millhand simulate`: what it prints, its JSON and log, and its words for wrong input."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from millhand.cli.simulate import command
from tests.reference_variants import PATH, reference_form


def run(*words: str) -> Result:
    """One call on the reference cell for a day."""
    return CliRunner().invoke(command, [str(PATH), "--hours", "24", "--replications", "2", *words])


def test_the_answer_reads_at_eighty_columns() -> None:
    """Rates with intervals, attended and alone, states, duties, what was left out; no line is wider."""
    result = run()

    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80
    for words in (
        "parts ",
        "good parts",
        "attended",
        "alone",
        "share of time",
        "working",
        "refill",
        "Left out: no warm",
    ):
        assert words in result.stdout
    assert "2 replications of 24 h, seed 1" in result.stdout
    assert {line.partition(":")[0] for line in result.stderr.splitlines()} <= {"simulation"}


def test_json_is_for_machines() -> None:
    """Standard output is one record and nothing else; the same seed gives the same bytes."""
    result = run("--json")
    output = json.loads(result.stdout)

    assert output["replications"] == 2
    assert output["horizon_s"] == 86_400
    assert set(output["parts_per_h"]) == {"mean", "low", "high"}
    assert run("--json").stdout == result.stdout
    assert run("--json", "--seed", "2").stdout != result.stdout


def test_the_log_has_one_event_a_line(tmp_path: Path) -> None:
    """JSON lines of the first replication, in order of time."""
    log = tmp_path / "events.jsonl"
    run("--log", str(log))
    lines = [json.loads(line) for line in log.read_text(encoding="utf-8").splitlines()]
    assert lines[0] == {"t_s": 0.0, "what": "is waiting_attendant", "who": "", "where": "m1"}
    lines = [line for line in lines if not line["what"].startswith("is ")]

    assert lines[0] == {"t_s": 4.5, "what": "pick", "who": "arm1", "where": "drawers"}
    assert [line["t_s"] for line in lines] == sorted(line["t_s"] for line in lines)
    assert sum(line["what"] == "out" for line in lines) > 100


@pytest.mark.parametrize(("words", "said"), [(("--hours", "0"), "0 is not more than 0"), (("--warm-up", "24"), "24")])
def test_hours_have_to_be_more_than_what_is_cut_off(words: tuple[str, ...], said: str) -> None:
    """Exit 2, with the number."""
    result = run(*words)

    assert result.exit_code == 2
    assert said in result.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--hours", "nan"), "nan is not more than 0."),
        (("--hours", "inf"), "inf is more than 10000000."),
        (("--hours", "1e300"), "1e+300 is more than 10000000."),
        (("--hours", "0.0000001"), "1e-07 leaves less than one step of the cell's grid."),
        (("--warm-up", "-1"), "-1 is not from 0 to 10000000."),
        (("--warm-up", "nan"), "nan is not from 0 to 10000000."),
        (("--replications", "0"), "0 is not more than 0."),
        (("--replications", "20000000"), "2e+07 is more than 10000000."),
    ],
)
def test_numbers_that_no_run_can_have_are_a_wrong_command_line(words: tuple[str, ...], said: str) -> None:
    """Exit 2 before any work, never a run without an end."""
    result = run(*words)

    assert result.exit_code == 2
    assert said in result.stderr
    assert words[0] in result.stderr


def test_what_cannot_be_simulated_is_named(tmp_path: Path) -> None:
    """Exit 1 and the thing by its name."""
    form = reference_form()
    form["parts"]["flange"]["route"][1]["stay_max_s"] = 500
    path = tmp_path / "cell.json"
    path.write_text(json.dumps(form), encoding="utf-8")
    result = CliRunner().invoke(command, [str(path)])

    assert result.exit_code == 1
    assert "cannot compute stays that are limited (windows) by simulation yet" in result.stderr


def test_a_wrong_file_is_told_by_its_place(tmp_path: Path) -> None:
    """Exit 2."""
    path = tmp_path / "cell.json"
    path.write_text("{}", encoding="utf-8")

    assert CliRunner().invoke(command, [str(path)]).exit_code == 2
