"""`millhand new`: a folder with a first inquiry that can be checked at once; nothing is ever overwritten."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from millhand.catalogue import examples
from millhand.cli.main import group


def run(*arguments: str) -> Result:
    """What the commands say."""
    return CliRunner().invoke(group, list(arguments))


def test_a_new_inquiry_can_be_checked_at_once(tmp_path: Path) -> None:
    """The template is a good file, and the answer names the next step."""
    folder = tmp_path / "jobs" / "first"

    result = run("new", str(folder))

    assert result.exit_code == 0
    assert result.stdout.splitlines() == [
        str(folder / "inquiry.yaml"),
        f"Next: put your figures into it, then run: millhand check {folder / 'inquiry.yaml'}",
    ]
    assert run("check", str(folder / "inquiry.yaml")).exit_code == 0


def test_json_names_the_files(tmp_path: Path) -> None:
    """For machines."""
    assert json.loads(run("new", str(tmp_path / "a"), "--json").stdout) == {"files": ["inquiry.yaml"]}


def test_an_empty_folder_is_as_good_as_a_new_one(tmp_path: Path) -> None:
    """Somebody made it already."""
    assert run("new", str(tmp_path)).exit_code == 0


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    """A folder that holds something, or a file of that name, is refused and stays as it was."""
    (tmp_path / "notes.txt").write_text("mine")

    for target, read in ((tmp_path, "a folder with files in it"), (tmp_path / "notes.txt", "a file")):
        result = run("new", str(target))
        assert result.exit_code == 2
        assert result.stderr == f"{target}: read {read!r}; write the name of a new or empty folder.\n"
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_an_example_is_copied_with_its_files(tmp_path: Path) -> None:
    """What the tool expects of it stays behind."""
    result = run("new", str(tmp_path / "a"), "--example", "1_two_mills")

    assert result.exit_code == 0
    copied = {path.name for path in (tmp_path / "a").iterdir()}
    assert "inquiry.yaml" in copied
    assert "expected.json" not in copied


def test_an_unknown_example_names_the_nearest(tmp_path: Path) -> None:
    """Nothing is made then."""
    result = run("new", str(tmp_path / "a"), "--example", "two_mills")

    assert result.exit_code == 2
    assert result.stderr.startswith("--example: read 'two_mills'; write one of 1_two_mills")
    assert "(did you mean '1_two_mills'?)" in result.stderr
    assert not (tmp_path / "a").exists()


def test_an_installation_without_examples_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only a checkout has them."""
    monkeypatch.setattr(examples, "examples_folder", lambda: None)

    result = run("new", str(tmp_path / "a"), "--example", "1_two_mills")

    assert result.exit_code == 1
    assert "the examples are part of the source checkout" in result.stderr
