"""The part of docs/by_hand.md on machines that are no mills: its sums are those of the inquiries that it names."""

from collections.abc import Mapping
from pathlib import Path

import pytest
from click.testing import CliRunner

from millhand.cli.main import group
from millhand.intake.clashes import clashes
from tests.agreement.test_kinds_of_machines import BY_HAND, inquiry, today
from tests.stages.jobs import plan_of, told

PAGE = Path("docs/by_hand.md").read_text(encoding="utf-8")
TEXT = " ".join(PAGE.split())
NAMES = {"press": "press", "bar": "bar", "mould": "insert"}


def table(name: str) -> Mapping[str, tuple[float, float]]:
    """Operator's and machine's seconds by the words of the line, of the table whose head begins with a name."""
    lines = PAGE.split(f"| {name} | operator s | machine s |\n")[1].splitlines()[1:]
    rows = (line.strip("|").split("|") for line in lines[: lines.index("")])
    return {words.strip(): (float(operator), float(machine)) for words, operator, machine in rows}


@pytest.mark.parametrize("name", NAMES)
def test_the_lines_add_up_to_what_stands_below_them(name: str) -> None:
    """Each column on its own."""
    rows = table(name)
    *others, last = rows.values()

    assert "together" in rows
    assert last == tuple(sum(column) for column in zip(*others, strict=True))


@pytest.mark.parametrize("name", NAMES)
def test_the_sums_are_those_of_the_program(name: str) -> None:
    """The operator's work on a load with its ways; and the machine's run with what it stands for."""
    made = today(NAMES[name])
    (timed,) = made.plan.timing.operations

    assert table(name)["together"] == pytest.approx(
        (made.value(timed.work), made.value(timed.whole_run) + made.value(timed.gap))
    )


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("press", "6 s, 600 parts an hour"),
        ("press", "finds 5 s and promises 720, a fifth too many"),
        ("bar", "2315 s for 44 parts of one machine, 52.6 s a part"),
        ("bar", "432 s of 2315 s, 19 %"),
        ("bar", "2315 / 216 = 10.7 of them"),
        ("mould", "60 s for 4 parts, 240 an hour"),
        ("mould", "each shot waits 6 s"),
        ("mould", "make the round 90 s, and each shot would wait 36 s"),
    ],
)
def test_the_figures_of_the_text_follow_from_the_tables(name: str, words: str) -> None:
    """Each stands on the page, and comes out of the sums."""
    work_s, machine_s = table(name)["together"]
    period_s, loads, parts, _ = BY_HAND[NAMES[name]]
    follows = {
        "press": [f"{work_s:g} s, {3600 / work_s:g} parts an hour", f"finds {machine_s:g} s and promises 720, a fifth"],
        "bar": [
            f"{machine_s:g} s for {parts:g} parts of one machine, {machine_s / parts:.1f} s a part",
            f"{2 * work_s:g} s of {machine_s:g} s, {2 * work_s / machine_s:.0%}".replace("%", " %"),
            f"{machine_s:g} / {work_s:g} = {machine_s / work_s:.1f} of them",
        ],
        "mould": [
            f"{period_s:g} s for {loads * parts:g} parts, {3600 / period_s * loads * parts:g} an hour",
            f"each shot waits {2 * work_s - machine_s:g} s",
            f"make the round {3 * work_s:g} s, and each shot would wait {3 * work_s - machine_s:g} s",
        ],
    }[name]

    assert words in TEXT
    assert any(words.startswith(each) for each in follows)


def test_a_third_mould_is_asked_about_before_anything_is_computed() -> None:
    """Two moulds fit; with three for the same operator each part stays too long."""
    three = {"machines.mould.count": 3.0, "people.machines_per_operator": 3.0}

    assert [each.code for each in clashes(inquiry("insert"))] == []
    assert [each.code for each in clashes(told(inquiry("insert"), three))] == ["window_missed"]


def test_the_chart_of_the_press_is_the_one_that_is_printed() -> None:
    """Line by line."""
    command = "today examples/kinds/press.yaml"
    block = PAGE.split(f"    $ millhand {command}\n\n")[1].split("\n\n")[0]
    printed = CliRunner().invoke(group, command.split()).stdout

    assert "\n".join(line.removeprefix("    ") for line in block.splitlines()) in printed


def test_no_second_press_wins_back_what_holds_the_hands() -> None:
    """Two presses for the operator: still a load each 6 s of his work and his ways, none sooner."""
    two = plan_of(told(inquiry("press"), {"machines.stamp.count": 2.0, "people.machines_per_operator": 2.0}), "today")

    assert two.value(two.plan.timing.operations[0].work) >= 6.0
