"""Each kind of trouble ends in its own exit code, with its own words on standard error."""

import errno
import os
import subprocess
import sys
from concurrent.futures import BrokenExecutor
from pathlib import Path

import pytest

from millhand.cli.exits import Refused, exits, refuse
from millhand.errors import Contradiction, InputError, InputErrors, NotYet, ToolError
from millhand.run import Cancelled

ONE_ERROR = InputError("inquiry.yaml:14:20", "3 kg", "a time, such as 6 min 20 s")
TWO_ERRORS = InputErrors([ONE_ERROR, InputError("inquiry.yaml:20:5", "", "a name")])
ENDINGS = [
    (ONE_ERROR, 2, "inquiry.yaml:14:20: read '3 kg'; write a time, such as 6 min 20 s.\n"),
    (
        TWO_ERRORS,
        2,
        "inquiry.yaml:14:20: read '3 kg'; write a time, such as 6 min 20 s.\n"
        "inquiry.yaml:20:5: read ''; write a name.\n",
    ),
    (
        Contradiction(["m3 holds a part at most 0 s"], ["let m3 hold a part for 1 s"]),
        2,
        "No cycle keeps all of these: m3 holds a part at most 0 s. To change that, let m3 hold a part for 1 s.\n",
    ),
    (NotYet("three arms on one track"), 1, "millhand: this version cannot compute three arms on one track yet.\n"),
    (ToolError("a worker was lost."), 1, "millhand: a worker was lost.\n"),
    (OSError(errno.ENOSPC, "No space left on device", "out"), 1, "millhand: No space left on device (out).\n"),
    (Refused("No cell pays back inside the hurdle."), 3, "No cell pays back inside the hurdle.\n"),
    (Cancelled("simulating"), 130, "millhand: interrupted; nothing was written.\n"),
    (
        BrokenExecutor(),
        1,
        "millhand: a worker process was lost, most often because memory ran out; fewer --workers need less. "
        "Nothing was written.\n",
    ),
    (KeyboardInterrupt(), 130, "millhand: interrupted; nothing was written.\n"),
]


@pytest.mark.parametrize(("trouble", "code", "words"), ENDINGS, ids=lambda value: type(value).__name__)
def test_trouble_ends_in_its_code_and_words(
    trouble: BaseException, code: int, words: str, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Code and words of each kind; standard output stays empty."""
    monkeypatch.setattr("millhand.cli.exits.abandon_output", lambda: None)

    @exits
    def command() -> None:
        raise trouble

    with pytest.raises(SystemExit) as ended:
        command()

    assert ended.value.code == code
    assert capfd.readouterr() == ("", words)


def test_a_defect_of_ours_is_not_dressed_up() -> None:
    """An error that nobody foresaw keeps its traceback: it has to be reported, not explained away."""
    with pytest.raises(ZeroDivisionError):
        exits(lambda: 1 // 0)()


def test_a_no_is_an_answer_unless_the_caller_asks_for_the_code() -> None:
    """Only --fail-on-no turns a 'no' into an exit code."""
    refuse("no", fail_on_no=False)

    with pytest.raises(Refused, match=r"^no$"):
        refuse("no", fail_on_no=True)


PRINTS_MUCH = """
from millhand.cli.exits import exits
exits(lambda: [print("line", number) for number in range(20_000)])()
"""
FULL = Path("/dev/full")


def test_a_reader_that_has_read_enough_is_no_trouble() -> None:
    """A closed pipe ends the command quietly."""
    read, write = os.pipe()
    os.close(read)

    run = subprocess.run([sys.executable, "-c", PRINTS_MUCH], stdout=write, stderr=subprocess.PIPE, check=False)
    os.close(write)

    assert (run.returncode, run.stderr) == (0, b"")


@pytest.mark.skipif(not FULL.exists(), reason="this system has no device that is always full")
def test_a_full_disk_is_one_sentence() -> None:
    """Output that cannot be written is exit 1 and one line, not a traceback."""
    with FULL.open("w", encoding="utf-8") as full:
        run = subprocess.run([sys.executable, "-c", PRINTS_MUCH], stdout=full, stderr=subprocess.PIPE, check=False)

    assert (run.returncode, run.stderr) == (1, b"millhand: No space left on device.\n")
