"""`millhand compare`: two studies out of their folders."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from millhand.cli.main import group

GOLDEN = Path(__file__).parents[1] / "golden" / "study_2.json"
RATE = "money.rate"


def written(folder: Path, name: str, *, rate: float | None = None, note: str = "") -> Path:
    """The golden study, with another rate in its facts; what follows from it is left as it was."""
    study: dict[str, Any] = json.loads(GOLDEN.read_text(encoding="utf-8"))
    if rate is not None:
        study["facts"][RATE]["value"] = rate
    study["format"] = note or study["format"]
    place = folder / name
    place.mkdir()
    (place / "study.json").write_text(json.dumps(study), encoding="utf-8")
    return place


def run(*arguments: object) -> Result:
    """The command with these arguments."""
    return CliRunner().invoke(group, ["compare", *map(str, arguments)])


def test_a_file_and_a_folder_are_compared(tmp_path: Path) -> None:
    """A rate that changed and a present worth that did not: the rate's line and what speaks against it add up to 0."""
    other = written(tmp_path, "other", rate=0.08)
    found = json.loads(run(GOLDEN, other, "--json").stdout)

    (moved,) = found["moved"]
    lines = {each["of"] or each["kind"]: each["npv"]["value"] for each in moved["effects"]}
    assert lines[RATE] > 10_000.0
    assert lines[RATE] + lines["otherwise"] == pytest.approx(0.0, abs=1e-6)
    assert moved["whole"]["npv"]["value"] == 0
    assert [each["id"] for each in found["changes"]] == [RATE]
    screen = run(GOLDEN, other).stdout.replace("\u202f", " ")
    assert "What is built or counted otherwise" in screen
    assert "The advice is the same." in screen


def test_a_study_that_cannot_be_worked_out_again_is_refused_with_a_cure(tmp_path: Path) -> None:
    """A formula that this version does not have, and a file that lacks what a study has."""
    study = json.loads(GOLDEN.read_text(encoding="utf-8"))
    npv = next(each["case"]["npv"] for each in study["results"] if each["case"])
    study["facts"][npv]["formula"] = "worth_of_old"
    (tmp_path / "old.json").write_text(json.dumps(study), encoding="utf-8")
    (tmp_path / "half.json").write_text(json.dumps({"format": study["format"], "seed": 1}), encoding="utf-8")

    told = [run(GOLDEN, tmp_path / name).stderr for name in ("old.json", "half.json")]
    cure = "write a study of this version: run `millhand study` on its inquiry again."
    assert f"read 'the formula worth_of_old, which this version does not have'; {cure}" in told[0]
    assert f"read 'a study with something missing'; {cure}" in told[1]


def test_what_is_no_study_of_today_is_refused_with_a_cure(tmp_path: Path) -> None:
    """An older format, no file, no JSON; the first that cannot be read is told."""
    old = written(tmp_path, "old", note="millhand-study/1")
    (tmp_path / "text").mkdir()
    (tmp_path / "text" / "study.json").write_text("{", encoding="utf-8")

    told = [run(GOLDEN, place) for place in (old, tmp_path / "none", tmp_path / "text")]
    assert [each.exit_code for each in told] == [2, 2, 2]
    assert (
        "read \"format 'millhand-study/1'\"; write a file of the format millhand-study/2: run `millhand study` on its"
        in (told[0].stderr)
    )
    assert "read 'no such file'; write the folder that `millhand study --out` wrote" in told[1].stderr
    assert "read 'no JSON'" in told[2].stderr
