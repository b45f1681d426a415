"""docs/by_hand.md is a contract: its elements make both cells, its sums hold, its commands print what stands below."""

import json
from pathlib import Path
from typing import Any

import pytest

from millhand.formulas.worker_machine import ideal_machines, operator_idle_share, servicing_cycle_s
from tests.cli.pages import printed, shown

PAGE = Path("docs/by_hand.md").read_text(encoding="utf-8")
SHOWN = shown(PAGE)
MINUTES = (2, 6)


def rows_under(heading: str) -> list[list[str]]:
    """The lines of the first table under a heading, without its head, cell by cell."""
    section = PAGE.split(f"## {heading}\n")[1].split("\n## ")[0]
    lines = [line for line in section.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


ELEMENTS = rows_under("The elements")
LOAD_S = sum(float(row[1]) for row in ELEMENTS if row[3] == "both")
AWAY_S = sum(float(row[1]) for row in ELEMENTS if row[3] == "operator")


def cell_of(minutes: int) -> dict[str, Any]:
    """The cell file that the page names for so many minutes of machining."""
    path = Path(f"examples/cells/two_machines_by_hand_{minutes}_min.json")
    read: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return read


def figures(minutes: int, machines: int) -> tuple[float, float]:
    """Cycle [s] and parts an hour by the closed form from the elements of the page."""
    cycle_s = servicing_cycle_s(LOAD_S, machining_s=60.0 * minutes, walk_s=AWAY_S, machines=machines)
    return cycle_s, 3600.0 * machines / cycle_s


@pytest.mark.parametrize("minutes", MINUTES)
def test_the_elements_of_the_page_are_those_of_the_cell(minutes: int) -> None:
    """Loading is the exchange at the machine, element by element; the rest is walking and handling at the rack."""
    cell = cell_of(minutes)
    done, raw, machines = cell["handling"]
    walk = cell["moves"]["walk"]["empty_s"]

    assert [[name, seconds] for name, seconds, _ in machines["elements"]] == [
        [row[0], int(row[1])] for row in ELEMENTS if row[3] == "both"
    ]
    assert machines["swap"]["hold_s"] == LOAD_S
    for machine in (1, 2):
        assert walk[machine][0] + done["place"]["hold_s"] + raw["pick"]["hold_s"] + walk[0][machine] == AWAY_S
    assert cell["parts"]["part"]["route"][1]["time_s"] == 60 * minutes


def test_the_cells_differ_in_machining_only() -> None:
    """Name and machining time apart the two files are one."""
    two, six = (cell_of(minutes) for minutes in MINUTES)
    for cell in (two, six):
        del cell["name"], cell["parts"]["part"]["route"][1]["time_s"]
    assert two == six


def test_both_cells_are_shown_with_what_would_change() -> None:
    """Two commands, one a file, each with a full answer."""
    assert [command.split()[1:] for command, _ in SHOWN] == [
        [f"examples/cells/two_machines_by_hand_{minutes}_min.json", "--what-if"] for minutes in MINUTES
    ]
    assert all(len(answer.splitlines()) > 30 for _, answer in SHOWN)


@pytest.mark.parametrize(("command", "answer"), SHOWN, ids=[command for command, _ in SHOWN])
def test_the_page_shows_what_the_program_prints(command: str, answer: str) -> None:
    """Line by line."""
    assert printed(command) == answer.splitlines()


@pytest.mark.parametrize(("minutes", "answer"), list(zip(MINUTES, (answer for _, answer in SHOWN), strict=True)))
def test_the_closed_form_and_the_best_cycle_agree(minutes: int, answer: str) -> None:
    """Period, rate, the operator's seconds and the rate with a third machine are those of the formula."""
    cycle_s, rate = figures(minutes, 2)

    assert f"period           {cycle_s:g} s for 2 parts" in answer
    assert f"parts per hour   {round(rate, 3):g} while" in answer
    assert f"operator at {2 * (LOAD_S + AWAY_S):g} s" in answer
    third = next(line for line in answer.splitlines() if "one machine more" in line)
    assert third.split()[-4] == f"{figures(minutes, 3)[1]:.1f}"


@pytest.mark.parametrize(("column", "minutes"), list(enumerate(MINUTES, start=1)))
def test_the_sums_of_the_page_hold(column: int, minutes: int) -> None:
    """What the tables say of cycle, rate, share, idle time and number of machines follows from the elements."""
    two, three = ([row[column] for row in rows_under(name)] for name in ("Cycle by the closed form", "A third machine"))
    cycle_s, rate = figures(minutes, 2)
    idle = operator_idle_share(LOAD_S, machining_s=60.0 * minutes, walk_s=AWAY_S, machines=2)
    able = ideal_machines(LOAD_S, machining_s=60.0 * minutes, walk_s=AWAY_S)

    assert two[2].startswith(f"{cycle_s:g} s, ")
    assert two[3] == f"{round(rate, 3):g}"
    assert two[4].endswith(f" = {100 * (1 - idle):.0f} %")
    assert two[5] == f"{idle * cycle_s:.0f} s"
    assert two[6].endswith(f" = {round(able, 3):g}")
    longer_s, more = figures(minutes, 3)
    assert three[2].startswith(f"{longer_s:g} s, ")
    assert three[3] == f"{more:.1f}, {100 * (more / rate - 1):.0f} % more"
    assert three[5] == f"{longer_s - LOAD_S - 60 * minutes:.0f} s"
    assert three[6].startswith(f"{longer_s - 3 * (LOAD_S + AWAY_S):.0f} s")


@pytest.mark.parametrize(("column", "minutes"), [(0, 2), (2, 6)])
def test_the_round_on_paper_can_be_done(column: int, minutes: int) -> None:
    """Its lines join, each does what it takes, each machine works for its machining, and the waits are those told."""
    cycle_s = figures(minutes, 2)[0]
    rows = [(float(row[column]), float(row[column + 1]), *row[4:]) for row in rows_under("The round on paper")]
    spent = {"loads 1": LOAD_S, "loads 2": LOAD_S, "rack": AWAY_S}
    waits = [end - start for start, end, doing, *_ in rows if doing == "waits"]

    assert [row[0] for row in rows] == [0.0, *(row[1] for row in rows[:-1])]
    assert rows[-1][1] == cycle_s
    assert all(end - start == spent[doing] for start, end, doing, *_ in rows if doing in spent)
    for machine in (3, 4):
        assert sum(float(row[1]) - float(row[0]) for row in rows if row[machine] == "works") == 60 * minutes
    assert len(set(waits)) == 1
    assert f"waits {waits[0]:g} s at a stretch" in PAGE


@pytest.mark.parametrize("minutes", MINUTES)
def test_the_second_machine_may_start_when_the_page_says(minutes: int) -> None:
    """From the end of the operator's work for one machine to that work before the cycle's end."""
    work_s = LOAD_S + AWAY_S
    text = " ".join(PAGE.split())

    assert f"from {work_s:g} s to {figures(minutes, 2)[0] - work_s:g} s after the first" in text
