"""People round a placed cell: the fence leaves the strip free where somebody fills, and doors can be reached."""

import pytest

from millhand.model.layout import Layout
from millhand.stages.layout import layout
from millhand.trace import Sheet
from tests.stages.shop import catalogue, concept, shop

CELLS = [
    "drawers-pedestal-fenced_20-parallel_double-fence",
    "trays-pedestal-fenced_60-parallel_double-fence",
    "trays-floor_track-fenced_20-parallel_double-fence",
    "infeed_conveyor-out_conveyor-pedestal-fenced_60-parallel_double-fence",
]
OPEN = "drawers-pedestal-force_limited_25-parallel_double-scanner"


def laid(concept_id: str) -> tuple[Layout, Sheet]:
    """One concept's layout, and its facts."""
    of, sheet = shop(), Sheet()
    return layout(of, concept(concept_id, of), catalogue(), sheet), sheet


@pytest.mark.parametrize("concept_id", CELLS)
def test_no_fence_runs_through_where_somebody_stands(concept_id: str) -> None:
    """No straight piece of it, nor a gate, has a point inside of a strip before presenter or outfeed."""
    found, sheet = laid(concept_id)
    assert found.drawn is not None

    assert found.drawn.fence
    assert found.drawn.people
    for spot in found.drawn.people:
        x, y, width, depth = (sheet.value(each) for each in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m))
        for piece in found.drawn.fence:
            ends = [sheet.value(each) for each in (piece.x_m, piece.y_m, piece.to_x_m, piece.to_y_m)]
            beside_x = min(ends[0], ends[2]) >= x + width / 2 - 1e-6 or max(ends[0], ends[2]) <= x - width / 2 + 1e-6
            beside_y = min(ends[1], ends[3]) >= y + depth / 2 - 1e-6 or max(ends[1], ends[3]) <= y - depth / 2 + 1e-6
            assert beside_x or beside_y


@pytest.mark.parametrize("concept_id", [*CELLS, OPEN])
def test_every_door_and_every_stand_has_its_way(concept_id: str) -> None:
    """One width for each machine and each piece that somebody fills or empties."""
    found, sheet = laid(concept_id)
    stands = {each.name for each in found.spots if each.name in ("presenter", "outfeed")}

    assert {each.place for each in found.walks} == {"machine_1", "machine_2", *stands}
    assert all(0.0 <= sheet.value(each.width) <= 1.0 for each in found.walks)


def test_a_gate_is_drawn_only_in_a_fence() -> None:
    """One or two of them; a cell without a fence has neither."""
    fenced, _ = laid(CELLS[0])
    free, _ = laid(OPEN)
    assert fenced.drawn is not None
    assert free.drawn is not None

    assert 1 <= sum(each.name == "gate" for each in fenced.drawn.fence) <= 2
    assert free.drawn.fence == ()
