"""A study's folder is written whole or not at all."""

import errno
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from millhand.errors import ToolError
from millhand.intake.cell import read_cell
from millhand.report import writing
from millhand.report.writing import clear_left_over, exchanged, held, study_files, write_study
from tests.report.fixture_study import ARM, study

NAMES = {"report.html", "study.json", "cash_flow.csv", "facts.csv", "workbook.xlsx", "cells", "drawings"}


@cache
def files() -> dict[str, bytes]:
    """The files of the study, made by the first test that needs them."""
    return study_files(study())


@pytest.fixture
def made_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The files of the study, made once for all tests that are about folders."""
    made = files()  # before anything is put in the way of a test
    monkeypatch.setattr(writing, "study_files", lambda *_: made)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder with its bytes."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def with_older(folder: Path) -> dict[str, bytes]:
    """An older study in the folder, and its bytes."""
    folder.mkdir()
    (folder / "study.json").write_text('{"older": true}\n', encoding="utf-8")
    return contents(folder)


@pytest.mark.usefixtures("made_once")
def test_a_new_folder_holds_the_whole_study(tmp_path: Path) -> None:
    """Report, figures, tables and each cell; parents are made; the files named can be opened."""
    written = write_study(study(), tmp_path / "deep" / "out")

    assert {path.name for path in (tmp_path / "deep" / "out").iterdir()} == NAMES
    assert all(path.is_file() for path in written)
    assert json.loads((tmp_path / "deep" / "out" / "study.json").read_text("utf-8"))["seed"] == 7
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["out"]


def test_a_cell_is_read_back_as_it_was(tmp_path: Path) -> None:
    """cells/<concept>.json is a cell file like any other."""
    write_study(study(), tmp_path / "out")

    assert read_cell(tmp_path / "out" / "cells" / f"{ARM}.json") == study().results[2].cell


def test_the_same_study_gives_the_same_folder(tmp_path: Path) -> None:
    """Byte by byte, in another place and at another time."""
    write_study(study(), tmp_path / "one")
    write_study(study.__wrapped__(), tmp_path / "two")

    assert contents(tmp_path / "one") == contents(tmp_path / "two")


@pytest.mark.usefixtures("made_once")
@pytest.mark.parametrize("exchange", [True, False], ids=["one step", "two steps"])
def test_an_older_study_is_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, exchange: bool) -> None:
    """Nothing of the older one stays, and nothing lies about, whether the system can exchange names or not."""
    with_older(tmp_path / "out")
    if not exchange:
        monkeypatch.setattr(writing, "exchanged", lambda one, other: False)

    write_study(study(), tmp_path / "out")

    assert '"older"' not in (tmp_path / "out" / "study.json").read_text("utf-8")
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_two_names_are_exchanged_in_one_step(tmp_path: Path) -> None:
    """Each folder then has the other's name; where one is missing nothing happens."""
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()

    if exchanged(tmp_path / "a", tmp_path / "b"):
        assert (tmp_path / "a" / "b").exists()
        assert (tmp_path / "b" / "a").exists()
    assert not exchanged(tmp_path / "a", tmp_path / "none")


def failing(code: int) -> Callable[[int], None]:
    """A system call that fails with this code."""

    def fail(_: int) -> None:
        raise OSError(code, os.strerror(code))

    return fail


TROUBLES = [
    (errno.ENOSPC, "the disk is full; nothing was written, and what was there is untouched"),
    (errno.EDQUOT, "the disk is full"),
    (errno.EACCES, "no permission to write there"),
    (errno.EROFS, "no permission to write there"),
    (errno.EIO, "Input/output error"),
]


@pytest.mark.usefixtures("made_once")
@pytest.mark.parametrize(("code", "words"), TROUBLES)
@pytest.mark.parametrize("older", [True, False])
def test_trouble_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, words: str, older: bool
) -> None:
    """A full disk, a missing permission: said in words, nothing half-written, the older study untouched."""
    before = with_older(tmp_path / "out") if older else {}
    monkeypatch.setattr(os, "fsync", failing(code))

    with pytest.raises(ToolError, match=words):
        write_study(study(), tmp_path / "out")

    assert (contents(tmp_path / "out") if older else {}) == before
    assert [path.name for path in tmp_path.iterdir()] == (["out"] if older else [])


