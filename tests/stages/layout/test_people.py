"""People round a placed cell: the fence leaves the strip free where somebody fills, and doors can be reached."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from millhand.model.layout import Layout
from millhand.solvers.placing.fence_floor import cut_out_m2
from millhand.solvers.placing.site import Rect
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


@cache
def laid(concept_id: str, floor_m2: float = 99.0) -> tuple[Layout, Sheet]:
    """One concept's layout where so much floor is given, and its facts."""
    of, sheet = shop(), Sheet()
    assert of.wishes.floor_m2 is not None
    of = replace(of, wishes=replace(of.wishes, floor_m2=replace(of.wishes.floor_m2, value=floor_m2)))
    return layout(of, concept(concept_id, of), catalogue(), sheet), sheet


def figure(concept_id: str, name: str, floor_m2: float = 99.0) -> float:
    """One fact of a layout, nothing where it has none."""
    name, (_, sheet) = f"concepts.{concept_id}.layout.{name}", laid(concept_id, floor_m2)
    return sheet.value(name) if name in sheet else 0.0


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


@pytest.mark.parametrize("concept_id", CELLS)
def test_the_fence_is_as_wide_and_deep_as_its_pieces(concept_id: str) -> None:
    """From the outermost end of a piece to the other; never more than the rectangle by which floor is counted."""
    found, sheet = laid(concept_id)
    assert found.drawn is not None
    whole = next(each for each in found.drawn.pieces if each.name == "fence")
    for name, ends, most in (("width", ("x_m", "to_x_m"), whole.width_m), ("depth", ("y_m", "to_y_m"), whole.depth_m)):
        at = [sheet.value(getattr(piece, end)) for piece in found.drawn.fence for end in ends]
        built = sheet.value(f"concepts.{concept_id}.layout.fence.built.{name}")

        assert built == pytest.approx(max(at) - min(at))
        assert built <= sheet.value(most) + 1e-6


@pytest.mark.parametrize("concept_id", [*CELLS, OPEN])
def test_every_door_and_every_stand_has_its_way(concept_id: str) -> None:
    """One width for each machine and each piece that somebody fills or empties."""
    found, sheet = laid(concept_id)
    stands = {each.name for each in found.spots if each.name in ("presenter", "outfeed")}

    assert {each.place for each in found.walks} == {"machine_1", "machine_2", *stands}
    assert all(0.0 <= sheet.value(each.width) <= 1.0 for each in found.walks)


def enclosed_m2(found: Layout, sheet: Sheet) -> float:
    """Floor that nobody gets to from outside without crossing fence, gate or machine: filled in, spot by spot.

    Spots lie between all lines on which something ends, so that each is wholly in or out.
    """
    assert found.drawn is not None
    lines = [
        tuple(sheet.value(each) for each in (one.x_m, one.y_m, one.to_x_m, one.to_y_m)) for one in found.drawn.fence
    ]
    blocks = []
    for each in found.drawn.pieces:
        if each.name in ("presenter", "outfeed"):  # a stand closes the fence: its edges count as stretches of it
            x, y, width, depth = (sheet.value(one) for one in (each.x_m, each.y_m, each.width_m, each.depth_m))
            west, south, east, north = x - width / 2, y - depth / 2, x + width / 2, y + depth / 2
            lines += [(west, south, east, south), (west, north, east, north)]
            lines += [(west, south, west, north), (east, south, east, north)]
        if each.name.startswith("machine_"):
            x, y, width, depth = (sheet.value(one) for one in (each.x_m, each.y_m, each.width_m, each.depth_m))
            blocks.append((x - width / 2, y - depth / 2, x + width / 2, y + depth / 2))
    xs, ys = (
        sorted({round(one[at], 6) for one in (*lines, *blocks) for at in ends}) for ends in ((0, 2), (1, 3))
    )  # fmt: skip
    xs, ys = [xs[0] - 1.0, *xs, xs[-1] + 1.0], [ys[0] - 1.0, *ys, ys[-1] + 1.0]
    mid = [[(a + b) / 2 for a, b in pairwise(at)] for at in (xs, ys)]

    def solid(i: int, j: int) -> bool:
        return any(a < mid[0][i] < c and b < mid[1][j] < d for a, b, c, d in blocks)

    def shut(i: int, j: int, to_i: int, to_j: int) -> bool:
        x, y = ((mid[axis][at] + mid[axis][to]) / 2 for axis, at, to in ((0, i, to_i), (1, j, to_j)))
        if i != to_i:
            wall = xs[max(i, to_i)]
            return any(a == c and abs(a - wall) < 1e-5 and min(b, d) < y < max(b, d) for a, b, c, d in lines)
        wall = ys[max(j, to_j)]
        return any(b == d and abs(b - wall) < 1e-5 and min(a, c) < x < max(a, c) for a, b, c, d in lines)

    reached, ahead = {(0, 0)}, [(0, 0)]
    while ahead:
        i, j = ahead.pop()
        for to in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)):
            there = 0 <= to[0] < len(mid[0]) and 0 <= to[1] < len(mid[1]) and to not in reached
            if there and not solid(*to) and not shut(i, j, *to):
                reached.add(to)
                ahead.append(to)
    return sum(
        (xs[i + 1] - xs[i]) * (ys[j + 1] - ys[j])
        for i in range(len(mid[0])) for j in range(len(mid[1])) if (i, j) not in reached and not solid(i, j)
    )  # fmt: skip


