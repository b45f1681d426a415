"""Where parts are lost and the ways to tend, as a terminal shows them."""

import io
from dataclasses import replace

import pytest
from rich.console import Console

from millhand.model.study import Study
from millhand.report.terminal import page_of, show
from millhand.report.terminal_tending import loss_parts, way_parts
from tests.test_tending import FOUR_MILLS, done


def lines(of: Study, *, width: int = 80) -> list[str]:
    """What stands there."""
    stream, page = io.StringIO(), page_of(of)
    console = Console(file=stream, width=width, force_terminal=True, color_system=None)
    show([*loss_parts(page), *way_parts(page)], console)
    return stream.getvalue().splitlines()


@pytest.mark.parametrize("path", [FOUR_MILLS, "examples/3_moulding/inquiry.yaml"])
def test_the_tables_fit_the_screen(path: str) -> None:
    """At 80 columns nothing is cut."""
    found = lines(done(path))

    assert max(map(len, found)) <= 80
    assert not any("…" in line for line in found)


def test_a_loss_has_its_time_and_its_parts() -> None:
    """Whose time it is stands with it; what is no time has none."""
    found = {line[:38].strip(): line[38:].split() for line in lines(done(FOUR_MILLS))}

    assert found["breaks"][:3] == ["people", "60", "min"]
    assert found["called away from the machines"][0] == "people"
    assert found["breakdowns and their repair"][0] == "machines"
    assert len(found["scrap"]) == 1
    assert found["shipped"] == ["220"]


def test_the_ways_are_told_in_words_with_today_s_first() -> None:
    """Two operators: who tends and who covers; one operator: who covers."""
    several, one = (lines(done(path)) for path in (FOUR_MILLS, "examples/1_two_mills/inquiry.yaml"))
    first = next(number for number, line in enumerate(several) if line.startswith("helping each other, covering"))

    assert several[first].split()[:6] == ["helping", "each", "other,", "covering", "each", "other's"]
    assert several[first + 1].strip() == "(today)"
    assert several[first + 2].startswith("each his own machines, breaks not covered  ")
    assert any(line.startswith("breaks not covered (today)") for line in one)
    assert not any("helping" in line for line in one)


def test_without_the_page_nothing_is_said() -> None:
    """A study that was not looked at this way."""
    assert not "".join(lines(replace(done(FOUR_MILLS), tending=None))).strip()
