"""Inquiries with files are read in a process of its own, with limits."""

import os
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from millhand.intake.fields import Paper
from millhand.web import folders
from millhand.web.folders import Reader, put_out


@pytest.fixture
def reader() -> Iterator[Reader]:
    """One reader, stopped at the end."""
    found = Reader()
    yield found
    found.close()


def whoever_reads(text: str, files: object) -> Paper:
    """A reader that tells which process it is."""
    return Paper(sections=(), errors=(), inquiry=None, opened=os.getpid())  # type: ignore[arg-type]


def hungry(text: str, files: object) -> Paper:
    """A reader that takes more memory than it may."""
    return Paper(sections=(), errors=(), inquiry=None, opened=len(bytearray(8_000_000_000)))  # type: ignore[arg-type]


def slow(text: str, files: object) -> Paper:
    """A reader that never ends."""
    time.sleep(600)
    raise AssertionError


def test_an_inquiry_with_files_is_read_elsewhere(reader: Reader, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not in the process of the server."""
    monkeypatch.setattr(folders, "read_alone", whoever_reads)

    assert reader.paper("name: x\n", {"a.csv": b"1"}).opened != os.getpid()


@pytest.mark.parametrize(("reading", "patience_s"), [(hungry, 30.0), (slow, 1.5)])
def test_what_takes_too_much_is_told_and_the_next_is_read(
    reader: Reader, monkeypatch: pytest.MonkeyPatch, reading: object, patience_s: float
) -> None:
    """Memory and time have an end; the server goes on."""
    monkeypatch.setattr(folders, "PATIENCE_S", patience_s)
    monkeypatch.setattr(folders, "read_alone", reading)
    assert reader.paper("name: x\n", {"a.csv": b"1"}).errors == (folders.TOO_MUCH,)

    monkeypatch.setattr(folders, "PATIENCE_S", 60.0)
    monkeypatch.setattr(folders, "read_alone", whoever_reads)
    assert reader.paper("name: y\n", {"a.csv": b"1"}).errors == ()
    assert reader.paper("name: x\n", {"a.csv": b"1"}).errors == ()  # the same files, in a better moment


def test_no_file_is_written_outside_its_folder(tmp_path: Path) -> None:
    """Whatever its name says."""
    inside = tmp_path / "own"
    inside.mkdir()
    put_out(inside, "name: x\n", {"../evil.csv": b"1", "good/a.csv": b"2"})

    assert not (tmp_path / "evil.csv").exists()
    assert (inside / "good" / "a.csv").read_bytes() == b"2"
