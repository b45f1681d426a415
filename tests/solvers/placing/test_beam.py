"""A beam over the floor: columns in a row whose spans are short enough, clear of what stands there and of people."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.catalogue.components import read_catalogue
from millhand.solvers.placing.beam import Hung, hung, longest, row_of
from millhand.solvers.placing.serving import Hand
from millhand.solvers.placing.site import Beam, Doorway, Foot, Kit, Rect, Site
from millhand.solvers.pose.clearance import Bars

BEAM = Beam(depth_m=0.3, width_m=0.2, carriage_m=0.3, column_m=0.2, span_m=6.0, above_m=0.2, ceiling_m=4.0)
ARM = replace(read_catalogue().arms["fenced_20"], hangs=True)
BARS = Bars(radii_m=(0.1,) * 6, tool_m=0.2, tool_radius_m=0.05)
KIT = Kit(arm=ARM, hand=Hand(tool_m=0.2, bars=BARS), foot_height_m=2.5, foot_m=(0.7, 0.7), on_track=True, beam=BEAM)
FEET: dict[str, Foot] = {"machine_1": (0.0, -0.8, 2.5, 0.0), "machine_2": (3.0, -0.8, 2.5, 0.0)}


def door(name: str, x: float, width: float = 0.8) -> Doorway:
    """A door that looks south at the line y = 0."""
    return Doorway(
        name=name, x_m=x, y_m=0.0, faces=(0, -1), width_m=width, sill_m=0.7, lintel_m=1.5, depth_m=0.5, height_m=1.0,
        from_above=False,
    )  # fmt: skip


def site(*obstacles: Rect, width: float = 0.8) -> Site:
    """Two machines in a row, doors of a width."""
    return Site(
        doorways=(door("machine_1", 0.0, width), door("machine_2", 3.0, width)),
        machines=tuple(
            Rect(name=f"machine_{n}", x_m=x, y_m=1.1, width_m=2.4, depth_m=2.2) for n, x in ((1, 0.0), (2, 3.0))
        ),
        obstacles=obstacles,
    )


def apart(one: Rect, other: Rect) -> bool:
    """Whether two rectangles keep clear of each other."""
    x = abs(one.x_m - other.x_m) - (one.width_m + other.width_m) / 2.0
    y = abs(one.y_m - other.y_m) - (one.depth_m + other.depth_m) / 2.0
    return max(x, y) >= -1e-9


def over(of: Site, span: float = 6.0) -> Hung:
    """The beam over a site with a span that is wanted."""
    return hung(replace(KIT, beam=replace(BEAM, span_m=span)), of, FEET, 0)


def test_columns_stand_beside_the_strip_where_the_carriage_ends() -> None:
    """The carriage ends 0.35 m beyond its outermost stops, but there somebody walks up to the doors of 0.8 m: the
    columns of 0.2 m move out until they are clear, to 0.5 m; beside the strip of 0.7 m lies a gap of 0.05 m."""
    found = over(site())

    assert [(each.x_m, each.y_m) for each in found.columns] == [
        (pytest.approx(-0.5), pytest.approx(-0.8 - 0.35 - 0.05 - 0.1)),
        (pytest.approx(3.5), pytest.approx(-1.3)),
    ]
    assert {each.height_m for each in found.columns} == {2.5 + 0.3}
    assert (found.strip.x_m, found.strip.width_m, found.strip.depth_m) == (1.5, pytest.approx(3.7), 0.7)


def test_a_shorter_span_puts_columns_between_and_never_before_a_door() -> None:
    """4 m in spans of 2.2 m: one in the middle, and it stays there; of 1.4 m: two, which must leave the doors' ways."""
    two, three = over(site(), 2.2), over(site(), 1.4)

    assert [each.x_m for each in two.columns] == [pytest.approx(x) for x in (-0.5, 1.5, 3.5)]
    assert longest([each.x_m for each in three.columns]) <= 1.4 + 1e-9
    for found in (two, three):
        for column in found.columns:
            assert all(apart(column, each.room(2.0)) for each in found.site.doorways)


def test_a_wide_door_moves_the_columns_out() -> None:
    """Somebody walks up to the door: half of 1.6 m and half of the column's 0.2 m from its middle."""
    found = over(site(width=1.6))

    assert [each.x_m for each in found.columns] == [pytest.approx(-0.9), pytest.approx(3.9)]


def test_what_stands_there_moves_a_column() -> None:
    """A cabinet where the first column should stand: it goes on beyond it."""
    cabinet = Rect(name="cabinet", x_m=-0.5, y_m=-1.3, width_m=0.6, depth_m=0.6)
    found = over(site(cabinet))

    assert found.columns[0].x_m == pytest.approx(-0.5 - 0.3 - 0.1)
    assert all(apart(each, cabinet) for each in found.columns)


def test_the_arm_has_to_keep_clear_of_beam_and_columns_and_nobody_stands_under_it() -> None:
    """Columns are among what stands there, the beam hangs over it, from column to column."""
    found = over(site())
    (beam,) = found.site.above

    assert found.site.obstacles == found.columns
    assert found.site.under == (found.strip,)
    assert beam.middle_m == (pytest.approx(1.5), -0.8, pytest.approx(2.5 + 0.3 + 0.15))
    assert beam.half_m == (pytest.approx(2.0), 0.1, 0.15)


@given(st.floats(1.0, 20.0), st.floats(1.5, 8.0), st.floats(0.05, 0.4))
def test_a_longer_span_never_takes_more_columns(length: float, span: float, blocked: float) -> None:
    """With places blocked at every metre the spans keep within the wanted one; a wider one never needs more columns."""

    def free(at: float) -> bool:
        return abs(at - round(at)) >= blocked

    wide, narrow = row_of((0.5, 0.5 + length), span * 1.3, free), row_of((0.5, 0.5 + length), span, free)

    assert len(wide) <= len(narrow)
    assert all(free(at) for at in narrow)
    assert longest(narrow) <= max(span, (narrow[-1] - narrow[0]) / 9.0 + 1.0) + 1e-9
