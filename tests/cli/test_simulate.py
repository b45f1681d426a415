"""`millhand simulate`: what it prints, its JSON and log, and its words for wrong input."""

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from millhand.cli.simulate import command
from tests.reference_variants import PATH, reference_form
from tests.solvers.kernel.shop import arm_cell


def run(*words: str) -> Result:
    """One call on the reference cell for a day."""
    return CliRunner().invoke(command, [str(PATH), "--hours", "24", "--replications", "2", *words])


def test_the_answer_reads_at_eighty_columns() -> None:
    """Each part of the answer has its lines, none of them wider."""
    result = run()

    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80
    for words in (
        "parts ",
        "good parts",
        "in a week",
        "parts, attended",
        "good parts, alone",
        "Good parts are known to",
        "would take",
        "until somebody is needed",
        "absences of all people, not over yet",
        "in 8 h with somebody there",
        "minutes in 8 h at work",
        "seconds from load to load",
        "ISO 22400-2",
        "share of time",
        "working",
        "refill",
        "Left out: no warm",
    ):
        assert words in result.stdout
    assert "2 replications of 24 h, seed 1" in result.stdout
    assert "work chosen by the rule: arm1 first_to_finish, operator1 longest_waiting" in result.stdout
    assert {line.partition(":")[0] for line in result.stderr.splitlines()} <= {"simulation"}


def test_json_is_for_machines() -> None:
    """Standard output is one record and nothing else; the same seed gives the same bytes."""
    result = run("--json")
    output = json.loads(result.stdout)

    assert output["replications"] == 2
    assert output["horizon_s"] == 86_400
    assert set(output["parts_per_h"]) == {"mean", "low", "high"}
    assert set(output) >= {"alone", "levels", "cycles", "effectiveness", "rates", "interventions", "people", "sureness"}
    assert output["warm_up"] is None
    assert output["rates"][0]["per_h"] == output["parts_per_h"]
    assert output["people"]["operator1"].keys() == {"duties", "handling", "walking", "free"}
    assert output["sureness"]["precision"] == 0.01
    assert output["sureness"]["asked"] is False
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


def test_a_log_whose_name_ends_in_csv_is_a_table(tmp_path: Path) -> None:
    """The same events in columns, in file order."""
    run("--log", str(tmp_path / "events.jsonl"))
    run("--log", str(tmp_path / "events.CSV"))
    lines = [json.loads(line) for line in (tmp_path / "events.jsonl").read_text(encoding="utf-8").splitlines()]
    with (tmp_path / "events.CSV").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))

    assert list(rows[0]) == ["when_s", "what", "who", "where", "takes_s"]
    assert [[float(row["when_s"]), row["what"], row["who"], row["where"]] for row in rows] == [
        list(line.values())[:4] for line in lines
    ]
    assert [row["takes_s"] for row in rows] == [str(line.get("takes_s", "")) for line in lines]


def test_another_replication_can_be_logged(tmp_path: Path) -> None:
    """It differs from the first, and is that of its number whatever else is simulated."""
    first, third, alone = (tmp_path / name for name in ("first", "third", "alone"))
    run("--log", str(first))
    run("--log", str(third), "--log-replication", "2")
    run("--log", str(alone), "--log-replication", "2", "--replications", "1")

    assert first.read_bytes() != third.read_bytes()
    assert third.read_bytes() == alone.read_bytes()


def test_a_precision_is_met_with_as_many_replications_as_it_takes() -> None:
    """At least five; the answer says how many and that it was met."""
    result = run("--precision", "0.1")

    assert result.exit_code == 0
    assert "the 10 % asked for took" in " ".join(result.stdout.split())
    told = json.loads(run("--precision", "0.1", "--json").stdout)
    assert told["replications"] == told["sureness"]["needed"] >= 5
    assert told["sureness"]["met"] is True
    assert told["sureness"]["most"] == 200


def test_a_precision_that_is_not_met_says_so_and_what_it_would_take() -> None:
    """Exit 0: the figures hold, with the interval that they have."""
    result = run("--precision", "0.0001", "--most", "5")
    words = " ".join(result.stdout.split())

    assert result.exit_code == 0
    assert "5 replications of 24 h" in words
    assert "the 0.01 % asked for was not met by 5 replications, the most allowed." in words
    assert "write --most" in words


def test_a_warm_up_can_be_found() -> None:
    """What the pilot found is told and cut off; nothing is said to be left out then."""
    result = run("--warm-up", "auto", "--hours", "336")
    words = " ".join(result.stdout.split())

    assert result.exit_code == 0
    assert "found by MSER in a pilot of 10 replications of 100 slices of 24 h." in words
    assert "Left out" not in words
    told = json.loads(run("--warm-up", "auto", "--hours", "336", "--json").stdout)
    assert told["horizon_s"] == (336 - told["warm_up"]["cut_h"]) * 3600


def test_a_run_that_the_warm_up_would_eat_is_too_short(tmp_path: Path) -> None:
    """Loads of five hours: five hours and more are cut, which leaves nothing of four. Exit 2 with what to write."""
    time: Any = {"dist": "lognormal", "mean_s": 18_000, "cv": 0.2}
    path = tmp_path / "cell.json"
    path.write_text(json.dumps(arm_cell(1, time_s=time)), encoding="utf-8")
    result = CliRunner().invoke(command, [str(path), "--hours", "4", "--warm-up", "auto"])

    assert result.exit_code == 2
    assert "4 is too short a run: the warm-up alone takes" in result.stderr
    assert "or more." in result.stderr


def test_lots_that_end_have_no_warm_up_to_find(tmp_path: Path) -> None:
    """Exit 2: such a cell never settles."""
    form = arm_cell() | {"goal": "makespan"}
    form["parts"]["part"]["lot"] = {"size": 10}
    path = tmp_path / "cell.json"
    path.write_text(json.dumps(form), encoding="utf-8")
    result = CliRunner().invoke(command, [str(path), "--warm-up", "auto"])

    assert result.exit_code == 2
    assert "ends with its lots and never settles; write --warm-up 0." in result.stderr


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
        (("--warm-up", "some"), "'some' is no number; write hours, such as 24, or auto."),
        (("--precision", "0"), "0 is not between 0 and 1; write a share, such as 0.01 for 1 %."),
        (("--precision", "nan"), "nan is not between 0 and 1"),
        (("--most", "50"), "it limits --precision; write both or none."),
        (("--most", "4", "--precision", "0.01"), "4 is not from 5 to 10000000."),
        (("--log-replication", "1"), "it says what --log writes; write --log FILE too."),
        (("--log-replication", "-1", "--log", "x"), "-1 is not from 0 to 10000000."),
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
    form["stations"]["m1"] |= {"attended": True, "in_queue": 1}
    path = tmp_path / "cell.json"
    path.write_text(json.dumps(form), encoding="utf-8")
    result = CliRunner().invoke(command, [str(path)])

    assert result.exit_code == 1
    assert "/stations/m1/in_queue: this version cannot compute an attended station with a buffer" in result.stderr


def test_a_wrong_file_is_told_by_its_place(tmp_path: Path) -> None:
    """Exit 2."""
    path = tmp_path / "cell.json"
    path.write_text("{}", encoding="utf-8")

    assert CliRunner().invoke(command, [str(path)]).exit_code == 2
