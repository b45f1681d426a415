"""Payload, reach and speed near people, each against numbers worked here."""

import math

import pytest

from tests.stages.feasibility.judged import TRACK, judged
from tests.stages.shop import shop

SINGLE = TRACK.replace("double", "single")
STANDING = TRACK.replace("floor_track", "pedestal")
GENTLE = "trays-floor_track-force_limited_12-parallel_double-scanner"


def test_both_hands_are_full() -> None:
    """Two parts of 1.17 kg, two finger pairs of 0.7 kg, a gripper of 4 kg; one hand carries one of each."""
    assert judged().numbers("payload") == pytest.approx((2 * 1.17 + 2 * 0.7 + 4.0, 20.0))
    assert judged(SINGLE).numbers("payload") == pytest.approx((1.17 + 0.7 + 2.0, 20.0))


def test_a_finished_part_may_be_the_heavier_one() -> None:
    """An insert added on the way counts."""
    assert judged(SINGLE, shop(finished_mass=3)).numbers("payload")[0] == pytest.approx(3.0 + 0.7 + 2.0)


def test_too_heavy_a_part_ends_the_concept_and_says_so() -> None:
    """Two parts of 9 kg on an arm for 20 kg."""
    found = judged(TRACK, shop(raw_mass=9))

    verdict = found.verdicts["payload"]
    assert (verdict.holds, verdict.kills) == (False, True)
    assert found.sheet.value(verdict.margin) == pytest.approx(1.0 - (18.0 + 1.4 + 4.0) / 20.0)
    assert found.sentence("payload") == (
        "Gripper, fingers and parts are 23.4 kg on a flange that carries 20 kg with its centre 123 mm away: too "
        "heavy. A lighter gripper, one hand instead of two, or a larger arm."
    )


def test_a_mould_hands_over_its_whole_shot() -> None:
    """Four cavities: four parts hang on one hand."""
    of = shop(kind="moulding", film="dry", condition="moulded", parts_per_cycle=4)
    found = judged("from_mould-out_conveyor-floor_track-fenced_20-parallel_single-fence", of)

    assert found.numbers("payload")[0] == pytest.approx(4 * 1.17 + 0.7 + 2.0)


def test_reach_is_that_of_the_target_that_asks_for_most() -> None:
    """What the arm's links have left at the hardest target, off the reach of the arm."""
    found = judged(STANDING, shop(spacing=5))
    demand, limit = found.numbers("reach")
    left = min(found.sheet.value(each.slack) for each in found.layout.reach)

    assert limit == 1.75
    assert demand == pytest.approx(1.75 - left)
    assert left < 0.0  # mills 5 m apart
    verdict = found.verdicts["reach"]
    assert (verdict.holds, verdict.kills) == (False, True)
    assert "|mm]] are missing. A longer arm, a track" in verdict.words
    assert "Within this reach somebody can be hit" in verdict.caution


def test_on_a_track_the_arm_gets_everywhere() -> None:
    """The foot goes to each door: all is reached, with room at the joints and a gap."""
    found = judged(TRACK)

    assert all(found.verdicts[check].holds for check in ("reach", "joint_room", "arm_gap"))
    assert found.numbers("joint_room")[0] == pytest.approx(0.05)


def test_a_load_position_far_up_is_out_of_reach_on_the_track_too() -> None:
    """3.4 m above the floor no arm of the class gets a part into a door; the machine binds, not the presenter."""
    found = judged(TRACK, shop(load_height=3.4))

    assert not found.verdicts["reach"].holds
    assert found.sentence("reach").startswith("The load position of the")


def test_speed_near_people_against_the_contact_formula() -> None:
    """F / sqrt(mu k) for the chest with half the moving mass and all that hangs on the flange."""
    of = shop(people_pass="yes")
    demand, limit = judged(GENTLE, of).numbers("speed_near_people")
    robot = 28 / 2 + 2 * 1.17 + 1.4 + 4.0
    reduced = 1 / (1 / 40 + 1 / robot)

    assert demand == 0.3
    assert limit == pytest.approx(280 / math.sqrt(reduced * 25_000))
    assert "face is not allowed" in judged(GENTLE, of).verdicts["speed_near_people"].caution
    assert "speed_near_people" not in judged(TRACK, of).verdicts
    assert "speed_near_people" not in judged(GENTLE).verdicts
