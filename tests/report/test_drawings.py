"""Drawings of a placed cell: what is in them, where, and that the file for other programs holds the same."""

import dataclasses
import io
from functools import cache
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf.audit import Auditor

from millhand.report.cycle import cell_of, cycles
from millhand.report.drawing import LAYERS, Circle, Line, Thing, Words, extent, fitted, layers_of, moved, rectangle
from millhand.report.drawing_dxf import drawing_dxf
from millhand.report.drawing_sheet import sheet_things
from millhand.report.drawing_svg import drawing_svg, scale_of
from millhand.report.drawings import drawings
from millhand.report.marks import marks_of
from millhand.report.placed import views
from millhand.report.plan_view import Plan, plan_things
from millhand.report.side_view import side_things
from tests.report.fixture_placed import DOORS, PIECES
from tests.report.fixture_study import ARM, study

SVG = "{http://www.w3.org/2000/svg}"


@cache
def plan(letters: float = 0.1) -> Plan:
    """The fixture study's cell, ready to be drawn."""
    cell = cell_of(study())
    assert cell is not None
    assert cell.layout is not None
    assert cell.layout.drawn is not None
    return Plan(drawn=cell.layout.drawn, marks=marks_of(study()), letters=letters)


@cache
def files() -> dict[str, bytes]:
    """The drawings of the fixture study."""
    return drawings(study())


def read_back() -> Any:
    """The exchange file as its library reads it."""
    return ezdxf.read(io.StringIO(files()[f"drawings/{ARM}.dxf"].decode()))


def of(things: tuple[Thing, ...], layer: str) -> list[Line]:
    """The lines of one layer."""
    return [each for each in things if isinstance(each, Line) and each.layer == layer]


def box(line: Line) -> tuple[float, float, float, float]:
    """Middle and sides of a rectangle."""
    low_x, low_y, high_x, high_y = extent([line])
    return (low_x + high_x) / 2.0, (low_y + high_y) / 2.0, high_x - low_x, high_y - low_y


def test_the_plan_shows_each_piece_where_it_stands() -> None:
    """Machines, fence, arm and the standing part of the presenter, each by middle and sides."""
    things = plan_things(plan())
    boxes = {layer: [box(each) for each in of(things, layer)] for layer in ("machines", "fence", "arm", "stands")}

    assert boxes["machines"] == [pytest.approx(PIECES[name][:4]) for name in ("machine_1", "machine_2")]
    assert boxes["fence"] == [pytest.approx(PIECES["fence"][:4])]
    assert boxes["arm"] == [pytest.approx(PIECES["arm"][:4])]
    assert boxes["stands"] == [pytest.approx(PIECES["presenter stand"][:4])]


def test_a_door_lies_in_its_plane_and_the_load_position_behind_it() -> None:
    """A door that looks south has its machine to the north."""
    things = plan_things(plan())

    doors = sorted(each.points for each in of(things, "doors"))
    assert [sorted(x for x, _ in points) for points in doors] == [pytest.approx([x - 0.4, x + 0.4]) for x in DOORS]
    assert {y for points in doors for _, y in points} == {0.0}
    assert [box(each)[1] for each in of(things, "load positions")] == pytest.approx([0.55] * 4)


def test_the_reach_is_a_circle_round_the_foot() -> None:
    """As far as the catalogue says."""
    (circle,) = [each for each in plan_things(plan()) if isinstance(each, Circle) and each.layer == "reach"]

    assert circle.at == (PIECES["arm"][0], PIECES["arm"][1])
    assert circle.radius == 1.8


def test_without_a_fence_the_kept_floor_is_drawn_round_each_new_piece() -> None:
    """Half the margin to each side, as the floor's formula counts it."""
    drawn = plan().drawn
    without = dataclasses.replace(drawn, pieces=tuple(each for each in drawn.pieces if each.name != "fence"))
    things = plan_things(dataclasses.replace(plan(), drawn=without))

    sides = [box(each)[2:] for each in of(things, "kept floor")]
    assert sides == [pytest.approx((2.0, 1.7)), pytest.approx((1.1, 1.1))]
    assert not of(things, "fence")


def test_the_side_shows_the_heights_that_the_study_holds() -> None:
    """Every height once, in mm, none over another, with its line beginning at its real height."""
    things = side_things(plan())
    texts = [each.text.replace("\u202f", " ") for each in things if isinstance(each, Words)]
    columns = [each for each in things if isinstance(each, Words) and each.anchor == "start"]
    lows = sorted(each.at[1] for each in columns)

    assert {"top of the door 1 550 mm", "load position 1 050 mm", "sill of the door 750 mm"} <= set(texts)
    assert {"shoulder of the arm 1 200 mm", "foot of the arm 700 mm", "presenter, top 1 100 mm"} <= set(texts)
    assert all(high - low >= 0.1 for low, high in pairwise(lows))
    assert sorted(each.points[0][1] for each in of(things, "heights")) == [0.7, 0.75, 1.05, 1.1, 1.2, 1.55]


def test_the_side_has_machine_and_floor_before_it_on_their_sides() -> None:
    """Behind the door plane x is below nought; the foot stands as far before it as in the plan."""
    things = side_things(plan())

    assert all(x <= 0.0 for each in of(things, "machines") for x, _ in each.points)
    assert {round(box(each)[0], 9) for each in of(things, "arm")} == {-PIECES["arm"][1]}


def test_words_are_left_out_where_they_do_not_fit() -> None:
    """Level where there is room, turned in a narrow upright piece, else not at all."""
    assert [each.turned for each in fitted("presenter", (0.0, 0.0), (2.0, 1.0), 0.1)] == [False]
    assert [each.turned for each in fitted("presenter", (0.0, 0.0), (0.3, 1.0), 0.1)] == [True]
    assert list(fitted("presenter", (0.0, 0.0), (0.3, 0.3), 0.1)) == []


