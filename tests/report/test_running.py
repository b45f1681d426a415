"""A watched shift as a page and as a file: both say what the run says, and nothing that is internal."""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from millhand.intake.cell import read_cell
from millhand.model.study import Study
from millhand.report.customer import for_customer
from millhand.report.cycle import cell_of
from millhand.report.running import at, lines_at, moment_at, record, running_pages, share_of, still
from millhand.report.running_words import events
from millhand.report.view import clock
from millhand.solvers.played import played
from millhand.stages.shift import Watched, watched_shift
from tests.mapped_mill import TRAYS, mapped

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
pytestmark = pytest.mark.xdist_group("maps")  # the study is worked out once a process


@cache
def watched() -> Watched:
    """One shift of a mill with an arm."""
    cell = cell_of(mapped())
    assert cell is not None
    assert cell.cell is not None
    return watched_shift(mapped().inquiry, cell.cell, mapped().seed)


@cache
def written() -> dict[str, Any]:
    """The file, as a program reads it."""
    found: dict[str, Any] = json.loads(file_of(mapped()))
    return found


def file_of(study: Study) -> str:
    """The file of a study."""
    result = cell_of(study)
    assert result is not None
    return record(watched(), result)


@cache
def pages() -> dict[str, str]:
    """The pages."""
    result = cell_of(mapped())
    assert result is not None
    return running_pages(mapped(), result, watched())


def test_the_file_holds_the_run_that_the_study_counts() -> None:
    """The same cell and seed, times within the span, every state with its words."""
    about, done = written(), watched().played

    assert (about["concept"], about["seed"], about["cell"]) == (TRAYS, mapped().seed, done.cell)
    assert about["end_s"] - about["start_s"] == done.end_s - done.start_s
    assert about["out"][-1][1:] == [*done.out[-1][1]]
    for kind in ("station", "attendant"):
        for owner in about[f"{kind}s"]:
            assert {name for _, name in owner["states"]} <= set(about["words"]["states"][kind])
    assert [each[0] for each in about["events"]] == sorted(each[0] for each in about["events"])
    assert 0.0 <= about["events"][0][0] <= about["events"][-1][0] < about["end_s"] - about["start_s"]


def test_parts_that_leave_a_place_are_in_hand_or_at_another() -> None:
    """At every moment of the file: what the presenter has lost is in hands, in the machine, or has left."""
    about = written()
    stations = {each["name"]: each for each in about["stations"]}
    machine = next(each for each in about["stations"] if each["states"])
    (arm,) = [each for each in about["attendants"] if each["kind"] == "arm"]
    first = next((since for one in about["attendants"] for since, name, _ in one["duties"] if name == "refill"), 1e9)
    moments = [since for since, _ in arm["holds"] if since < first]

    def around(now: float) -> int:
        """Parts that are somewhere, or gone."""
        return int(
            at(stations["presenter"]["parts"], now) + len(at(arm["holds"], now)) + at(machine["parts"], now)
            + at([(since, parts) for since, parts, _ in about["out"]], now)
        )  # fmt: skip

    assert len(moments) > 10
    assert len({around(now) for now in moments}) == 1


def test_the_still_picture_is_the_moment_that_it_names() -> None:
    """State of each machine, level and shares up to then stand in the page as the record has them."""
    done, now = watched().played, still(watched().played)
    page = pages()["running"]
    moment = moment_at(done, now)

    assert f"Still picture of {clock(done.start_s + now)}" in page
    for name, (look, _) in moment.looks.items():
        assert re.search(rf'data-now="{name}">.*?url\(#run-{look}\)', page, re.DOTALL)
    for name, count in moment.parts.items():
        assert count in page, name
    assert page.count("data-arm=") == 2  # wide and narrow
    assert moment.hands["arm1"][0] != ""


def test_shares_of_an_owner_add_up_to_all_of_the_time() -> None:
    """Up to any moment."""
    done = watched().played
    for owner in (*(each for each in done.stations if each.states), *done.attendants):
        for now in (60.0, 5000.0, done.end_s - done.start_s):
            assert sum(share_of(owner.states, now).values()) == pytest.approx(1.0, abs=1e-9)


def test_every_event_stands_in_one_of_the_lists() -> None:
    """Each once, in order, leading to its moment."""
    lists = "".join(text for name, text in pages().items() if name != "running")
    leads = re.findall(r'href="running#t=([\d.]+)"', lists)

    assert [float(each) for each in leads] == [each.at_s for each in events(watched().played)]
    assert all(f'href="running-{number}"' in pages()["running"] for number in range(1, len(pages())))


def test_events_are_said_in_words() -> None:
    """No name of a machine, an arm or a duty as it stands in the cell's file."""
    said = {each.words for each in events(watched().played)}

    assert any("takes a part from presenter" in each for each in said)
    assert any("operator begins: refill, presenter" in each for each in said)
    assert not [each for each in said if "_" in each or "arm1" in each or "tender" in each]


def test_a_customer_sees_the_same_shift() -> None:
    """Nothing of it is internal: the file is the same, and so is what the pages say."""
    theirs = for_customer(mapped())
    result = cell_of(theirs)

    assert result is not None
    assert running_pages(theirs, result, watched()) == pages()
    assert file_of(theirs) == file_of(mapped())
    assert not re.search(r"margin|internal", " ".join(pages().values()))


def test_a_page_is_light() -> None:
    """Well below a megabyte with its record."""
    assert len(pages()["running"]) + len(file_of(mapped())) < 500_000


def test_a_machine_that_waits_is_not_said_to_wait_for_an_arm_that_waits_itself() -> None:
    """In the reference cell one machine is ready while the arm waits at another: the words hold for both."""
    done = played(read_cell(EXAMPLES / "cells" / "reference_cell.json"), start_s=1200.0, end_s=1500.0, seed=1)
    arm = next(each for each in done.attendants if each.kind == "arm")
    machine = next(each for each in done.stations if each.name == "m2")
    both = [
        now / 2.0 for now in range(600)
        if (at(machine.states, now / 2.0), at(arm.states, now / 2.0)) == ("waiting_attendant", "waiting_station")
    ]  # fmt: skip

    assert both
    said = {name: words for name, _, words, _ in lines_at(done, both[0])}
    assert said["m2"] == "ready, waits to be loaded or unloaded"
    assert said[arm.name] == "waits for a machine"
