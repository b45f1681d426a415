"""The drawing of an arm that hangs: from above strip, beam and columns, from the side carriage and clear height too."""

import dataclasses

import pytest

from millhand.model.fact import Fact
from millhand.model.layout import Overhead, Spot
from millhand.report.drawing import LAYERS, Line, Thing, Words, layers_of
from millhand.report.drawing_dxf import drawing_dxf
from millhand.report.marks import Marks, marks_of
from millhand.report.placed import ids, layer_words, side_rule, stop_words
from millhand.report.plan_view import Plan, plan_things
from millhand.report.side_view import side_things
from tests.report.fixture_study import study
from tests.report.test_drawings import box, of, plan

HEIGHTS = {"foot": 2.5, "beam_low": 2.8, "beam_top": 3.1, "arm_top": 2.5, "top": 3.1, "ceiling": 4.2, "span": 4.0}
PIECES = {
    "strip under the beam": (1.35, -0.8, 3.4, 0.7),
    "beam": (1.35, -0.8, 4.0, 0.2),
    "column 1": (-0.65, -1.3, 0.25, 0.25),
    "column 2": (3.35, -1.3, 0.25, 0.25),
}


def hanging() -> Plan:
    """The fixture's cell with its arm under a beam."""
    facts = dict(study().facts)

    def m(name: str, value: float) -> str:
        facts[f"test.{name}"] = Fact(id=f"test.{name}", value=value, unit="m", basis="computed", source="test")
        return f"test.{name}"

    def spot(name: str, row: tuple[float, float, float, float]) -> Spot:
        x, y, width, depth = (m(f"{name}.{n}", value) for n, value in enumerate(row))
        return Spot(name=name, x_m=x, y_m=y, width_m=width, depth_m=depth)

    old = plan().drawn
    drawn = dataclasses.replace(
        old,
        pieces=(*(each for each in old.pieces if each.name != "arm"), *(spot(*each) for each in PIECES.items())),
        overhead=Overhead(hangs="arm", **{name: m(name, value) for name, value in HEIGHTS.items()}),
        foot_height=m("foot", 2.5),
        shoulder=m("shoulder", 2.0),
    )
    marks: Marks = marks_of(dataclasses.replace(study(), facts=facts))
    return Plan(drawn=drawn, marks=marks, letters=0.1)


def texts(things: tuple[Thing, ...]) -> set[str]:
    """All words, thin spaces made plain."""
    return {each.text.replace("\u202f", " ") for each in things if isinstance(each, Words)}


def test_the_plan_shows_strip_beam_and_columns_where_they_are() -> None:
    """Each by middle and sides; there is no foot on the floor."""
    things = plan_things(hanging())

    assert [box(each) for each in of(things, "track")] == [pytest.approx(PIECES["strip under the beam"])]
    assert [box(each) for each in of(things, "beam")] == [pytest.approx(PIECES["beam"])]
    assert [box(each) for each in of(things, "columns")] == [
        pytest.approx(PIECES[name]) for name in ("column 1", "column 2")
    ]
    assert not of(things, "arm")


def test_the_side_hangs_the_arm_from_the_beam() -> None:
    """Carriage from the foot up to the beam, shoulder below, clear height over it, a column beside it."""
    things = side_things(hanging())
    arms = sorted((box(each)[1] - box(each)[3] / 2.0, box(each)[1] + box(each)[3] / 2.0) for each in of(things, "arm"))
    (beam,) = of(things, "beam")
    column = max(of(things, "columns"), key=lambda each: box(each)[2])

    assert arms == [pytest.approx((2.0, 2.5)), pytest.approx((2.5, 2.8))]
    assert (box(beam)[1] - box(beam)[3] / 2.0, box(beam)[1] + box(beam)[3] / 2.0) == pytest.approx((2.8, 3.1))
    assert {y for each in of(things, "ceiling") for _, y in each.points} == {4.2}
    assert max(y for _, y in column.points) == pytest.approx(2.8)
    assert {"the arm hangs from 2 500 mm", "top of the beam 3 100 mm", "clear height 4 200 mm"} <= texts(things)
    assert "foot of the arm 700 mm" not in texts(things)


def test_the_column_stands_as_far_before_the_door_as_in_the_plan() -> None:
    """1.3 m before the plane of the door, a quarter of a metre wide."""
    upright = [each for each in of(side_things(hanging()), "columns") if each.closed]

    assert [box(each) for each in upright] == [pytest.approx((1.3, 1.4, 0.25, 2.8))]


def test_its_layers_have_words_and_go_into_the_file() -> None:
    """Columns, beam and clear height are layers with names, in both pictures and in the exchange file."""
    things = (*plan_things(hanging()), *side_things(hanging()))
    new = {"columns", "beam", "ceiling"}

    assert new <= set(layers_of(things)) <= set(LAYERS)
    text = drawing_dxf(things)
    assert all(f"\n{name}\n" in text for name in new)


def test_the_page_knows_every_height_that_is_drawn() -> None:
    """The facts behind the picture hold those of the beam."""
    drawn = hanging().drawn
    assert drawn.overhead is not None

    assert {drawn.overhead.beam_low, drawn.overhead.beam_top, drawn.overhead.ceiling} <= set(ids(drawn))
    assert isinstance(of(plan_things(hanging()), "beam")[0], Line)


def with_ram() -> Plan:
    """The same beam with a loader's ram under it, drawn up to three metres and a half."""
    hung = hanging()
    assert hung.drawn.overhead is not None
    facts = {
        **hung.marks.facts,
        "test.end": dataclasses.replace(hung.marks.facts["test.top"], id="test.end", value=3.5),
    }
    over = dataclasses.replace(hung.drawn.overhead, hangs="ram", arm_top="test.end")
    return dataclasses.replace(
        hung, drawn=dataclasses.replace(hung.drawn, overhead=over), marks=dataclasses.replace(hung.marks, facts=facts)
    )


def test_a_loader_is_called_one_and_its_ram_goes_up_to_where_its_height_is_told() -> None:
    """In the side and in the legend; its stops are those of a carriage, its line the way of the ram."""
    made = with_ram()
    tops = [max(y for _, y in each.points) for each in of(side_things(made), "arm")]

    assert "loader" in texts(side_things(made))
    assert max(tops) == pytest.approx(3.5)
    assert layer_words(made.drawn, "reach") == "way of the ram"
    assert layer_words(hanging().drawn, "reach") == "reach of the arm"
    assert stop_words(made.drawn, "machine_1") == "Carriage on the beam, at machine 1"
    assert "from the ram" in side_rule(made.drawn)
    assert "shoulder" in side_rule(hanging().drawn)
