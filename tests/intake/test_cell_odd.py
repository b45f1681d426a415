"""Positions on a track against its travel times, and an arm that nobody put on the track on which it runs."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from millhand.intake.cell import cell_from, read_cell
from millhand.intake.cell_odd import cell_oddities

EXAMPLES = Path("examples/cells")


def hoists() -> dict[str, Any]:
    """Two arms on one track, with the axis written out as a table of times."""
    data: dict[str, Any] = json.loads((EXAMPLES / "two_arms_on_a_track.json").read_text(encoding="utf-8"))
    table = cell_from(copy.deepcopy(data)).moves["track"]
    data["moves"] = {"track": {"places": list(table.places), "empty_s": [list(row) for row in table.empty_s]}}
    return data


def codes(data: dict[str, Any]) -> list[str]:
    """What is odd, by code."""
    return [each.code for each in cell_oddities(cell_from(data))]


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_no_example_is_odd(path: Path) -> None:
    """Published instances among them, whose tables hold more than the way along the track."""
    assert not cell_oddities(read_cell(path))


def test_places_and_times_that_agree_are_not_odd() -> None:
    """The table is the one that speed and positions give."""
    assert not codes(hoists())


@pytest.mark.parametrize(("seconds", "said"), [(0.1, "120 m/s"), (0.0, "takes no time")])
def test_a_way_faster_than_anything_runs_is_odd(seconds: float, said: str) -> None:
    """12 m in a tenth of a second, or at once: a position in millimetres, or a slip in the table."""
    data = hoists()
    at = [data["moves"]["track"]["places"].index(place) for place in ("infeed", "p4")]
    data["moves"]["track"]["empty_s"][at[0]][at[1]] = seconds

    assert codes(data) == ["track_against_times"]
    assert said in cell_oddities(cell_from(data))[0].sentence
    data["tracks"]["overhead"]["rule"] = "order"  # metres do not count there, but the order of places does
    assert "takes" in cell_oddities(cell_from(data))[0].words
    assert "m/s" not in cell_oddities(cell_from(data))[0].words


def test_a_place_at_the_wrong_metre_is_odd() -> None:
    """p3 noted at 1 m instead of 9 m: others beyond it are reached sooner, at speeds that are possible."""
    data = hoists()
    data["places"]["p3"]["track_m"] = 1.0

    found = cell_oddities(cell_from(data))
    assert [each.code for each in found] == ["track_against_times"]
    assert found[0].where == "/moves/track/empty_s"
    assert "'p3' at 1 m" in found[0].words


def test_an_arm_that_was_left_off_its_track_is_odd() -> None:
    """All its places lie there; an operator who walks along it is not."""
    data = hoists()
    data["tracks"]["overhead"]["attendants"] = ["left"]

    found = cell_oddities(cell_from(data))
    assert [each.code for each in found] == ["left_off_track"]
    assert "'right'" in found[0].words
    data["attendants"]["right"]["kind"] = "operator"
    assert not codes(data)
