"""Machine code that is kept between runs: it saves time, and never changes an answer or stands in its way."""

import os
import subprocess
import sys
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path

import pytest

from millhand.compiling import FOLDER, kept_code, sources_hash
from millhand.run import mark_of
from tests.house.source_text import TOP

CODE = b"machine code\n" * 20_000
MEASURES = """
import sys
from millhand.solvers.cashflow.draws import measured
from tests.solvers.cashflow.test_draws import NAMES, cases
found = measured(cases(60, seed=1))
sys.stdout.buffer.write(b"".join(getattr(found, name).tobytes() for name in NAMES))
"""  # the loop that is compiled soonest; the others are kept in the same way
MAKERS, TIMES = 4, 50


class Shelf:
    """A kept file, and how often it was made and used."""

    def __init__(self, *, good: bytes = CODE) -> None:
        self.good, self.made, self.used = good, 0, 0

    def make(self) -> bytes:
        """Make it anew."""
        self.made += 1
        return self.good

    def use(self, whole: bytes) -> bool:
        """Only what was made here can be used."""
        self.used += whole == self.good
        return whole == self.good

    def ask(self) -> tuple[int, int]:
        """Ask for the code once; how often it was made and used up to now."""
        kept_code("kernel-1", "shape", make=self.make, use=self.use)
        return self.made, self.used


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder in which machine code is kept during a test."""
    monkeypatch.setenv(FOLDER, str(tmp_path / "code"))
    return tmp_path / "code"


def test_code_is_made_once_and_then_used(folder: Path) -> None:
    """The second run finds it, and so does every later one; one file is all that lies there."""
    shelf = Shelf()

    assert [shelf.ask() for _ in range(3)] == [(1, 0), (1, 1), (1, 2)]
    assert [path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()] == ["kernel-1/shape"]


def test_code_of_old_versions_goes(folder: Path) -> None:
    """The two youngest folders of other versions stay, and whatever is no code of this kind."""
    for age, name in enumerate(("kernel-d", "kernel-c", "kernel-b", "kernel-a", "notes")):
        (folder / name).mkdir(parents=True)
        os.utime(folder / name, (1_000_000 + age, 1_000_000 + age))

    Shelf().ask()

    assert sorted(path.name for path in folder.iterdir()) == ["kernel-1", "kernel-a", "kernel-b", "notes"]


DAMAGES: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda text: b"",
    "cut off": lambda text: text[: len(text) // 2],
    "cut off in its mark": lambda text: text[:10],
    "one bit changed": lambda text: text[:-100] + bytes([text[-100] ^ 1]) + text[-99:],
    "longer": lambda text: text + b"\n",
    "not of this tool": lambda text: b"\x7fELF" + bytes(1000),
    "whole, of another machine": lambda text: mark_of(b"other code") + b"\nother code",
}


@pytest.mark.parametrize("damage", DAMAGES.values(), ids=DAMAGES)
def test_a_file_that_cannot_be_used_is_made_anew(folder: Path, damage: Callable[[bytes], bytes]) -> None:
    """It is never used, it is made once more, and the file is then as it was before."""
    shelf = Shelf()
    shelf.ask()
    path = folder / "kernel-1" / "shape"
    whole = path.read_bytes()
    path.write_bytes(damage(whole))

    assert shelf.ask() == (2, 0)
    assert path.read_bytes() == whole
    assert shelf.ask() == (2, 1)


def test_a_whole_file_that_breaks_when_it_is_taken_up_is_made_anew(folder: Path) -> None:
    """What another compiler wrote under this name may not be refused but break: that costs time alone, too."""
    shelf = Shelf()
    shelf.ask()

    def breaks(whole: bytes) -> bool:
        raise TypeError("17 were given")

    kept_code("kernel-1", "shape", make=shelf.make, use=breaks)

    assert shelf.ask() == (2, 1)


def test_a_folder_that_cannot_be_written_costs_time_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Below a regular file nothing can be kept, by whomever: it is made each time, and nothing is left behind."""
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    monkeypatch.setenv(FOLDER, str(tmp_path / "file" / "code"))
    shelf = Shelf()

    assert [shelf.ask() for _ in range(2)] == [(1, 0), (2, 0)]
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_folder_in_the_place_of_the_file_costs_time_alone(folder: Path) -> None:
    """It cannot be read nor replaced; no temporary file stays beside it."""
    (folder / "kernel-1" / "shape").mkdir(parents=True)
    shelf = Shelf()

    assert [shelf.ask() for _ in range(2)] == [(1, 0), (2, 0)]
    assert [path.name for path in (folder / "kernel-1").iterdir()] == ["shape"]


