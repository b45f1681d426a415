"""What people ask of a plan: fields, proposed stops and the aisle lie where the layout, made by hand, puts them."""

import math
from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.model.layout import Drawn, Foot, Opening, Spot, Stretch
from millhand.report.drawing import Circle, Line, Thing, Words, extent
from millhand.report.marks import Marks
from millhand.report.plan_devices import device_things
from millhand.report.plan_marks import (
    AISLE,
    PANEL,
    RESETS,
    STOPS,
    Marked,
    cabinet_box,
    is_cut,
    marked_things,
    panel_box,
)
from millhand.report.plan_view import Plan

REACH, HAND, AISLE_M = 1.3, 0.2, 0.9
PIECES = {  # middle x, y, width, depth [m]
    "machine_1": (0.0, 1.1, 2.4, 2.2),
    "presenter": (0.0, -1.6, 1.8, 0.8),
    "arm": (0.0, -0.8, 0.6, 0.6),
}
STRIP = (0.0, -2.4, 1.8, 0.8)
FENCE = (0.0, -0.9, 3.6, 2.4)
GATES = ((-1.8, -1.4, -1.8, -0.6), (1.8, -0.6, 1.8, -1.4))
MARKED = Marked(aisle="aisle", width="0.9 m", panels=2, stops=True)


def plan(*, fenced: bool, feet: tuple[tuple[float, float], ...] = ((0.0, -0.8),)) -> Plan:
    """One machine that looks south, a presenter that is filled from the south, with or without fence and gates."""
    facts = {"reach": REACH, "hand": HAND, "aisle": AISLE_M, "line": 0.0, "size": 0.5, "margin": 0.3}
    known = {name: number(name, value) for name, value in facts.items()}

    def fact(name: str, value: float) -> str:
        known[name] = number(name, value)
        return name

    def spot(name: str, row: tuple[float, float, float, float]) -> Spot:
        x, y, wide, deep = (fact(f"{name}.{n}", value) for n, value in enumerate(row))
        return Spot(name=name, x_m=x, y_m=y, width_m=wide, depth_m=deep)

    def stretch(number: int, row: tuple[float, float, float, float]) -> Stretch:
        x, y, to_x, to_y = (fact(f"gate{number}.{n}", value) for n, value in enumerate(row))
        return Stretch(name="gate", x_m=x, y_m=y, to_x_m=to_x, to_y_m=to_y)

    pieces = PIECES | ({"fence": FENCE} if fenced else {})
    size = dict.fromkeys(("x_m", "y_m"), "line") | dict.fromkeys(("width", "sill", "top", "depth", "height"), "size")
    drawn = Drawn(
        pieces=tuple(spot(name, row) for name, row in pieces.items()),
        openings=(Opening(machine="machine_1", faces="south", **size),),
        feet=tuple(Foot(place=f"p{n}", x_m=fact(f"foot{n}.x", x), y_m=fact(f"foot{n}.y", y))
                   for n, (x, y) in enumerate(feet)),
        people=(spot("people at presenter", STRIP),), worst="machine_1", machine_height="size", before_door="size",
        foot_height="size", shoulder="size", reach="reach", hand="hand", margin="margin",
        fence=tuple(stretch(n, row) for n, row in enumerate(GATES)) if fenced else (),
    )  # fmt: skip
    known |= {
        "slow": replace(number("slow", 1.9), basis="assumed", low=1.6, high=2.6, source="by hand", question="Who?"),
        "stop": number("stop", 1.4),
    }
    return Plan(drawn=drawn, marks=Marks(facts=known, choices={}, currency="USD"), letters=0.15)


def number(name: str, value: float) -> Fact:
    """A length by hand."""
    return Fact(id=name, value=value, unit="m", basis="given", source="by hand")


def lines(things: tuple[Thing, ...], layer: str) -> list[Line]:
    """The lines of one layer."""
    return [each for each in things if isinstance(each, Line) and each.layer == layer]


