"""A placed cell as solids: the plan's pieces with their heights, and a file that a general library reads back."""

import io
import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
import trimesh

from millhand.model.fact import Fact
from millhand.model.layout import Overhead, Spot, Stretch
from millhand.report.drawing_glb import COLOURS, drawing_glb, names
from millhand.report.plan_view import Plan
from millhand.report.solids import Box, Post, Solid, solids
from tests.report.fixture_placed import PIECES
from tests.report.test_drawings import plan

HIGH, SILL, TOP, WIDE, DEEP = 2.2, 0.75, 1.55, 0.8, 0.55 + 0.35  # of the fixture's machine, opening and load position


def boxes(name: str) -> list[Box]:
    """The boxes of one piece."""
    return [each for each in solids(plan()) if isinstance(each, Box) and each.name == name]


def volume(each: Box) -> float:
    """Its room [m3]."""
    return math.prod(each.sides)


def ends(each: Box, axis: int) -> tuple[float, float]:
    """From where to where it goes."""
    return each.middle[axis] - each.sides[axis] / 2.0, each.middle[axis] + each.sides[axis] / 2.0


def read_back(things: tuple[Solid, ...]) -> Any:
    """The scene as the library reads the file."""
    return trimesh.load(io.BytesIO(drawing_glb(things)), file_type="glb")


@pytest.mark.parametrize("name", ["machine_1", "machine_2"])
def test_a_machine_is_its_box_without_the_opening(name: str) -> None:
    """Five boxes fill the plan's rectangle to its height but for the opening as deep as one loads."""
    found = boxes(name.replace("_", " "))
    x, y, width, depth, _ = PIECES[name]

    assert sum(map(volume, found)) == pytest.approx(width * depth * HIGH - WIDE * (TOP - SILL) * DEEP)
    for axis, (middle, side) in enumerate(((x, width), (y, depth), (HIGH / 2.0, HIGH))):
        assert min(ends(each, axis)[0] for each in found) == pytest.approx(middle - side / 2.0)
        assert max(ends(each, axis)[1] for each in found) == pytest.approx(middle + side / 2.0)


def test_nothing_fills_the_way_from_the_door_to_the_load_position() -> None:
    """The straight line from the door plane to the load position meets no box."""
    for step in range(1, 20):
        at = (PIECES["machine_2"][0], 0.55 * step / 20.0, 1.05)
        inside = [
            each for each in solids(plan()) if isinstance(each, Box)
            if all(low < at[axis] < high for axis in range(3) for low, high in [ends(each, axis)])
        ]  # fmt: skip
        assert not inside


def test_the_arm_stands_on_its_foot_and_points_at_the_worst_load_position() -> None:
    """Its column ends at the shoulder; the line from there ends where the load goes."""
    posts = {each.name: each for each in solids(plan()) if isinstance(each, Post)}
    x, y = PIECES["arm"][:2]

    assert posts["arm"].ends[0] == pytest.approx((x, y, 0.7))
    assert posts["arm"].ends[1] == pytest.approx((x, y, 1.2))
    assert posts["reach"].ends[0] == pytest.approx((x, y, 1.2))
    assert posts["reach"].ends[1] == pytest.approx((PIECES["machine_2"][0], 0.55, 1.05))


def test_what_stands_high_has_the_height_of_its_piece_and_what_is_pulled_out_none() -> None:
    """Drawers: the stand as high as the presenter; the rest a sheet on the floor."""
    (stand,), (whole,) = boxes("presenter stand"), boxes("presenter")

    assert ends(stand, 2) == pytest.approx((0.0, 1.1))
    assert ends(whole, 2)[1] < 0.05


def test_the_file_holds_every_solid_at_its_place_with_y_up() -> None:
    """Read by the library: as many nodes, the same bounds with z up turned to y up, closed, and named."""
    things = solids(plan())
    scene = read_back(things)
    (low_x, low_y, low_z), (high_x, high_y, high_z) = scene.bounds

    assert len(scene.geometry) == len(things)
    assert "machine 1, piece 1" in scene.geometry
    assert (low_y, high_y) == pytest.approx((0.0, HIGH))
    assert (low_x, high_x) == pytest.approx(
        (min(ends(each, 0)[0] for each in things if isinstance(each, Box)),
         max(ends(each, 0)[1] for each in things if isinstance(each, Box))), abs=1e-6,
    )  # fmt: skip
    assert (-high_z, -low_z) == pytest.approx(
        (min(ends(each, 1)[0] for each in things if isinstance(each, Box)),
         max(ends(each, 1)[1] for each in things if isinstance(each, Box))), abs=1e-6,
    )  # fmt: skip
    for name, each in zip(names(things), things, strict=True):
        if isinstance(each, Box):
            assert scene.geometry[name].volume == pytest.approx(volume(each), rel=1e-4)