def test_what_goes_wrong_while_it_is_made_is_told(folder: Path) -> None:
    """An error of the compiler is no trouble with a file: it is not passed over, and nothing is kept."""

    def broken() -> bytes:
        raise ValueError("cannot be compiled")

    with pytest.raises(ValueError, match="cannot be compiled"):
        kept_code("kernel-1", "shape", make=broken, use=lambda whole: True)
    assert not folder.exists()


def test_without_a_word_it_is_kept_in_the_users_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The folder of the system for such things; where it cannot be had, one for temporary files."""
    monkeypatch.delenv(FOLDER)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "short"))
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    for cache in ("cache", "file"):
        monkeypatch.setattr("platformdirs.user_cache_path", lambda *_, cache=cache, **__: tmp_path / cache / "millhand")
        assert [shelf.ask() for shelf in [Shelf()] for _ in range(2)] == [(1, 0), (1, 1)]

    assert (tmp_path / "cache" / "millhand" / "kernel-1" / "shape").is_file()
    assert len(list((tmp_path / "short").glob("millhand-*/kernel-1/shape"))) == 1


def makes_often(where: Path) -> int:
    """Ask many times for code that nobody accepts, so that each time it is made and put in place; count spoilt ones."""
    os.environ[FOLDER] = str(where)
    seen = []
    for _ in range(TIMES):
        kept_code("kernel-1", "shape", make=lambda: CODE, use=lambda whole: seen.append(whole != CODE) is not None)
    return sum(seen)


def test_many_processes_may_make_it_at_once(folder: Path) -> None:
    """Nobody ever reads half a file, and one whole file is left at the end."""
    with get_context("spawn").Pool(MAKERS) as pool:
        spoilt = pool.map(makes_often, [folder] * MAKERS, chunksize=1)

    assert spoilt == [0] * MAKERS
    assert [path.name for path in (folder / "kernel-1").iterdir()] == ["shape"]
    assert Shelf().ask() == (0, 1)


def package(top: Path, name: str, **texts: str) -> str:
    """A package with these files in its folder `loop`."""
    (top / name / "loop").mkdir(parents=True)
    (top / name / "__init__.py").write_text("", encoding="utf-8")
    for file, text in texts.items():
        (top / name / "loop" / f"{file}.py").write_text(text, encoding="utf-8")
    return name


def test_other_sources_have_another_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A changed line, a file more and a file less each give another name; the same text the same name."""
    monkeypatch.syspath_prepend(str(tmp_path))
    packages = [
        package(tmp_path, "first", a="x = 1\n", b="y = 1\n"),
        package(tmp_path, "alike", a="x = 1\n", b="y = 1\n"),
        package(tmp_path, "changed", a="x = 1\n", b="y = 2\n"),
        package(tmp_path, "more", a="x = 1\n", b="y = 1\n", c="z = 1\n"),
        package(tmp_path, "less", a="x = 1\n"),
    ]
    first, alike, *others = [sources_hash(name, ("loop",)) for name in packages]

    assert first == alike
    assert len({first, *others}) == 4


def started(where: Path) -> "subprocess.Popen[bytes]":
    """A process that measures some draws and keeps its machine code there."""
    words = [sys.executable, "-c", MEASURES]
    environment = {**os.environ, FOLDER: str(where), "PYTHONPATH": os.pathsep.join(sys.path)}
    return subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment, cwd=TOP)


def answer(process: "subprocess.Popen[bytes]") -> bytes:
    """What it printed; it must have ended well."""
    printed, told = process.communicate()
    assert process.returncode == 0, told.decode()
    return printed


def test_whoever_compiles_answers_with_the_same_bytes(tmp_path: Path) -> None:
    """Two processes that compile at once into one empty folder, and a third one that finds what they kept."""
    known = answer(started(Path(os.environ[FOLDER])))
    both = [started(tmp_path) for _ in range(2)]
    assert [answer(process) for process in both] == [known] * 2

    [kept] = [path for path in tmp_path.rglob("*") if path.is_file()]
    before = kept.stat()
    assert answer(started(tmp_path)) == known
    assert (kept.stat().st_ino, kept.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
