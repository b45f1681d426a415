"""A light arm on a track with a belt: one figure changed, and exactly the right verdict turns, its margin by hand."""

import math

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.road import bare, size, stands_in
from millhand.stages.concepts import concepts
from tests.stages.short_road import walked
from tests.stages.test_turning_tracks import trade
from tests.stages.test_turning_verdicts import BELT, LATHES, G, example, figures, judged, told, turned

MASS_KG = 120.0 + 1.6 * 28.0 + 10.0  # carriage, whole arm, two hands with their parts
RADIUS_M = 0.01 * 36 / (2.0 * math.pi)


def thrust_n(accel_m_s2: float = 1.0) -> float:
    """Force that speeds all of it up against friction."""
    return MASS_KG * accel_m_s2 + 0.02 * MASS_KG * G


def left_m(catalogue: Catalogue | None = None) -> float:
    """What the chuck leaves after the likely error of all else."""
    verdicts, sheet = judged(BELT, example(BELT), catalogue or read_catalogue())
    return sheet.value(verdicts["placing"].limit) - sheet.value(verdicts["placing"].demand)


def strand_m() -> float:
    """Half the track: its travel of two lathes' spacing, and what the built one is longer than its travel."""
    return (2 * 2.6 + 4.5 - 3.5) / 2.0


def test_a_belt_that_bears_little_turns_the_belt() -> None:
    """A belt for 150 N of pull, whatever it stretches: beyond it the cell ends, a rack does the same."""
    weak = figures("belt_track", belt_pull_n=150.0, belt_stiffness_n=1e9)

    assert turned(BELT, catalogue=weak) == {"belt": (True, pytest.approx(1.0 - thrust_n() / 150.0))}


def test_a_soft_belt_turns_the_belt_by_its_swing() -> None:
    """Two strands, each of half the track: thrust over twice the stiffness of one, against what the chuck leaves. It
    ends the cell once not even the widest usual seat would take the part."""
    for times, kills in ((1.5, False), (9.0, True)):
        soft_n = thrust_n() * strand_m() / 2.0 / (times * left_m())
        found = turned(BELT, catalogue=figures("belt_track", belt_stiffness_n=soft_n))

        assert found == {"belt": (kills, pytest.approx(1.0 - times))}


def test_hard_ramps_turn_the_belt() -> None:
    """The carriage swings in proportion to the force: at so many m/s² by twice what the chuck leaves."""
    swing_m = thrust_n() * strand_m() / 2.0 / 1e6
    accel = (2.0 * left_m() / swing_m * thrust_n() - 0.02 * MASS_KG * G) / MASS_KG
    found = turned(BELT, catalogue=trade(track_accel_m_s2=accel))

    assert found["belt"][1] == pytest.approx(1.0 - 2.0)
    assert found.keys() <= {"belt", "track_drive"}


def test_lathes_further_apart_turn_the_travel_of_a_belt_sooner() -> None:
    """3.5 m from one to the next: 7 m, of usual 6 m and at most 8 m; 4.5 m apart ask for 9 m. A rack goes 12 m."""
    for spacing, kills in ((3.5, False), (4.5, True)):
        found = turned(BELT, told(example(BELT), spacing=spacing))
        assert found["track_travel"] == (kills, pytest.approx(1.0 - 2 * spacing / 6.0))
        assert "track_travel" not in turned(LATHES, told(example(LATHES), spacing=spacing))


def test_the_pulley_turns_the_motor() -> None:
    """36 teeth of 10 mm round the pulley: 1.2 m/s at a gear of 8."""
    verdicts, sheet = judged(BELT, example(BELT), read_catalogue())
    (speed,) = (sheet.value(key) for key in sheet.facts if key.endswith("track_drive.speed"))

    assert verdicts["track_drive"].holds
    assert speed == pytest.approx(1.2 / RADIUS_M * 8.0)


def test_a_stiffer_belt_is_never_worse() -> None:
    """The margin grows until the pull is nearer to its limit than the swing."""
    margins = []
    for stiffness in (2e5, 6e5, 1e6, 1e7, 1e9):
        verdicts, sheet = judged(BELT, example(BELT), figures("belt_track", belt_stiffness_n=stiffness))
        margins.append(sheet.value(verdicts["belt"].margin))

    assert margins == sorted(margins)
    assert margins[-1] == pytest.approx(1.0 - thrust_n() / 2500.0)


def test_a_belt_that_is_refused_leaves_the_rack_to_try() -> None:
    """One that only warns still has its cell, but does not stand in for the rack; one that holds does."""
    of = example(BELT)
    name = "infeed_conveyor-out_conveyor-belt_track-force_limited_12-centric_double-scanner"
    soft = figures("belt_track", belt_stiffness_n=thrust_n() * strand_m() / 2.0 / (1.5 * left_m()))

    assert stands_in(walked(of, name).plan)
    assert walked(of, name, soft).plan.cell is not None
    assert not stands_in(walked(of, name, soft).plan)


def test_a_rack_is_no_belt() -> None:
    """And what a carriage does to people stands beside the belt too."""
    verdicts, _ = judged(BELT, example(BELT), read_catalogue())

    assert "belt" not in judged(LATHES, example(LATHES), read_catalogue())[0]
    assert "hazard of its own" in verdicts["belt"].caution


def test_of_two_cells_alike_the_one_on_a_belt_is_looked_at_first() -> None:
    """The same arm on belt and rack goes by one name, the belt's comes first, a larger arm later."""

    def one(mount: str, arm: str) -> Concept:
        wanted = f"drawers-{mount}-{arm}-centric_double-scanner"
        return next(each for each in concepts(example(BELT), read_catalogue()) if each.id == wanted)

    on_belt, on_rack = one("belt_track", "force_limited_12"), one("floor_track", "force_limited_12")
    larger = one("floor_track", "force_limited_25")

    assert bare(on_belt) == bare(on_rack) == bare(larger)
    assert sorted((larger, on_rack, on_belt), key=size) == [on_belt, on_rack, larger]