@pytest.mark.usefixtures("made_once")
def test_trouble_in_the_last_step_gives_the_older_study_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where names cannot be exchanged and the second rename fails, the first one is undone."""
    before = with_older(tmp_path / "out")
    monkeypatch.setattr(writing, "exchanged", lambda one, other: False)
    rename = Path.rename

    def second_fails(path: Path, target: Path) -> Path:
        if target == tmp_path / "out" and not path.name.endswith(".old"):
            raise OSError(errno.EIO, "Input/output error")
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", second_fails)

    with pytest.raises(ToolError, match="what was there is untouched"):
        write_study(study(), tmp_path / "out")

    assert contents(tmp_path / "out") == before
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


KILLED = """
import os, signal, sys
from pathlib import Path
from millhand.report import writing
from tests.report.fixture_study import study
count = 0
def dying(handle):
    global count
    count += 1
    if count == 3:
        os.kill(os.getpid(), signal.SIGKILL)
os.fsync = dying
writing.write_study(study(), Path(sys.argv[1]))
"""


def test_a_process_killed_half_way_leaves_the_older_study(tmp_path: Path) -> None:
    """Killed between two files: the older study is whole, and a later run puts the new one in its place."""
    before = with_older(tmp_path / "out")

    done = subprocess.run([sys.executable, "-c", KILLED, str(tmp_path / "out")], cwd=Path.cwd(), check=False)

    assert done.returncode == -signal.SIGKILL
    assert contents(tmp_path / "out") == before
    assert len(list(tmp_path.iterdir())) == 2
    write_study(study(), tmp_path / "out")
    assert {path.name for path in (tmp_path / "out").iterdir()} == NAMES
    assert [path.name for path in tmp_path.iterdir()] == ["out"], "what the killed run left behind is cleared up"


def test_what_another_run_is_writing_and_what_is_not_ours_stays(tmp_path: Path) -> None:
    """A locked folder belongs to somebody alive; other hidden names, files and links belong to the user."""
    mine, other = tmp_path / ".out.0123abcd", tmp_path / ".out.notes"
    other.mkdir()
    (tmp_path / ".out.89abcdef").touch()
    (tmp_path / ".out.76543210").symlink_to(other)
    with held(mine):
        clear_left_over(tmp_path / "out")
        assert mine.is_dir()
    clear_left_over(tmp_path / "out")

    assert {path.name for path in tmp_path.iterdir()} == {".out.notes", ".out.89abcdef", ".out.76543210"}


@pytest.mark.usefixtures("made_once")
def test_a_run_that_comes_second_exchanges_with_the_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The folder was not there when it looked, and is when it renames: both studies were whole, the later one stays."""
    rename = Path.rename

    def beaten(path: Path, target: Path) -> Path:
        if target == tmp_path / "out" and not target.exists():
            with_older(target)
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", beaten)
    write_study(study(), tmp_path / "out")

    assert {path.name for path in (tmp_path / "out").iterdir()} == NAMES
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.usefixtures("made_once")
def test_a_folder_with_other_things_in_it_is_not_replaced(tmp_path: Path) -> None:
    """What no study holds is named, so that nothing is lost; nor is a file or a link replaced."""
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "notes.txt").touch()
    (tmp_path / "file").touch()
    (tmp_path / "link").symlink_to(tmp_path / "out")

    with pytest.raises(ToolError, match=r"the folder out holds notes\.txt, which is no part of a study"):
        write_study(study(), tmp_path / "out")
    for name in ("file", "link"):
        with pytest.raises(ToolError, match=f"{name} is there already and is no folder"):
            write_study(study(), tmp_path / name)
