"""docs/schedule.md is a contract: its pieces make the example, its commands print what stands below them."""

import json
import re
import time
from pathlib import Path
from typing import Any

import pytest

from tests.cli.pages import printed, shown

PAGE = Path("docs/schedule.md").read_text(encoding="utf-8")
PIECE = re.compile(r"^```json\n(.*?)^```$", re.MULTILINE | re.DOTALL)
SHOWN = shown(PAGE)
SECONDS = re.compile(r" --seconds (\S+)")
GIVEN_S = 30.0  # of a command that names none
LONG_S = 3600  # longer than any search of the page lasts, however many share the processor


def test_the_pieces_are_the_example() -> None:
    """Put together they are the file that the page names, key by key."""
    whole: dict[str, Any] = {}
    for piece in PIECE.findall(PAGE):
        read = json.loads(piece)
        assert not whole.keys() & read.keys()
        whole |= read

    assert whole == json.loads(Path("examples/cells/three_machines_on_a_track.json").read_text(encoding="utf-8"))


def test_every_command_of_the_page_is_found() -> None:
    """Four of them, each with a full answer."""
    assert [command.count("--what-if") for command, _ in SHOWN] == [0, 0, 1, 0]
    assert all(len(answer.splitlines()) > 25 for _, answer in SHOWN)


@pytest.mark.parametrize(("command", "answer"), SHOWN, ids=[command for command, _ in SHOWN])
def test_the_page_shows_what_the_program_prints(command: str, answer: str) -> None:
    """Line by line, on a busy machine too: the search comes to its end, so a later deadline changes nothing. What it
    needs of the processor is less than the time that the page gives it."""
    asked = SECONDS.search(command)
    began_s = time.process_time()

    assert printed(f"{SECONDS.sub('', command)} --seconds {LONG_S}") == answer.splitlines()
    assert time.process_time() - began_s < (float(asked[1]) if asked else GIVEN_S)


def test_figures_in_the_text_stand_in_the_answers() -> None:
    """What the page says about periods, rates and shares is printed above or below it."""
    answers = "\n".join(answer for _, answer in SHOWN)

    for figure in ("144.5 s", "132.2 s", "74.74", "61.75", "125 s", "19.5 s", "94.4", "3.788", "111.2 s"):
        assert figure in answers
    assert f"{100 * (74.74 / 61.75 - 1):.0f} % more" in PAGE
    assert f"{144.5 - 132.2:.1f} s" in PAGE
