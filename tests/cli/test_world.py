"""The world around a command: terminals that know few signs, closed streams, odd files, broken caches, interrupts."""

import io
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from millhand import road
from millhand.cli.main import group
from millhand.cli.streams import SPELLED, prepare_streams
from millhand.model.walk import facts_in
from millhand.road import Desk, outputs
from millhand.run import LocalRunner, Nobody, mark_of
from millhand.stages.performance.hours import hours
from millhand.trace import Sheet
from tests.solvers.cycle.rows import Row, row_cell
from tests.stages.short_road import catalogue, example

INQUIRY = Path("tests/data/one_mill.yaml")
TEXT = INQUIRY.read_text("utf-8")


# --- signs ---


@pytest.mark.parametrize(
    ("encoding", "shown"),
    [
        ("ascii", b'"-950" (10 x 20 um) ? a\'b'),
        ("latin-1", '"-950" (10 × 20 µm) ü a\'b'.encode("latin-1")),
        ("utf-8", "“−950” (10 × 20 µm) ü a’b".encode()),
    ],
)
def test_a_terminal_that_lacks_a_sign_gets_another(
    encoding: str, shown: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A minus stays a minus; what cannot be spelled is a question mark; a terminal that knows all gets all."""
    taken = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(taken, encoding=encoding))
    prepare_streams(["study"])
    print("“−950” (10 × 20 µm) ü a’b", end="", flush=True)

    assert taken.getvalue() == shown


def test_json_is_utf_8_wherever_it_goes(monkeypatch: pytest.MonkeyPatch) -> None:
    """No sign of a machine's text is replaced."""
    taken = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(taken, encoding="latin-1"))
    prepare_streams(["study", "x.yaml", "--json"])
    print("−ü", end="", flush=True)

    assert taken.getvalue() == "−ü".encode()


def test_a_closed_stream_swallows_what_it_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    """As after `>&-`: the command goes on, standard error spells as well."""
    screen = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", screen)
    prepare_streams([])
    assert sys.stdout is not None
    with sys.stdout:
        print("nobody reads this", file=sys.stdout)

    assert screen.errors == SPELLED


@pytest.mark.parametrize("streams", [">&-", "2>&-", "<&-", ">&- 2>&- <&-"])
def test_a_command_ends_well_with_its_streams_closed(streams: str) -> None:
    """Whichever of them the caller closed."""
    line = f'exec "$0" -m millhand check {INQUIRY} {streams}'

    run = subprocess.run(["sh", "-c", line, sys.executable], capture_output=True, check=False)

    assert (run.returncode, run.stderr) == (0, b"")


# --- files ---


@pytest.mark.parametrize(
    "content",
    [
        TEXT.replace("\n", "\r\n").encode(),
        b"\xef\xbb\xbf" + TEXT.encode(),
        TEXT.rstrip("\n").encode(),
    ],
    ids=["windows line ends", "byte order mark", "no last line end"],
)
def test_files_of_other_systems_are_read(content: bytes, tmp_path: Path) -> None:
    """In a folder and under a name with spaces and letters of other languages."""
    path = tmp_path / "Anfragen für März" / "die erste.yaml"
    path.parent.mkdir()
    path.write_bytes(content)

    as_it_is = CliRunner().invoke(group, ["check", str(INQUIRY)])
    found = CliRunner().invoke(group, ["check", str(path)])

    assert found.exit_code == 0, found.stderr
    assert found.stdout.splitlines()[1:] == as_it_is.stdout.splitlines()[1:]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (TEXT.encode("utf-16"), "i.yaml:1:1: read 'byte 0xff'; write the file in UTF-8."),
        (TEXT.replace("Levers", "Hebel für").encode("latin-1"), "read 'byte 0xfc'; write the file in UTF-8."),
        (b"", "i.yaml"),
        (b"\x00" * 100, "i.yaml"),
    ],
    ids=["UTF-16", "Latin-1", "empty", "zeros"],
)
def test_a_file_in_another_encoding_is_wrong_input(content: bytes, words: str, tmp_path: Path) -> None:
    """Exit 2, and the place."""
    path = tmp_path / "i.yaml"
    path.write_bytes(content)

    found = CliRunner().invoke(group, ["check", str(path)])

    assert found.exit_code == 2
    assert words in found.stderr


