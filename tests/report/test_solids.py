"""A placed cell as solids: the plan's pieces with their heights, and a file that a general library reads back."""

import io
import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
import trimesh

from millhand.report.drawing_glb import COLOURS, drawing_glb, names
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
