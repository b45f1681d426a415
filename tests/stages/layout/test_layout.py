"""Layouts: distances by plane geometry done again, floor that adds up, places that hold what they say."""

import math
from dataclasses import replace
from itertools import combinations

import pytest

from millhand.model.fact import Choice, Fact
from millhand.model.floor import Block, Pinned
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.stages.concepts import concepts
from millhand.stages.layout import layout
from millhand.trace import Sheet
from tests.stages.shop import catalogue, concept, placed, shop

TRACK = "drawers-floor_track-fenced_20-parallel_double-fence"
STANDING_ONE = "trays-pedestal-fenced_20-parallel_double-fence"
STANDING = "drawers-pedestal-fenced_20-parallel_double-fence"
BELTS = "infeed_conveyor-out_conveyor-pedestal-fenced_20-parallel_double-fence"
DEPTH, SPACING = 0.45, 3.2


def laid(concept_id: str, of: Inquiry | None = None) -> tuple[Layout, dict[str, float], Sheet]:
    """A layout, its distances as numbers, and the sheet."""
    of, sheet = of or shop(), Sheet()
    found = layout(of, concept(concept_id, of), catalogue(), sheet)
    return found, {pair: sheet.value(fact) for pair, fact in found.distances.items()}, sheet


def spots(found: Layout, sheet: Sheet) -> dict[str, tuple[float, float, float, float]]:
    """Middle and sides of every piece."""
    return {
        each.name: (sheet.value(each.x_m), sheet.value(each.y_m), sheet.value(each.width_m), sheet.value(each.depth_m))
        for each in found.spots
    }


