"""The drawing of a cycle: every word inside the sheet, lines told apart without colour, the distance to be kept."""

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from millhand.cli.schedule_svg import LETTER, chart_svg, frame_of
from millhand.cli.schedule_svg_track import DASHES, EMPTY, LOADED
from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.lanes import Lane, Stretch
from millhand.solvers.cycle.simple import schedule
from tests.cli.test_schedule_chart import LONG, long_names
from tests.solvers.cycle.two_arms import two_arms

CELLS = Path("examples/cells")
SVG = "{http://www.w3.org/2000/svg}"


def drawing(cell: Cell, plan: Schedule) -> ElementTree.Element:
    """The drawing, read again."""
    return ElementTree.fromstring(chart_svg(plan, title=cell.name, cell=cell))


def of_example(name: str) -> ElementTree.Element:
    """The drawing of an example's cycle."""
    cell = read_cell(CELLS / f"{name}.json")
    return drawing(cell, schedule(cell))


def texts(tree: ElementTree.Element) -> list[ElementTree.Element]:
    """All words that are drawn."""
    return list(tree.iter(f"{SVG}text"))


def ends(text: ElementTree.Element) -> tuple[float, float]:
    """About how far a word reaches to the left and to the right."""
    wide, x = LETTER * len(text.text or "") * 0.93, float(text.get("x", "0"))
    return {"end": (x - wide, x), "middle": (x - wide / 2, x + wide / 2)}.get(
        text.get("text-anchor", ""), (x, x + wide)
    )


@pytest.mark.parametrize(
    "name", ["phillips_unger_1976", "turn_wash_and_gauge", "three_machines_on_a_track", "one_operator_two_mills"]
)
def test_no_word_is_cut_off(name: str) -> None:
    """Each lies inside the sheet."""
    tree = of_example(name)
    wide = float(tree.get("viewBox", "").split()[2])

    assert all(left >= 0 and right <= wide for left, right in map(ends, texts(tree)))


def test_long_names_make_room_for_themselves(tmp_path: Path) -> None:
    """The longest name there may be stands in full, left of the lanes."""
    cell = long_names(tmp_path)
    tree = drawing(cell, schedule(cell))
    name = next(text for text in texts(tree) if text.text == LONG)
    lane = min(float(each.get("x", "0")) for each in tree.iter(f"{SVG}rect") if each.get("height") == "22")

    assert ends(name)[0] >= 0
    assert ends(name)[1] < lane


def test_a_long_title_is_broken_into_lines() -> None:
    """Nothing of it is lost."""
    title = "a cell with a name that goes on and on " * 6
    cell = read_cell(CELLS / "three_machines_on_a_track.json")
    tree = ElementTree.fromstring(chart_svg(schedule(cell), title=title, cell=cell))
    bold = [text.text or "" for text in texts(tree) if text.get("font-weight") == "bold" and text.get("x") == "12"]

    assert len(bold) > 2
    assert " ".join(bold).startswith(title.strip())


def test_many_visits_get_a_wider_sheet() -> None:
    """A hundred visits of one attendant ask for more than the usual width; a dozen do not."""
    cell = read_cell(CELLS / "three_machines_on_a_track.json")
    plan = schedule(cell)

    def wide(visits: int) -> float:
        hands = tuple(Stretch(state="handling", start=at, end=at + 1) for at in range(visits))
        return frame_of(plan, [Lane(name="arm", owner="attendant", stretches=hands)], []).wide

    assert wide(100) >= 100 * 12
    assert wide(12) == wide(6) < 1000


def test_arms_on_a_track_are_told_apart_by_their_dashes_and_loads_by_their_width() -> None:
    """The left arm's line is whole, the right one's dashed; each is thick while it carries something."""
    cell, plan = two_arms()
    lines = list(drawing(cell, plan).iter(f"{SVG}polyline"))

    assert {line.get("stroke-dasharray") for line in lines} == {None, DASHES[1]}
    assert {line.get("stroke-width") for line in lines} == {str(EMPTY), str(LOADED)}


def test_the_distance_to_be_kept_is_drawn_as_a_band_and_the_nearest_approach_is_told() -> None:
    """Half of 1.5 m on each side of each line; the arms come as near as 2 m."""
    cell, plan = two_arms()
    tree = drawing(cell, plan)
    words = [text.text or "" for text in texts(tree)]
    bands = list(tree.iter(f"{SVG}polygon"))
    levels = {text.text: float(text.get("y", "0")) for text in texts(tree) if text.get("font-size") == "12"}
    metre = (levels["infeed 0"] - levels["p4 12"]) / 12

    assert "nearest: 2 m at 16.3 s" in words
    assert len(bands) == 2
    first = [tuple(map(float, point.split(","))) for point in (bands[0].get("points") or "").split()]
    assert first[-1][1] - first[0][1] == pytest.approx(1.5 * metre, abs=0.02)


def test_the_cut_at_the_end_of_the_cycle_is_shown_and_explained() -> None:
    """An arrow for each stretch on each side, and words for them."""
    cell = read_cell(CELLS / "three_machines_on_a_track.json")
    text = chart_svg(schedule(cell), title=cell.name, cell=cell)

    assert "goes on in the next cycle" in text
    assert len(re.findall(r"l-5 6l5 6z", text)) == 3


def test_stations_say_which_type_they_work_on_where_there_are_several() -> None:
    """m2 works on another type than m1: both are named on their lanes; with one type none is."""
    cell = read_cell(CELLS / "one_operator_two_mills.json")
    plan = schedule(cell)
    events = tuple(replace(each, part="shaft") if each.station == "mill2" else each for each in plan.events)
    words = {text.text for text in texts(drawing(cell, replace(plan, events=events)))}

    assert {"shaft", "bracket"} <= words
    assert not {"shaft", "bracket"} & {text.text for text in texts(drawing(cell, plan))}


def test_the_same_schedule_gives_the_same_bytes() -> None:
    """Twice the same text."""
    cell, plan = two_arms()

    assert chart_svg(plan, title="x", cell=cell) == chart_svg(plan, title="x", cell=cell)