def test_prices_with_windows_line_ends_are_read(tmp_path: Path) -> None:
    """A sheet saved by an office program."""
    path = tmp_path / "prices.csv"
    path.write_bytes(b"\xef\xbb\xbfcomponent,low,value,high,source\r\ndrawers,9000,12000,15000,own offer\r\n")

    found = CliRunner().invoke(group, ["catalogue", "presenter", "--prices", str(path)])

    assert found.exit_code == 0, found.stderr
    assert "12000" in found.stdout
    assert "own offer" in found.stdout


@pytest.mark.parametrize(
    "content", [b"component,low", b"\xff\xfe\x00", b"", b'component,low,value,high,source\n"drawers']
)
def test_broken_prices_are_wrong_input(content: bytes, tmp_path: Path) -> None:
    """Exit 2 before any work."""
    path = tmp_path / "prices.csv"
    path.write_bytes(content)

    found = CliRunner().invoke(group, ["study", str(INQUIRY), "--prices", str(path)])

    assert found.exit_code == 2
    assert "prices.csv" in found.stderr


@pytest.mark.parametrize("words", [("--workers", "0"), ("--workers", "-1"), ("--seed", "-1"), ("--nope",)])
def test_options_outside_their_limits_are_a_wrong_command_line(words: tuple[str, ...]) -> None:
    """Exit 2, with the option's name."""
    found = CliRunner().invoke(group, ["study", str(INQUIRY), *words])

    assert found.exit_code == 2
    assert words[0] in found.stderr


# --- kept results ---


def test_a_spoilt_kept_result_is_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Emptied, cut off, another text, no text: the answer is the same, and the next run has it again."""
    monkeypatch.setattr(road, "HOURS", 1.0)
    cell, inquiry = row_cell(Row(times_s=(20, 30))), example("1_two_mills")
    desk = Desk(
        inquiry=inquiry, catalogue=catalogue(), pattern=hours(inquiry, Sheet(facts_in(inquiry))), seed=1,
        runner=LocalRunner(cache=tmp_path), watch=Nobody(),
    )  # fmt: skip
    first = list(outputs(desk, [cell]))
    (kept,) = tmp_path.iterdir()
    whole = kept.read_bytes()
    for spoilt in (b"", b"null", b"\xff\xfe", whole[: len(whole) // 2], whole.replace(b"mean", b"means", 1)):
        kept.write_bytes(spoilt)

        assert list(outputs(desk, [cell])) == first
        assert kept.read_bytes() == whole


def test_a_result_kept_in_another_form_is_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whole bytes that this version cannot read: not believed."""
    monkeypatch.setattr(road, "HOURS", 1.0)
    cell, inquiry = row_cell(Row(times_s=(20, 30))), example("1_two_mills")
    runner = LocalRunner(cache=tmp_path)
    desk = Desk(
        inquiry=inquiry, catalogue=catalogue(), pattern=hours(inquiry, Sheet(facts_in(inquiry))), seed=1,
        runner=runner, watch=Nobody(),
    )  # fmt: skip
    first = list(outputs(desk, [cell]))
    (kept,) = tmp_path.iterdir()
    for other in (b"{}", b"[1]", b"null", b"\xff"):
        kept.write_bytes(mark_of(other) + b"\n" + other)

        assert list(outputs(desk, [cell])) == first


# --- interrupts ---


def test_an_interrupt_ends_quietly_and_leaves_what_was_there(tmp_path: Path) -> None:
    """Two workers in the middle of a study: exit 130, one line, the older study whole, nothing left behind."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "study.json").write_text("older", "utf-8")
    words = [sys.executable, "-m", "millhand", "study", "tests/data/long.yaml", "--out", str(out), "--workers", "2"]
    run = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True)
    time.sleep(4.0)
    os.killpg(run.pid, signal.SIGINT)
    shown, said = run.communicate(timeout=60)

    assert shown == b""
    assert said.splitlines()[-1] == b"millhand: interrupted; nothing was written."
    assert b"Traceback" not in said
    assert run.returncode in (130, -signal.SIGINT)
    assert (out / "study.json").read_text("utf-8") == "older"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