def gap(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> float:
    """Between two rectangles; below 0 they overlap."""
    return max(abs(one[0] - other[0]) - (one[2] + other[2]) / 2, abs(one[1] - other[1]) - (one[3] + other[3]) / 2)


def test_on_a_track_distances_run_along_it() -> None:
    """The foot stops before each door as far to the side as before the other: machines lie a spacing apart."""
    found, far, sheet = laid(TRACK)

    assert far["machine_1 machine_2"] == pytest.approx(SPACING)
    assert far["presenter outfeed"] == far["presenter home"] == 0.0
    assert sheet.value(found.track) == pytest.approx(max(far.values()))
    assert found.track.startswith(f"concepts.{TRACK}.")


@pytest.mark.parametrize("concept_id", [TRACK, STANDING, BELTS])
def test_no_piece_overlaps_another(concept_id: str) -> None:
    """Arm or track, presenter, outfeed and machines, pairwise."""
    found, _, sheet = laid(concept_id)
    pieces = spots(found, sheet)

    for a, b in combinations(pieces, 2):
        assert gap(pieces[a], pieces[b]) >= -1e-9, (a, b)


def test_an_outfeed_of_its_own_has_its_own_place() -> None:
    """Belts in and out."""
    found, _, _ = laid(BELTS)

    assert {spot.name for spot in found.spots} == {"machine_1", "machine_2", "presenter", "outfeed", "arm"}


def test_places_have_the_names_that_cells_use() -> None:
    """Presenter, machines numbered through, outfeed, home: a move for every pair, there and back alike."""
    found, _, sheet = laid(TRACK)
    places = ("presenter", "machine_1", "machine_2", "outfeed", "home")

    assert found.moves.keys() == {f"{a} {b}" for a in places for b in places if a != b}
    for a, b in combinations(places, 2):
        assert found.moves[f"{a} {b}"] == found.moves[f"{b} {a}"]
        assert all(sheet.value(leg.way) >= 0.0 for leg in found.moves[f"{a} {b}"].legs)
    assert found.ways_in.keys() == {"presenter", "machine_1", "machine_2", "outfeed"}


def test_every_target_is_told() -> None:
    """Both load positions and the corners of the lowest and the highest drawer."""
    found, _, sheet = laid(TRACK)

    assert {each.target for each in found.reach} == {"machine_1", "machine_2", *(f"presenter {n}" for n in range(1, 9))}
    for each in found.reach:
        assert sheet.value(each.slack) >= 0.0
        assert sheet.value(each.room) >= 0.0
        assert each.joint in range(1, 7)


def test_machines_that_face_each_other_have_the_arm_between_them() -> None:
    """Doors 2 m apart: one arm serves both from between them."""
    of = placed((0.0, 0.0, "north"), (0.0, 2.0, "south"))
    found, _, sheet = laid("infeed_conveyor-out_conveyor-pedestal-fenced_20-parallel_double-fence", of)
    x, y, *_ = spots(found, sheet)["arm"]

    assert 0.2 < y < 1.8
    assert abs(x) < 1.5
    assert min(sheet.value(each.slack) for each in found.reach) >= 0.0


def test_given_places_count_only_when_all_machines_have_one() -> None:
    """With one place missing the row is drawn from the spacing."""
    _, far, _ = laid(TRACK, placed((7.0, 0.0, "south")))

    assert far["machine_1 machine_2"] == pytest.approx(SPACING)


@pytest.mark.parametrize(("faces", "second"), [("south", (5.0, 0.0)), ("east", (0.0, 5.0)), ("north", (-5.0, 0.0))])
def test_a_row_may_look_anywhere(faces: str, second: tuple[float, float]) -> None:
    """The same row turned is served by the same track: its machines lie as far apart on it."""
    found, far, sheet = laid(TRACK, placed((0.0, 0.0, faces), (*second, faces)))

    assert far["machine_1 machine_2"] == pytest.approx(5.0)
    assert min(sheet.value(each.slack) for each in found.reach) >= 0.0


def test_an_obstacle_is_kept_clear_of() -> None:
    """A block where the presenter stood: the presenter stands elsewhere, and nothing overlaps the block."""
    of = shop()
    before, _, sheet = laid(STANDING_ONE, one_machine(of))
    x, y, *_ = spots(before, sheet)["presenter"]
    numbers = {"x_m": x, "y_m": y, "width_m": 0.5, "depth_m": 0.5, "height_m": 2.0}
    block = Block(name="column", **{key: given(f"obstacles.column.{key}", at) for key, at in numbers.items()})

    after, _, sheet = laid(STANDING_ONE, replace(one_machine(of), obstacles=(block,)))

    pieces = spots(after, sheet)
    assert pieces["presenter"][:2] != (x, y)
    for name in ("presenter", "arm"):
        assert gap(pieces[name], (x, y, 0.5, 0.5)) >= -1e-9


def test_a_pinned_foot_stays_and_a_bad_one_is_told_with_the_nearest_good_one() -> None:
    """Where it does, nothing is told; three metres off, a place nearer to the door is."""
    good = laid(STANDING_ONE, pinned_at(one_machine(shop()), 0.0, -1.2))
    bad = laid(STANDING_ONE, pinned_at(one_machine(shop()), 0.0, -3.0))

    assert spots(good[0], good[2])["arm"][:2] == (0.0, -1.2)
    assert good[0].nearest == ()
    assert spots(bad[0], bad[2])["arm"][:2] == (0.0, -3.0)
    x, y, away = (bad[2].value(each) for each in bad[0].nearest)
    assert -3.0 < y < 0.0
    assert away == pytest.approx(math.hypot(x, y + 3.0))


def one_machine(of: Inquiry) -> Inquiry:
    """The shop with one mill."""
    return replace(of, machines=(replace(of.machines[0], count=replace(of.machines[0].count, value=1.0)),))


def pinned_at(of: Inquiry, x: float, y: float) -> Inquiry:
    """The shop with the arm pinned to a place."""
    what = Choice(id="pinned.1.what", value="arm", options=("arm",), basis="given", source="test")
    return replace(of, pinned=(Pinned(what=what, x_m=given("pinned.1.x", x), y_m=given("pinned.1.y", y)),))


def given(fact_id: str, value: float) -> Fact:
    """A length that somebody gave."""
    return Fact(id=fact_id, value=value, unit="m", basis="given", source="test")


def test_today_walks_and_takes_no_new_floor() -> None:
    """Five seconds at 1.2 m/s between any two places."""
    found, far, sheet = laid("today")

    assert all(way == pytest.approx(6.0) for way in far.values())
    assert sheet.value(found.floor_area) == 0.0
    assert (found.pockets, found.track) == ("", "")


def test_a_fence_encloses_arm_presenter_and_doors() -> None:
    """The rectangle round drawers, pedestal and both doors, with the fence's margin on all four sides."""
    found, _, sheet = laid(STANDING)
    pieces = [spot for spot in found.spots if not spot.name.startswith("machine")]
    xs = [sheet.value(spot.x_m) + side * sheet.value(spot.width_m) / 2 for spot in pieces for side in (-1, 1)]
    ys = [sheet.value(spot.y_m) + side * sheet.value(spot.depth_m) / 2 for spot in pieces for side in (-1, 1)]
    doors = [spot for spot in found.spots if spot.name.startswith("machine")]
    xs += [sheet.value(spot.x_m) for spot in doors]  # the row looks along y: its doors lie at the height of the plan
    ys += [0.0]

    whole = sheet.value(dict(sheet[found.floor_area].inputs)["whole_m2"])
    assert whole == pytest.approx((max(xs) - min(xs) + 1.0) * (max(ys) - min(ys) + 1.0))
    assert sheet.value(found.floor_area) > (1.2 + 0.5) * (0.9 + 0.5) + (0.6 + 0.5) ** 2


def test_drawers_hold_what_fits_and_what_they_carry() -> None:
    """11 drawers of 0.045 + 0.06 m; by area 33, by mass 48, so 33 each."""
    found, _, sheet = laid(TRACK)

    assert sheet.value("layout.drawers.parallel.layers") == math.floor(1.2 / (0.045 + 0.06))
    assert sheet.value("layout.drawers.parallel.by_mass") == math.floor(57 / 1.17)
    each = sheet.value("layout.drawers.parallel.by_area")
    assert 24 <= each <= 0.8 * 0.6 / (0.12 * 0.08)  # above a share of 45 %, below the bare area
    assert sheet.value(found.pockets) == 11 * each
    assert found.pockets == f"concepts.{TRACK}.feasibility.pockets"


def test_mass_binds_for_heavy_parts() -> None:
    """A part of 10 kg: five to a drawer of 57 kg, whatever its size."""
    of = shop(raw_mass=10)
    _, _, sheet = laid("drawers-floor_track-fenced_20-parallel_single-fence", of)

    assert sheet.value("layout.drawers.parallel.places") == 11 * 5


def test_a_part_larger_than_its_tray_has_no_pocket() -> None:
    """Nought is an answer; the checks say what it means."""
    of = shop(raw__length=0.9, raw__width=0.7)
    found, _, sheet = laid(TRACK, of)

    assert sheet.value(found.pockets) == 0.0


def test_a_hopper_is_filled_by_volume_or_mass() -> None:
    """Half of 0.12 m3 in boxes of 80 x 80 x 50 mm, or 200 kg; the outfeed box holds more."""
    of = shop(shape="round", raw__length=0.05, raw__width=0.08, leaves="box", raw_mass=0.5)
    way = next(each for each in concepts(of, catalogue()) if each.id.startswith("step_feeder-out_box-pedestal"))
    sheet = Sheet()

    found = layout(of, way, catalogue(), sheet)

    assert sheet.value(found.pockets) == math.floor(0.06 / (0.08 * 0.08 * 0.05) + 1e-9)
    assert sheet.value("layout.step_feeder.centric.by_mass") == 400


def test_a_mould_is_limited_by_its_outfeed() -> None:
    """Nothing is presented; the belt for finished parts ends the run."""
    of = shop(kind="moulding", condition="moulded", film="dry")
    way = next(each for each in concepts(of, catalogue()) if each.id.startswith("from_mould-out_conveyor"))
    sheet = Sheet()

    found = layout(of, way, catalogue(), sheet)

    (limit,) = [source for name, source in sheet[found.pockets].inputs]
    assert limit.startswith("layout.out_conveyor.")
    assert sheet.value(found.pockets) > 0


def test_every_figure_of_a_layout_rests_on_something_or_is_rested_on() -> None:
    """A study keeps catalogue figures only where something was computed from them: spots must not point at others."""
    found, _, sheet = laid(BELTS)
    used = {source for fact in sheet for _, source in fact.inputs}

    for spot in found.spots:
        for fact_id in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m):
            assert sheet[fact_id].formula or fact_id in used, fact_id


def test_every_concept_can_be_laid_out_on_one_sheet() -> None:
    """Shared figures are the same for all: no two different facts meet under one id."""
    of, sheet = shop(), Sheet()

    for way in concepts(of, catalogue()):
        found = layout(of, way, catalogue(), sheet)
        named = [*found.distances.values(), found.floor_area, *(each.slack for each in found.reach)]
        named += [fact for move in found.moves.values() for fact in (move.tool, *(leg.way for leg in move.legs))]
        named += [fact for spot in found.spots for fact in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m)]
        assert all(fact in sheet for fact in named)
        assert found.coarse
        assert found.words
