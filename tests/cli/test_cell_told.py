"""A cell file before `check`, `schedule` and `simulate`: what is odd in it is said, and in nobody's way."""

import json
from pathlib import Path

from click.testing import CliRunner

from millhand.cli.main import group

EXAMPLE = Path("examples/cells/two_arms_on_a_track.json")


def left_off(tmp_path: Path) -> Path:
    """The example with one arm left off the track."""
    data = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    data["tracks"]["overhead"]["attendants"] = ["left"]
    file = tmp_path / "cell.json"
    file.write_text(json.dumps(data), encoding="utf-8")
    return file


def test_check_takes_a_cell_too(tmp_path: Path) -> None:
    """It was read as an inquiry, with an error at each of its keys."""
    good, odd = (CliRunner().invoke(group, ["check", str(file)]) for file in (EXAMPLE, left_off(tmp_path)))

    assert (good.exit_code, odd.exit_code) == (0, 0)
    assert "Can be used. Stations: 6; attendants: 2; part types: 1." in good.stdout
    assert "Odd figures" not in good.stdout
    assert "- cell.json#/tracks/overhead/attendants: all places of 'right' lie" in " ".join(odd.stdout.split())
    assert max(map(len, odd.stdout.splitlines())) <= 80
    as_json = CliRunner().invoke(group, ["check", "--json", str(left_off(tmp_path))]).stdout
    assert [each["code"] for each in json.loads(as_json)["odd_at"]] == ["left_off_track"]


def test_check_refuses_a_broken_cell_at_its_pointer(tmp_path: Path) -> None:
    """With the errors of a cell."""
    file = left_off(tmp_path)
    data = json.loads(file.read_text(encoding="utf-8"))
    data["tracks"]["overhead"]["attendants"] = ["middle"]
    file.write_text(json.dumps(data), encoding="utf-8")

    refused = CliRunner().invoke(group, ["check", str(file)])
    assert refused.exit_code == 2
    assert "cell.json#/tracks/overhead/attendants/0: read 'middle'; write the id of an attendant" in refused.stderr


def test_who_schedules_or_simulates_is_told_on_standard_error(tmp_path: Path) -> None:
    """So that JSON on standard output stays JSON."""
    file = str(left_off(tmp_path))
    simulated = CliRunner().invoke(group, ["simulate", file, "--hours", "1", "--replications", "2", "--json"])
    scheduled = CliRunner().invoke(group, ["schedule", file, "--seconds", "0.5", "--json"])

    for each in (simulated, scheduled):
        assert "Odd: cell.json#/tracks/overhead/attendants: all places of 'right'" in each.stderr
        json.loads(each.stdout)
