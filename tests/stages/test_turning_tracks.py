"""One figure of a cell with a track changed, and exactly the right verdict turns, its margin reckoned here by hand."""

import math
from dataclasses import replace

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.stages.feasibility.track import DRIVE
from tests.stages.test_turning_verdicts import LATHES, LIGHT, MILLS, VISES, G, example, figures, judged, told, turned

RADIUS_M = 0.004 * 20 / (2.0 * math.cos(0.34))
LOAD_KG = 516.0 - 250.0 - 1.6 * 160.0  # two flanges, fingers and jaws of the three lathes
TRACK = {"track_travel", "track_drive", "track_duty"}


def trade(**changes: float) -> Catalogue:
    """The catalogue with some of its general figures told exactly."""
    whole = read_catalogue()
    new = {
        name: replace(whole.figures[name], value=value, low=None, high=None, shape="point")
        for name, value in changes.items()
    }
    return replace(whole, figures={**whole.figures, **new})


def torque_nm(*, carriage_kg: float = 250.0, accel_m_s2: float = 1.0) -> float:
    """Force on carriage, arm of 256 kg and load, through the gear, and the motor's own inertia."""
    mass_kg = carriage_kg + 1.6 * 160.0 + LOAD_KG
    thrust_n = mass_kg * accel_m_s2 + 0.02 * mass_kg * G
    return thrust_n * RADIUS_M / (8.0 * 0.9) + 0.002 * accel_m_s2 * 8.0 / RADIUS_M


def test_the_load_rides_along() -> None:
    """Gripper, fingers and both flanges are in the moving mass, besides carriage and whole arm."""
    of, catalogue = example(LATHES), read_catalogue()
    hands = catalogue.components["centric_double"].figures

    load_kg = hands["mass_kg"].value + 2 * hands["fingers_kg"].value + 2 * of.parts[0].raw_mass_kg.value
    assert load_kg == pytest.approx(LOAD_KG)


def test_a_heavy_carriage_turns_the_drive() -> None:
    """2.7 t ask for more than the usual 20 N m, within the 35 N m of the best drive; 5 t for more than that."""
    heavy = turned(LATHES, catalogue=figures("floor_track", carriage_kg=2700.0))
    heaviest = turned(LATHES, catalogue=figures("floor_track", carriage_kg=5000.0))

    assert heavy == {"track_drive": (False, pytest.approx(1.0 - torque_nm(carriage_kg=2700.0) / 20.0))}
    assert heaviest["track_drive"] == (True, pytest.approx(1.0 - torque_nm(carriage_kg=5000.0) / 20.0))
    assert heaviest.keys() == {"track_drive", "track_duty"}


def test_hard_ramps_turn_the_drive() -> None:
    """6 m/s²: the mass and the motor's own inertia; 12 m/s² are beyond the best drive."""
    for accel_m_s2, kills in ((6.0, False), (12.0, True)):
        margin = 1.0 - torque_nm(accel_m_s2=accel_m_s2) / 20.0
        assert turned(LATHES, catalogue=trade(track_accel_m_s2=accel_m_s2)) == {
            "track_drive": (kills, pytest.approx(margin))
        }


def test_a_fast_carriage_turns_the_drive_by_its_speed() -> None:
    """2 m/s ask 377 rad/s of a motor that usually makes 314 and at best 470."""
    for speed_m_s, kills in ((2.0, False), (2.6, True)):
        found = turned(LATHES, catalogue=trade(track_speed_m_s=speed_m_s))
        assert found == {"track_drive": (kills, pytest.approx(1.0 - speed_m_s / RADIUS_M * 8.0 / 314.0))}


def test_machines_far_apart_turn_the_travel() -> None:
    """Three lathes 6.5 m from one to the next: 13 m, of usual 12 m and at most 20 m; 11 m apart ask for 22 m."""
    for spacing_m, kills in ((6.5, False), (11.0, True)):
        assert turned(LATHES, told(example(LATHES), spacing=spacing_m)) == {
            "track_travel": (kills, pytest.approx(1.0 - 2 * spacing_m / 12.0))
        }


def test_a_small_motor_turns_the_heat() -> None:
    """Rides of 5.2 and 2.6 m and none, there and back: eight ramps of 1.2 s, the rest of the ways at 1.2 m/s."""
    before, sheet = judged(LATHES, example(LATHES), read_catalogue())
    work_s = sheet.value(f"concepts.{before['track_duty'].concept}.timing.turning.work")
    cruise_nm = 0.02 * 516.0 * G * RADIUS_M / (8.0 * 0.9)
    cruise_s = 2 * (5.2 / 1.2 - 1.2) + 2 * (2.6 / 1.2 - 1.2)
    rms_nm = math.sqrt((torque_nm() ** 2 * 4 * 2 * 1.2 + cruise_nm**2 * cruise_s) / (3 * work_s))

    assert sheet.value(before["track_duty"].demand) == pytest.approx(rms_nm)
    assert turned(LATHES, catalogue=figures("floor_track", motor_rated_nm=1.0)) == {
        "track_duty": (False, pytest.approx(1.0 - rms_nm))
    }


def test_near_people_the_carriage_is_judged_at_the_speed_that_it_has_there() -> None:
    """The light arm beside people goes at 0.3 m/s, which no drive finds fast."""
    found, sheet = judged(LIGHT, example(MILLS), read_catalogue())

    assert found["track_drive"].holds
    speeds = [key for key in sheet.facts if key.endswith("track_drive.speed")]
    assert [sheet.value(key) for key in speeds] == [pytest.approx(0.3 / RADIUS_M * 8.0)]


def test_only_a_track_whose_drive_is_known_is_judged() -> None:
    """A pedestal has no carriage; of a track out of a shop's own list anything that is asked here may be unknown."""
    whole = read_catalogue()
    own = whole.components["floor_track"]
    for name in DRIVE:
        less = replace(own, figures={each: fact for each, fact in own.figures.items() if each != name})
        unknown = replace(whole, components={**whole.components, "floor_track": less})
        assert TRACK & judged(LATHES, example(LATHES), unknown)[0].keys() == {"track_travel"}
    kept = ("price", "travel_m", "price_per_m", "footprint_length_m", "footprint_width_m", "base_height_m")
    bare = replace(own, figures={name: own.figures[name] for name in kept})

    assert TRACK.isdisjoint(judged(VISES, example(VISES), whole)[0])
    changed = replace(whole, components={**whole.components, "floor_track": bare})
    assert TRACK.isdisjoint(judged(LATHES, example(LATHES), changed)[0])


@pytest.mark.parametrize("check", sorted(TRACK))
def test_what_a_carriage_does_to_people_stands_beside_each(check: str) -> None:
    """Crushing at its ends and beside machines, and who decides."""
    found, _ = judged(LATHES, example(LATHES), read_catalogue())

    for words in ("hazard of its own", "crushes", "end stops", "machines", "local codes", "competent"):
        assert words in found[check].caution