def boxed(row: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    """Lowest and highest corner."""
    x, y, wide, deep = row
    return x - wide / 2.0, y - deep / 2.0, x + wide / 2.0, y + deep / 2.0


def inside(at: tuple[float, float], box: tuple[float, float, float, float]) -> bool:
    """Whether a point lies within a rectangle."""
    return box[0] < at[0] < box[2] and box[1] < at[1] < box[3]


def middle(line: Line) -> tuple[float, float]:
    """The middle of what is drawn."""
    low_x, low_y, high_x, high_y = extent([line])
    return (low_x + high_x) / 2.0, (low_y + high_y) / 2.0


def test_a_field_begins_its_far_depth_beyond_reach_and_gripper_round_each_place_of_the_foot() -> None:
    """The far end where the depth has a range, the depth itself where it has none."""
    marked = Marked(fields=(("slow field", "slow"), ("stop field", "stop")))
    things = tuple(marked_things(plan(fenced=False, feet=((0.0, -0.8), (2.0, -0.8))), marked))

    assert things == tuple(
        Circle(layer=layer, at=at, radius=REACH + HAND + deep)
        for layer, deep in (("slow field", 2.6), ("stop field", 1.4)) for at in ((0.0, -0.8), (2.0, -0.8))
    )  # fmt: skip


@pytest.mark.parametrize(("fenced", "counted"), [(True, 2 + 1 + 2), (False, 1 + 2)])
def test_each_counted_stop_has_its_place_and_none_stands_in_a_piece(fenced: bool, counted: int) -> None:
    """Gates, places and panels, as they are counted; nothing is hung into a machine or the presenter."""
    things = tuple(marked_things(plan(fenced=fenced), MARKED))
    places = [middle(each) for each in lines(things, STOPS)]

    assert len(places) == counted
    assert not any(inside(at, boxed(row)) for at in places for row in PIECES.values())
    (panel,) = lines(things, PANEL)
    assert sum(inside(at, extent([panel])) for at in places) == 2
    assert sum(inside(at, boxed(STRIP)) for at in places) == 1


def test_a_stop_at_a_gate_hangs_outside_of_the_fence_beside_the_gate() -> None:
    """Within reach of whoever stands before it: no further than half a metre from its end."""
    things = tuple(marked_things(plan(fenced=True), MARKED))
    places = [middle(each) for each in lines(things, STOPS)]
    outside = [at for at in places if not inside(at, boxed(FENCE)) and not inside(at, boxed(STRIP))]

    assert len(outside) == 4
    for x, y, to_x, to_y in GATES:
        assert any(min(math.dist(at, (x, y)), math.dist(at, (to_x, to_y))) <= 0.5 for at in outside)


@pytest.mark.parametrize("fenced", [True, False])
def test_the_aisle_is_as_wide_as_it_is_held_against_and_ends_at_the_machine(fenced: bool) -> None:
    """Its edge lies that far from fence and strip, on three sides; none lies behind the machine or in it."""
    things = tuple(marked_things(plan(fenced=fenced), MARKED))
    edges = lines(things, AISLE)
    wide = FENCE[2] if fenced else PIECES["presenter"][2]
    east = max(wide / 2.0, extent(lines(things, PANEL))[2])  # without a fence the panel stands beside the strip

    assert extent(edges)[:3] == pytest.approx(
        (-wide / 2.0 - AISLE_M, STRIP[1] - STRIP[3] / 2.0 - AISLE_M, east + AISLE_M)
    )
    assert len(edges) == 3
    assert not any(inside(point, boxed(PIECES["machine_1"])) for each in edges for point in each.points)
    (measure,) = [each for each in things if isinstance(each, Words)]
    assert measure.text == "0.9 m"
    across = max(lines(things, "frame"), key=lambda each: math.dist(*each.points))
    assert math.dist(*across.points) == pytest.approx(AISLE_M)


def test_the_panel_stands_off_gates_strip_and_aisle_and_a_reset_past_each_gate() -> None:
    """Between fence and strip there is room for it outside the aisle, so that the gates stay free."""
    things = tuple(marked_things(plan(fenced=True), MARKED))
    low_x, low_y, high_x, high_y = extent(lines(things, PANEL))

    assert FENCE[0] - FENCE[2] / 2.0 <= low_x
    assert high_x <= FENCE[0] + FENCE[2] / 2.0
    assert STRIP[1] - STRIP[3] / 2.0 <= low_y
    assert high_y <= FENCE[1] - FENCE[3] / 2.0
    assert high_x <= boxed(STRIP)[0] or low_x >= boxed(STRIP)[2]
    assert min(math.dist(middle(lines(things, PANEL)[0]), gate[:2]) for gate in GATES) > 0.9
    resets = [each for each in things if isinstance(each, Circle) and each.layer == RESETS]
    assert [each.at[1] > max(gate[1], gate[3]) or each.at[1] < min(gate[1], gate[3])
            for each, gate in zip(resets, GATES, strict=True)] == [True, True]  # fmt: skip
    assert not any(inside(each.at, boxed(FENCE)) for each in resets)


def test_the_aisle_is_not_drawn_beside_what_stands_in_it_and_that_is_known() -> None:
    """A machine that leaves less than the width beside the fence ends the edge at its front."""
    base = plan(fenced=True)
    known = base.marks.facts["machine_1.0"]
    moved = replace(base, marks=replace(base.marks, facts={**base.marks.facts, known.id: replace(known, value=0.9)}))
    ends = [extent([each]) for each in lines(tuple(marked_things(moved, MARKED)), AISLE)]

    assert not is_cut(base, MARKED)
    assert is_cut(moved, MARKED)
    (east,) = [each for each in ends if each[0] == each[2] and each[0] > 0.0]
    assert east[3] == pytest.approx(0.0)  # the machine's front


def test_nothing_is_drawn_of_what_nobody_worked_out() -> None:
    """Older studies have no ways, no stops and no fields."""
    assert tuple(marked_things(plan(fenced=True), Marked())) == ()


def test_cabinet_scanner_and_the_edge_of_a_filled_side_have_proposed_places() -> None:
    """The cabinet off all that stands there and inside the aisle; a scanner before the arm's stand where there are
    fields, else the strip's side towards the presenter; nothing where there is no room for their words."""
    told = replace(MARKED, devices=True)
    here, there = plan(fenced=True), plan(fenced=False)
    cabinet = cabinet_box(here, told)
    assert cabinet is not None
    stand = [boxed(each) for each in (*PIECES.values(), STRIP)]
    assert not any(
        cabinet[0] < high_x and low_x < cabinet[2] and cabinet[1] < high_y and low_y < cabinet[3]
        for low_x, low_y, high_x, high_y in (*stand, panel_box(here, told.panels))
    )
    ring = extent(lines(tuple(marked_things(here, told)), AISLE))
    assert ring[0] < cabinet[0]
    assert cabinet[2] < ring[2]

    assert [each.points for each in lines(tuple(device_things(here, told)), "curtain")] == [((-0.9, -2.0), (0.9, -2.0))]
    seen = replace(told, fields=(("stop field", "stop"),))
    tip, *foot = lines(tuple(device_things(there, seen)), "scanner")[0].points
    assert tip[0] == 0.0
    assert tip[1] < foot[0][1] == foot[1][1] == pytest.approx(-1.1)
    assert cabinet_box(here, MARKED) is None
    assert list(device_things(here, MARKED)) == []
