"""Machines that nobody placed: the best of a few arrangements; what the shop said stands as it said."""

from dataclasses import replace
from itertools import combinations

import pytest

from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.stages.layout import layout
from millhand.trace import Sheet
from tests.stages.shop import catalogue, concept, placed, shop

STANDING = "trays-pedestal-fenced_60-parallel_double-fence"
TRACK = "trays-floor_track-fenced_60-parallel_double-fence"


def unplaced(count: int) -> Inquiry:
    """The shop with so many mills, and nobody said how far they are apart."""
    of = shop()
    (mill,) = of.machines
    told = replace(mill.spacing_m, value=3.5, basis="assumed")
    return replace(of, machines=(replace(mill, count=replace(mill.count, value=float(count)), spacing_m=told),))


def laid(concept_id: str, of: Inquiry) -> tuple[Layout, Sheet]:
    """One concept's layout, and its facts."""
    sheet = Sheet()
    return layout(of, concept(concept_id, of), catalogue(), sheet), sheet


def test_the_arrangement_that_is_served_best_is_drawn() -> None:
    """A row of 3.5 m is too far for one foot: an L is drawn, and the row is told with what it lacks."""
    found, sheet = laid(STANDING, unplaced(2))
    assert found.drawn is not None
    best, *others = found.arrangements

    assert [each.faces for each in found.drawn.openings] == ["south", "west"]
    assert best.words.startswith("an L")
    assert sheet.value(best.score) == min(sheet.value(best.score), 1.0) >= 0.0
    assert any(each.words.startswith("a row") and sheet.value(each.score) < 0.0 for each in others)


@pytest.mark.parametrize(("concept_id", "count"), [(STANDING, 2), (STANDING, 3), (TRACK, 3)])
def test_nothing_overlaps_in_any_arrangement(concept_id: str, count: int) -> None:
    """Machines, stands and the arm, pairwise."""
    found, sheet = laid(concept_id, unplaced(count))
    boxes = [
        tuple(sheet.value(each) for each in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m)) for spot in found.spots
    ]

    for one, other in combinations(boxes, 2):
        x = abs(one[0] - other[0]) - (one[2] + other[2]) / 2.0
        y = abs(one[1] - other[1]) - (one[3] + other[3]) / 2.0
        assert max(x, y) >= -1e-9


def test_a_distance_that_was_told_is_a_row() -> None:
    """Somebody who says how far it is from machine to machine says that they stand in a row."""
    found, sheet = laid(STANDING, shop())
    assert found.drawn is not None

    assert found.arrangements == ()
    assert {each.faces for each in found.drawn.openings} == {"south"}
    assert sheet.value(found.drawn.openings[1].x_m) == 3.2


def test_places_that_were_told_stay() -> None:
    """With or without a told spacing."""
    of = placed((0.0, 0.0, "south"), (0.0, -3.0, "north"))
    (mill,) = of.machines
    found, sheet = laid(STANDING, replace(of, machines=(replace(mill, spacing_m=unplaced(2).machines[0].spacing_m),)))
    assert found.drawn is not None

    assert found.arrangements == ()
    assert [sheet.value(each.y_m) for each in found.drawn.openings] == [0.0, -3.0]