def over() -> Plan:
    """The fixture's cell with its arm hung from a beam on two columns, the fence with a gate in its south side."""
    facts = dict(plan().marks.facts)

    def m(name: str, value: float) -> str:
        facts[name] = Fact(id=name, value=value, unit="m", basis="given", source="by hand")
        return name

    def spot(name: str, row: tuple[float, float, float, float]) -> Spot:
        x, y, width, depth = (m(f"{name}.{n}", value) for n, value in enumerate(row))
        return Spot(name=name, x_m=x, y_m=y, width_m=width, depth_m=depth)

    hung = Overhead(
        hangs="arm", foot=m("foot", 2.4), beam_low=m("low", 2.7), beam_top=m("top", 3.0), arm_top=m("arm_top", 2.6),
        top="top", ceiling=m("ceiling", 3.5), span=m("span", 4.0),
    )  # fmt: skip
    pieces = tuple(each for each in plan().drawn.pieces if each.name != "arm")
    more = (
        spot("beam", (1.35, -0.6, 4.0, 0.2)), spot("strip under the beam", (1.35, -0.6, 4.0, 0.6)),
        spot("column 1", (-0.65, -1.2, 0.2, 0.2)), spot("column 2", (3.35, -1.2, 0.2, 0.2)),
    )  # fmt: skip
    ends = {"fence": (-0.7, -2.7, 1.0, -2.7), "gate": (1.0, -2.7, 1.8, -2.7)}
    stretches = tuple(
        Stretch(name=name, **{key: m(f"{name}.{key}", at) for key, at in
                zip(("x_m", "y_m", "to_x_m", "to_y_m"), row, strict=True)})
        for name, row in ends.items()
    )  # fmt: skip
    drawn = replace(
        plan().drawn, pieces=(*pieces, *more), overhead=hung, foot_height="foot", shoulder=m("shoulder", 1.9),
        fence=stretches,
    )  # fmt: skip
    return replace(plan(), drawn=drawn, marks=replace(plan().marks, facts=facts))


def test_a_hanging_arm_has_its_beam_on_columns_and_leaves_the_floor_free() -> None:
    """Beam from its underside to its top, columns up to it, a bracket from each; the arm below its foot."""
    found = {each.name: each for each in solids(over()) if each.name not in ("machine 1", "machine 2")}
    beam, column, arm = found["beam"], found["column 1"], found["arm"]
    assert isinstance(beam, Box)
    assert isinstance(column, Box)
    assert isinstance(arm, Post)

    assert ends(beam, 2) == pytest.approx((2.7, 3.0))
    assert ends(column, 2) == pytest.approx((0.0, 2.7))
    assert isinstance(found["bracket"], Box)
    assert ends(found["bracket"], 1) == pytest.approx((-1.2, -0.6))
    assert (arm.ends[0][2], arm.ends[1][2]) == (2.4, 1.9)
    assert "strip under the beam" not in found


def test_a_gate_is_a_gap_in_the_line_of_the_fence() -> None:
    """Only the stretches of the fence lie on the floor."""
    (line,) = [each for each in solids(over()) if each.name == "fence"]
    assert isinstance(line, Box)

    assert ends(line, 0) == pytest.approx((-0.725, 1.025))


def test_through_a_hatch_a_machine_is_its_box_without_a_shaft() -> None:
    """A ram comes from above: a square of the door's width is free from floor to roof."""
    hung = over().drawn.overhead
    assert hung is not None
    drawn = replace(over().drawn, overhead=replace(hung, hangs="ram"))
    found = [each for each in solids(replace(over(), drawn=drawn)) if each.name == "machine 1"]

    assert sum(volume(each) for each in found if isinstance(each, Box)) == pytest.approx((2.4 * 2.2 - WIDE**2) * HIGH)


def test_the_same_solids_give_the_same_bytes_and_others_do_not() -> None:
    """No clock and no chance in the file."""
    things = solids(plan())
    first = things[0]
    assert isinstance(first, Box)
    other = (replace(first, sides=(first.sides[0] + 0.001, *first.sides[1:])), *things[1:])

    assert drawing_glb(things) == drawing_glb(things)
    assert drawing_glb(other) != drawing_glb(things)


def test_layers_differ_in_grey_too() -> None:
    """Whoever prints without colour still tells machine, stand, track and arm apart."""
    grey = {name: (0.299 * red + 0.587 * green + 0.114 * blue) for name, (red, green, blue, _) in COLOURS.items()}
    solid = sorted(grey[name] for name in ("machines", "track", "arm", "fence"))

    assert all(high - low > 10.0 for low, high in pairwise(solid))
