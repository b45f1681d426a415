"""An arm that hangs from a beam in the shop: what stands on the floor, what is kept clear, how much floor it takes."""

from functools import cache

import pytest

from millhand.model.layout import Drawn, Layout
from millhand.trace import Sheet
from tests.stages.layout.test_drawn import box, drawn, of_shop, overlap
from tests.stages.shop import catalogue, shop

HANGING = "trays-overhead_track-fenced_20-parallel_double-fence"
STANDING = "trays-floor_track-fenced_20-parallel_double-fence"
WAY_M = 2.0  # before a door, beyond beam and columns


@cache
def laid(name: str) -> tuple[Layout, Sheet]:
    """A layout in the shop, and its sheet."""
    return of_shop(name, shop())


def boxes(picture: Drawn, sheet: Sheet, start: str) -> list[tuple[float, float, float, float]]:
    """West, south, east, north of the pieces whose names begin so."""
    return [box(sheet, each) for each in picture.pieces if each.name.startswith(start)]


def test_columns_keep_clear_of_machines_stands_doors_and_people() -> None:
    """Of everything that is drawn on the floor, and of the way up to each door."""
    found, sheet = laid(HANGING)
    picture = drawn(found)
    doors = [
        (sheet.value(each.x_m) - sheet.value(each.width) / 2.0, sheet.value(each.y_m) - WAY_M,
         sheet.value(each.x_m) + sheet.value(each.width) / 2.0, sheet.value(each.y_m))
        for each in picture.openings
    ]  # fmt: skip
    others = [*boxes(picture, sheet, "machine_"), *boxes(picture, sheet, "presenter"), *doors]
    others += [box(sheet, each) for each in picture.people]
    columns = boxes(picture, sheet, "column ")

    assert len(columns) >= 2
    assert picture.people
    assert max(overlap(column, other) for column in columns for other in others) <= 1e-9


def test_nobody_stands_under_the_beam() -> None:
    """Somebody who fills or empties stands beside the strip, wherever the stand itself is."""
    found, sheet = laid(HANGING)
    (strip,) = boxes(drawn(found), sheet, "strip under the beam")

    assert all(overlap(box(sheet, each), strip) <= 1e-9 for each in drawn(found).people)


def test_the_beam_lies_over_the_strip_from_the_first_column_to_the_last() -> None:
    """Its ends are the columns' middles; it is as wide as the catalogue says."""
    found, sheet = laid(HANGING)
    picture = drawn(found)
    (beam,), columns = boxes(picture, sheet, "beam"), boxes(picture, sheet, "column ")
    middles = sorted((west + east) / 2.0 for west, _, east, _ in columns)
    wide = catalogue().components["overhead_track"].figures["beam_width_m"].value

    assert (beam[0], beam[2]) == (pytest.approx(middles[0]), pytest.approx(middles[-1]))
    assert beam[3] - beam[1] == pytest.approx(wide)


def test_heights_add_up() -> None:
    """Foot, carriage, beam; the shoulder below the foot; the arm never above the beam's top here."""
    found, sheet = laid(HANGING)
    over, picture = found.overhead, drawn(found)
    assert over is not None
    figures = catalogue().components["overhead_track"].figures
    foot, low, top, whole = (sheet.value(each) for each in (over.foot, over.beam_low, over.beam_top, over.top))

    assert (low, top) == (pytest.approx(foot + 0.3), pytest.approx(foot + 0.3 + 0.3))
    assert whole == max(top, sheet.value(over.arm_top))
    assert sheet.value(picture.shoulder) == pytest.approx(foot - catalogue().arms["fenced_20"].joints[0].d_m)
    assert picture.foot_height == over.foot
    assert figures["base_height_m"].low is not None
    assert foot >= figures["base_height_m"].low
    assert picture.overhead == over


def test_the_floor_is_what_the_fence_encloses_columns_in_it() -> None:
    """The rectangle round stands, strip, columns and door planes; leaving out the columns would make it smaller."""
    found, sheet = laid(HANGING)
    (fence,) = boxes(drawn(found), sheet, "fence")
    margin = sheet.value(drawn(found).margin)
    columns = boxes(drawn(found), sheet, "column ")

    whole = sheet.value(dict(sheet[found.floor_area].inputs)["whole_m2"])
    assert whole == pytest.approx((fence[2] - fence[0]) * (fence[3] - fence[1]))
    assert fence[0] <= min(each[0] for each in columns) - margin + 1e-9
    assert fence[2] >= max(each[2] for each in columns) + margin - 1e-9


def test_a_track_on_the_floor_has_no_beam() -> None:
    """Nothing hangs there."""
    found, sheet = laid(STANDING)

    assert found.overhead is None
    assert drawn(found).overhead is None
    assert boxes(drawn(found), sheet, "column ") == boxes(drawn(found), sheet, "beam") == []
