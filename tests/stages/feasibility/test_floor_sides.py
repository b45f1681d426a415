"""A cell against the sides of a strip of floor: it fits either way round, up to the last millimetre."""

from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.model.inquiry import FloorSides, Inquiry
from tests.stages.feasibility.judged import judged
from tests.stages.shop import shop

CELLS = {
    "fenced": "drawers-pedestal-fenced_20-parallel_double-fence",
    "on a track": "drawers-floor_track-fenced_20-parallel_double-fence",
    "open": "trays-pedestal-force_limited_12-parallel_double-scanner",
}


def strip(long_m: float, short_m: float, basis: str = "given") -> Inquiry:
    """The shop with a strip of such sides."""
    long, short = (
        Fact(id=f"wishes.floor_{name}", value=side, unit="m", basis=basis, source="test")  # type: ignore[arg-type]
        for name, side in (("long", long_m), ("short", short_m))
    )
    of = shop()
    return replace(of, wishes=replace(of.wishes, floor_sides=FloorSides(long_m=long, short_m=short)))


@pytest.mark.parametrize("kind", CELLS)
def test_the_reach_is_that_of_pieces_fence_and_door_planes(kind: str) -> None:
    """Worked out here from all their edges and ends."""
    wide = judged(CELLS[kind], strip(90.0, 90.0))
    short, long = sorted(wide.sheet.value(each) for each in wide.layout.outline)
    drawn = wide.layout.drawn
    assert drawn is not None
    at = wide.sheet.value
    new = [each for each in drawn.pieces if not each.name.startswith(("machine", "fence", "obstacle"))]
    edges = [
        [at(getattr(each, f"{axis}_m")) + sign * at(getattr(each, side)) / 2.0 for each in new for sign in (-1.0, 1.0)]
        + [at(getattr(each, f"{axis}_m")) for each in (*drawn.openings, *drawn.fence)]
        + [at(getattr(each, f"to_{axis}_m")) for each in drawn.fence]
        for axis, side in (("x", "width_m"), ("y", "depth_m"))
    ]
    assert sorted(max(each) - min(each) for each in edges) == pytest.approx([short, long])

    assert wide.numbers("floor_sides") == pytest.approx((long, 90.0))


def test_a_strip_as_large_as_the_cell_holds_and_one_millimetre_less_ends_it() -> None:
    """Each side by itself; the one that leaves less is told."""
    wide = judged(CELLS["open"], strip(90.0, 90.0))
    short, long = sorted(wide.sheet.value(each) for each in wide.layout.outline)
    for sides, holds in (((long, short), True), ((long - 1e-3, short), False), ((long, short - 1e-3), False)):
        found = judged(CELLS["open"], strip(*sides)).verdicts["floor_sides"]
        assert (found.holds, found.kills) == (holds, True)
    narrow = judged(CELLS["open"], strip(90.0, short / 2.0))
    assert narrow.numbers("floor_sides") == pytest.approx((short, short / 2.0))
    assert "does not fit, either way round" in narrow.sentence("floor_sides")


def test_a_strip_that_is_assumed_only_warns() -> None:
    """And a floor that was told as an area has no such check, nor a reach to hold against it."""
    warned = judged(CELLS["fenced"], strip(1.0, 1.0, "assumed")).verdicts["floor_sides"]
    assert (warned.holds, warned.kills) == (False, False)
    area = judged(CELLS["fenced"])
    assert "floor_sides" not in area.verdicts
    assert area.layout.outline == ()