def test_moved_things_keep_their_size() -> None:
    """Lines, circles and words alike."""
    things = sheet_things_of()
    low_x, low_y, high_x, high_y = extent(things)

    assert extent([moved(each, 2.0, -1.0) for each in things]) == pytest.approx(
        (low_x + 2.0, low_y - 1.0, high_x + 2.0, high_y - 1.0)
    )


def sheet_things_of() -> tuple[Thing, ...]:
    """The whole sheet of the fixture study's cell."""
    cell = cell_of(study())
    assert cell is not None
    return sheet_things(cell, marks_of(study()))


def test_no_words_of_a_sheet_lie_over_others() -> None:
    """By about how long they are."""
    words = [extent([each]) for each in sheet_things_of() if isinstance(each, Words)]

    for number, one in enumerate(words):
        for other in words[number + 1 :]:
            across = min(one[2], other[2]) - max(one[0], other[0])
            along = min(one[3], other[3]) - max(one[1], other[1])
            assert min(across, along) <= 0.0, (one, other)


def test_every_layer_that_is_drawn_has_words_and_an_order() -> None:
    """A layer that nobody named would be drawn nowhere."""
    assert {each.layer for each in sheet_things_of()} <= set(LAYERS)
    assert layers_of(sheet_things_of()) == tuple(name for name in LAYERS if name in layers_of(sheet_things_of()))


def test_a_picture_is_as_wide_as_its_room_and_no_larger_than_reads_well() -> None:
    """A small thing stays small, a long one is made to fit."""
    small, long = [rectangle("machines", (0.0, 0.0), (1.0, 1.0))], [rectangle("machines", (0.0, 0.0), (40.0, 1.0))]

    assert scale_of(small, 680) == 125.0
    assert 'viewBox="0 0 137 137"' in drawing_svg(small, width=680, title="x")
    assert 'viewBox="0 0 680 ' in drawing_svg(long, width=680, title="x")


def test_both_pictures_of_the_page_stand_in_two_widths() -> None:
    """Plan and side, each with a title for those who cannot see it."""
    made = views(cell_of(study()), marks_of(study()))

    assert made is not None
    for picture in (made.plan, made.side):
        for svg in (picture.wide, picture.narrow):
            root = ElementTree.fromstring(svg)
            assert root.get("role") == "img"
            assert root.get("aria-label")
    assert float(ElementTree.fromstring(made.plan.narrow).get("width", "")) <= 340.0


def test_the_sheet_is_a_picture_that_stands_alone() -> None:
    """Well-formed, with its own colours and fillings, and every mark of the list in it."""
    root = ElementTree.fromstring(files()[f"drawings/{ARM}.svg"])
    words = {(each.text or "").replace("\u202f", " ") for each in root.iter(f"{SVG}text")}

    assert {"Door of machine 1", "Presenter: what stands high", "4 050", "3 650", "\u22121 650"} <= words
    assert root.find(f"{SVG}style") is not None
    assert {each.get("id") for each in root.iter(f"{SVG}pattern")} == {"plan-people", "plan-stands"}


def test_the_exchange_file_is_sound_and_says_its_unit() -> None:
    """No error and nothing to mend when it is read back; millimetres."""
    document = read_back()
    auditor: Auditor = document.audit()

    assert auditor.errors == []
    assert auditor.fixes == []
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1


def test_the_exchange_file_has_the_machines_at_their_coordinates() -> None:
    """In mm from the middle of the first door, on a layer of their name; the side lies beside the plan."""
    shapes = [
        [(round(x, 3), round(y, 3)) for x, y in each.get_points("xy")]
        for each in read_back().modelspace().query('LWPOLYLINE[layer=="machines"]')
        if each.closed
    ]

    assert [(-1200, 0), (1200, 0), (1200, 2200), (-1200, 2200)] in shapes
    assert [(1500, 0), (3900, 0), (3900, 2200), (1500, 2200)] in shapes


def test_the_exchange_file_holds_what_the_picture_holds() -> None:
    """As many things on each layer: both come from one list."""
    things = sheet_things_of()
    space = read_back().modelspace()

    for layer in layers_of(things):
        assert len(space.query(f'*[layer=="{layer}"]')) == sum(each.layer == layer for each in things), layer


def test_two_runs_give_the_same_bytes() -> None:
    """Neither clock nor chance goes into a drawing, whatever the library would do by itself."""
    assert drawings(study.__wrapped__()) == files()
    assert b"2000-01-01" not in files()[f"drawings/{ARM}.svg"]
    assert ezdxf.options.write_fixed_meta_data_for_testing is False


def test_signs_that_many_programs_lack_are_written_plainly() -> None:
    """No narrow space and no real minus in the exchange file."""
    text = drawing_dxf([Words(layer="words", at=(0.0, 0.0), text="\u22121\u202f650", height=0.1)])

    assert "-1 650" in text
    assert text.isascii()


def test_only_cells_that_can_work_and_stand_somewhere_are_drawn() -> None:
    """Two files for the one cell, none for what is done by hand or fell."""
    assert sorted(files()) == [f"drawings/{ARM}.{form}" for form in ("dxf", "glb", "svg")]


def test_the_cycle_that_is_shown_is_that_of_the_cell() -> None:
    """The winner's, element by element; people's work has none."""
    cell = cell_of(study())

    assert cell is not None
    assert cell.concept.id == ARM
    (cycle,) = cycles(cell)
    assert [each.name for each in cycle.standing] == ["door opens", "way in", "jaws open", "door closes"]
    assert [each.name for each in cycle.alone] == ["at presenter and outfeed", "ways"]
    assert not list(cycles(study().results[0]))
