"""docs/safeguarding.md is a contract: its commands print what stands below, its figures are those of the formulas."""

import re
from pathlib import Path

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.formulas.contact import clamping_force_n, contact_speed_m_s
from tests.cli.pages import printed

PAGE = Path("docs/safeguarding.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"^    \$ millhand (formula .*)\n((?:    .*\n)*)", PAGE, re.MULTILINE)


@pytest.mark.parametrize(("command", "below"), SHOWN, ids=[command.split()[1] for command, _ in SHOWN])
def test_a_command_prints_what_stands_below_it(command: str, below: str) -> None:
    """Line by line; source and caution, which every formula has, are left out on the page."""
    lines = [line.strip() for line in below.splitlines()]

    assert printed(command)[: len(lines)] == lines
    assert all(line.startswith(("source:", "caution:")) for line in printed(command)[len(lines) :])


def test_the_page_shows_commands() -> None:
    """None got lost by a change of its form."""
    assert len(SHOWN) == 3


def test_figures_in_the_text_are_those_of_the_formulas() -> None:
    """The chest's speed for the same arm, and what a clamped hand bears."""
    chest = contact_speed_m_s("chest", moving_kg=28.0, payload_kg=6.0)

    assert f"The chest would allow {chest:.3f} m/s" in PAGE
    assert f"a clamped hand bears {clamping_force_n('hand_finger'):g} N" in " ".join(PAGE.split())


def test_every_task_and_every_guard_is_named() -> None:
    """The page leaves no task of the list and no choice out."""
    safeguards = read_catalogue().safeguards
    text = " ".join(PAGE.split()).lower()

    assert [each.task for each in safeguards.hazards if each.task not in text] == []
    assert [each.title for each in safeguards.choices if each.title not in text] == []