@pytest.mark.parametrize("concept_id", CELLS)
def test_the_floor_is_that_inside_the_fence_as_it_is_drawn(concept_id: str) -> None:
    """Round it nobody gets in: what cannot be reached from outside is the floor area, strips and machines left out."""
    found, sheet = laid(concept_id)

    assert sheet.value(found.floor_area) == pytest.approx(enclosed_m2(found, sheet), abs=1e-4)


@pytest.mark.parametrize("concept_id", CELLS)
def test_gates_beyond_the_first_are_counted_for_the_price(concept_id: str) -> None:
    """As many as are drawn, less one; no figure where there is one."""
    found, sheet = laid(concept_id)
    assert found.drawn is not None
    gates, name = sum(each.name == "gate" for each in found.drawn.fence), f"concepts.{concept_id}.layout.gates.more"

    assert (name in sheet) == (gates > 1)
    assert gates < 2 or sheet.value(name) == gates - 1


def test_what_others_cover_is_counted_once() -> None:
    """Two that overlap, one half outside, one apart."""
    whole = Rect(name="fence", x_m=0.0, y_m=0.0, width_m=4.0, depth_m=2.0)
    left = replace(whole, x_m=-2.0, width_m=2.0)  # half of it inside: 1 m by 2 m
    lower = replace(whole, x_m=-1.5, y_m=-0.5, width_m=1.0, depth_m=1.0)  # 1 m by 1 m, half of it in the first

    assert cut_out_m2(whole, (left, lower, replace(whole, x_m=9.0))) == pytest.approx(2.0)
    assert cut_out_m2(whole, (replace(lower, x_m=1.0), left)) == pytest.approx(3.0)
    assert cut_out_m2(whole, ()) == 0.0


def test_a_gate_is_drawn_only_in_a_fence() -> None:
    """One or two of them; a cell without a fence has neither."""
    fenced, _ = laid(CELLS[0])
    free, _ = laid(OPEN)
    assert fenced.drawn is not None
    assert free.drawn is not None

    assert 1 <= sum(each.name == "gate" for each in fenced.drawn.fence) <= 2
    assert free.drawn.fence == ()


@pytest.mark.parametrize("concept_id", CELLS[2:])
def test_the_fence_keeps_what_is_asked_for_and_floor_follows_it(concept_id: str) -> None:
    """The gap with the part taken off is no less than the longest distance; the floor is the rectangle of the drawn
    piece less what is left outside, and the metres beyond the margin are those of the drawn stretches."""
    found, sheet = laid(concept_id)
    assert found.drawn is not None
    whole = next(each for each in found.drawn.pieces if each.name == "fence")
    area = sheet.value(whole.width_m) * sheet.value(whole.depth_m)
    drawn = sum(
        abs(sheet.value(each.x_m) - sheet.value(each.to_x_m)) + abs(sheet.value(each.y_m) - sheet.value(each.to_y_m))
        for each in found.drawn.fence
    )

    assert figure(concept_id, "fence.asked") == 0.6
    assert sheet.value(found.fence_gap) >= 0.6
    assert sheet.value(found.floor_area) == pytest.approx(area - figure(concept_id, "fence.outside"))
    assert figure(concept_id, "fence.more") > 0.0
    assert figure(concept_id, "fence.length") == pytest.approx(drawn)


def test_where_the_floor_given_holds_less_the_next_shorter_distance_is_kept() -> None:
    """The longest asks for more than is given: no more is taken, 0.5 m is kept, then 0.2 m; where the fence by its
    margin alone is too much already, it stays there, and the verdict on the floor says so."""
    track, kept = CELLS[2], []
    for floor_m2 in (99.0, 15.0, 14.0, 1.0):
        found, sheet = laid(track, floor_m2)
        kept.append(sheet.value(found.fence_gap))
        assert sheet.value(found.floor_area) <= floor_m2 or floor_m2 == 1.0

    assert kept[0] >= 0.6 > kept[1] >= 0.5 > kept[2] >= 0.2 > kept[3]
    assert figure(track, "fence.out.east") > figure(track, "fence.out.east", 14.0) > 0.0
    assert figure(track, "fence.out.east", 1.0) == 0.0
