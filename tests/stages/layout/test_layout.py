"""Layouts: distances by plane geometry done again, floor that adds up, places that hold what they say."""

import math

import pytest

from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.stages.concepts import concepts
from millhand.stages.layout import layout
from millhand.trace import Sheet
from tests.stages.shop import catalogue, concept, placed, shop

TRACK = "drawers-floor_track-fenced_20-parallel_double-fence"
STANDING = "drawers-pedestal-fenced_20-parallel_double-fence"
BELTS = "infeed_conveyor-out_conveyor-pedestal-fenced_20-parallel_double-fence"
OFFSET, APPROACH, DEPTH, SPACING = 1.0, 0.45, 0.45, 3.2


def laid(concept_id: str, of: Inquiry | None = None) -> tuple[Layout, dict[str, float], Sheet]:
    """A layout, its distances as numbers, and the sheet."""
    of, sheet = of or shop(), Sheet()
    found = layout(of, concept(concept_id, of), catalogue(), sheet)
    return found, {pair: sheet.value(fact) for pair, fact in found.distances.items()}, sheet


def test_the_figures_that_the_expected_numbers_rest_on() -> None:
    """The catalogue's likely values and the shop's own."""
    figures, machine = catalogue().figures, shop().machines[0]
    assert figures["presenter_offset_m"].value == OFFSET
    assert figures["approach_m"].value == APPROACH
    assert (machine.load_depth_m.value, machine.spacing_m.value) == (DEPTH, SPACING)


def test_on_a_track_distances_run_along_it() -> None:
    """Presenter before the first machine, the second one a spacing on; the foot stands square before each door."""
    found, far, sheet = laid(TRACK)

    assert far["presenter machine_1"] == pytest.approx(OFFSET)
    assert far["presenter machine_2"] == pytest.approx(OFFSET + SPACING)
    assert far["machine_1 machine_2"] == pytest.approx(SPACING)
    assert far["presenter outfeed"] == far["presenter home"] == 0.0
    assert far["base machine_1"] == pytest.approx(APPROACH + DEPTH)
    assert sheet.value(found.track) == pytest.approx(OFFSET + SPACING)


def test_a_fixed_arm_stands_before_the_middle_of_the_row() -> None:
    """Half a spacing to each side; presenter behind the arm; hypotenuses throughout."""
    found, far, _ = laid(STANDING)

    assert far["base machine_1"] == far["base machine_2"] == pytest.approx(math.hypot(SPACING / 2, APPROACH + DEPTH))
    assert far["presenter machine_1"] == pytest.approx(math.hypot(SPACING / 2, APPROACH + OFFSET))
    assert far["machine_1 home"] == pytest.approx(math.hypot(SPACING / 2, APPROACH))
    assert far["presenter home"] == pytest.approx(OFFSET)
    assert found.track == ""


def test_belts_stand_on_two_sides() -> None:
    """An outfeed of its own does not stand where the presenter stands."""
    found, far, _ = laid(BELTS)

    assert far["presenter outfeed"] == pytest.approx(math.hypot(OFFSET, OFFSET))
    assert {spot.name for spot in found.spots} == {"machine_1", "machine_2", "presenter", "outfeed", "arm"}


def test_one_machine_has_its_presenter_beside_the_arm() -> None:
    """The arm stands before the door, presenter and outfeed a quarter turn away."""
    of = shop(count=1)
    _, far, _ = laid(STANDING, of)

    assert far["presenter machine_1"] == pytest.approx(math.hypot(OFFSET, APPROACH))
    assert far["base machine_1"] == pytest.approx(APPROACH + DEPTH)
    assert "machine_1 machine_2" not in far


def test_places_have_the_names_that_cells_use() -> None:
    """Presenter, machines numbered through, outfeed, home; every pair once, and what the arm reaches for."""
    _, far, _ = laid(TRACK)
    places = ("presenter", "machine_1", "machine_2", "outfeed", "home")

    pairs = {f"{a} {b}" for i, a in enumerate(places) for b in places[i + 1 :]}
    assert far.keys() == pairs | {"base machine_1", "base machine_2", "base presenter"}


def test_machines_that_face_each_other_have_the_arm_between_them() -> None:
    """Doors 2 m apart: the foot in the middle, a metre to each door, and further in to the load position."""
    of = placed((0.0, 0.0, "north"), (0.0, 2.0, "south"))
    _, far, sheet = laid(STANDING, of)

    assert [far["base machine_1"], far["base machine_2"]] == pytest.approx([1.0 + DEPTH] * 2)
    assert far["machine_1 machine_2"] == pytest.approx(2.0)
    assert sheet.value("layout.standing.base.y") == pytest.approx(1.0)


def test_given_places_count_only_when_all_machines_have_one() -> None:
    """With one place missing the row is drawn from the spacing."""
    _, far, _ = laid(TRACK, placed((7.0, 0.0, "south")))

    assert far["machine_1 machine_2"] == pytest.approx(SPACING)


@pytest.mark.parametrize(("faces", "second"), [("south", (5.0, 0.0)), ("east", (0.0, 5.0)), ("north", (-5.0, 0.0))])
def test_a_row_may_look_anywhere(faces: str, second: tuple[float, float]) -> None:
    """The same row turned has the same distances."""
    _, far, _ = laid(TRACK, placed((0.0, 0.0, faces), (*second, faces)))

    assert far["machine_1 machine_2"] == pytest.approx(5.0)
    assert far["presenter machine_2"] == pytest.approx(OFFSET + 5.0)
    assert far["base machine_2"] == pytest.approx(APPROACH + DEPTH)


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

    assert sheet.value(found.floor_area) == pytest.approx((max(xs) - min(xs) + 1.0) * (max(ys) - min(ys) + 1.0))
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
        named = [*found.distances.values(), found.floor_area]
        named += [fact for spot in found.spots for fact in (spot.x_m, spot.y_m, spot.width_m, spot.depth_m)]
        assert all(fact in sheet for fact in named)
        assert found.coarse
        assert found.words
