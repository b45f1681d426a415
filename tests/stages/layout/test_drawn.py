"""What a drawing is made from: the fence of the floor's formula, doors, people's side, all from one origin."""

import re
from functools import cache
from pathlib import Path

import pytest

from millhand.intake.inquiry import read_inquiry
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Drawn, Layout, Spot
from millhand.road import visited
from millhand.stages.concepts import concepts
from millhand.stages.layout import layout
from millhand.trace import Sheet
from tests.stages.shop import catalogue, concept, placed, shop

FENCED = "drawers-pedestal-fenced_20-parallel_double-fence"
TRACK = "trays-floor_track-fenced_20-parallel_double-fence"
WORKED = "drawers-pedestal-force_limited_25-parallel_single-scanner"
OPEN = "trays-pedestal-force_limited_25-parallel_double-scanner"


@cache
def laid(name: str) -> tuple[Layout, Sheet]:
    """A layout in the shop, and its sheet."""
    return of_shop(name, shop())


def of_shop(name: str, of: Inquiry) -> tuple[Layout, Sheet]:
    """A layout in some shop."""
    sheet = Sheet()
    return layout(of, concept(name, of), catalogue(), sheet), sheet


def drawn(found: Layout) -> Drawn:
    """What is drawn of it."""
    assert found.drawn is not None
    return found.drawn


def box(sheet: Sheet, spot: Spot) -> tuple[float, float, float, float]:
    """West, south, east, north."""
    x, y, w, d = (sheet.value(each) for each in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m))
    return x - w / 2.0, y - d / 2.0, x + w / 2.0, y + d / 2.0


def overlap(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """How far two boxes overlap in the way in which they overlap least; below nought they are apart."""
    return min(min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1]))


@pytest.mark.parametrize("name", [FENCED, TRACK])
def test_the_fence_is_the_rectangle_that_the_floor_is_counted_from(name: str) -> None:
    """Width times depth is the whole from which what the fence leaves out is taken, on a track too."""
    found, sheet = laid(name)
    (fence,) = [each for each in drawn(found).pieces if each.name == "fence"]
    whole = sheet.value(dict(sheet[found.floor_area].inputs)["whole_m2"])

    assert sheet.value(fence.width_m) * sheet.value(fence.depth_m) == pytest.approx(whole)
    assert sheet.value(found.floor_area) < whole


def test_without_a_fence_none_is_drawn() -> None:
    """A scanner keeps floor free and encloses nothing."""
    found, sheet = laid(OPEN)

    assert "fence" not in {each.name for each in drawn(found).pieces}
    assert sheet.value(drawn(found).margin) > 0.0


def test_a_track_is_called_one_and_its_foot_stops_at_every_machine() -> None:
    """Each stop lies on the track."""
    found, sheet = laid(TRACK)
    (track,) = [each for each in drawn(found).pieces if each.name == "track"]
    west, south, east, north = box(sheet, track)

    assert {foot.place for foot in drawn(found).feet} >= {"machine_1", "machine_2", "presenter"}
    for foot in drawn(found).feet:
        assert west <= sheet.value(foot.x_m) <= east
        assert south <= sheet.value(foot.y_m) <= north


def test_of_drawers_what_stands_lies_within_the_whole_and_people_stand_on_its_side() -> None:
    """The part that comes out looks to the other side."""
    found, sheet = laid(FENCED)
    pieces = {each.name: box(sheet, each) for each in drawn(found).pieces}
    whole, stand = pieces["presenter"], pieces["presenter stand"]
    (people,) = [box(sheet, each) for each in drawn(found).people]

    assert overlap(whole, stand) == pytest.approx(min(stand[2] - stand[0], stand[3] - stand[1]))
    assert (stand[2] - stand[0]) * (stand[3] - stand[1]) < (whole[2] - whole[0]) * (whole[3] - whole[1])
    assert overlap(people, stand) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", [FENCED, TRACK, OPEN])
def test_people_stand_where_nothing_else_does(name: str) -> None:
    """Clear of machines, arm or track, and of the pieces themselves."""
    found, sheet = laid(name)
    there = [box(sheet, each) for each in drawn(found).pieces if each.name != "fence"]

    assert drawn(found).people
    for each in drawn(found).people:
        assert all(overlap(box(sheet, each), other) <= 1e-9 for other in there)


def test_all_counts_from_the_middle_of_the_first_door() -> None:
    """The shop's own corner of the floor does not matter: the same cell a few metres on has the same marks."""
    here, there = placed((0.0, 0.0, "south"), (2.8, 0.0, "south")), placed((12.0, 7.0, "south"), (14.8, 7.0, "south"))
    marks = []
    for shop_ in (here, there):
        found, sheet = of_shop(FENCED, shop_)
        first = drawn(found).openings[0]
        assert (sheet.value(first.x_m), sheet.value(first.y_m)) == (0.0, 0.0)
        marks.append({each.name: box(sheet, each) for each in (*drawn(found).pieces, *drawn(found).people)})

    assert marks[0].keys() == marks[1].keys()
    for name, spot in marks[0].items():
        assert marks[1][name] == pytest.approx(spot, abs=1e-6), name


def test_machines_that_stand_closer_than_their_usual_width_are_drawn_narrower() -> None:
    """No two machines overlap in a drawing."""
    found, sheet = of_shop(FENCED, shop(spacing=1.9))
    machines = [box(sheet, each) for each in drawn(found).pieces if each.name.startswith("machine")]

    assert overlap(*machines) <= 0.0
    assert machines[0][2] - machines[0][0] == pytest.approx(1.85)


def test_a_door_has_its_sill_below_the_load_position_and_its_top_above() -> None:
    """By the share of the opening that is assumed."""
    found, sheet = laid(OPEN)
    share = catalogue().figures["sill_share"].value

    for door in drawn(found).openings:
        sill, top, height = (sheet.value(each) for each in (door.sill, door.top, door.height))
        assert sill < height < top
        assert height - sill == pytest.approx(share * (top - sill))


def test_the_shoulder_lies_over_the_foot() -> None:
    """By the shift along the first joint's axis."""
    found, sheet = laid(FENCED)
    up = catalogue().arms["fenced_20"].joints[0].d_m

    assert sheet.value(drawn(found).shoulder) == pytest.approx(sheet.value(drawn(found).foot_height) + up)


def test_the_worked_page_tells_what_comes_out() -> None:
    """docs/layout.md puts the cell of the first example where it stands."""
    cat = catalogue()
    asked = visited(read_inquiry(Path("examples/1_two_mills/inquiry.yaml"), cat.assumptions))
    (way,) = [each for each in concepts(asked, cat) if each.id == WORKED]
    sheet = Sheet()
    found = drawn(layout(asked, way, cat, sheet))
    (arm,) = [each for each in found.pieces if each.name == "arm"]
    first, second = found.openings
    told = {
        "from load position to load position": sheet.value(second.x_m) - sheet.value(first.x_m),
        "before them": -sheet.value(arm.y_m),
        "behind the door": sheet.value(second.depth),
    }
    page = " ".join(Path("docs/layout.md").read_text(encoding="utf-8").split())

    for words, metres in told.items():
        assert re.search(rf"{metres * 1000.0:,.0f} mm {words}".replace(",", " "), page), (words, metres)
    assert found.worst == "machine_1"
