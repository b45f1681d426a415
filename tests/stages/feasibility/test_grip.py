"""Does the hand hold the part, and does the part bear it: forces of each jaw against numbers worked here."""

import math
from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.grip_force import grip_of, window
from tests.stages.feasibility.judged import TRACK, Judged, asked_of, judged
from tests.stages.shop import shop

G = 9.80665
SINGLE = TRACK.replace("double", "single")
GENTLE = "trays-floor_track-force_limited_12-parallel_double-scanner"
CUPS = "trays-floor_track-fenced_20-vacuum_double-fence"
SHEET: dict[str, float | str] = {"shape": "flat", "film": "dry", "raw__height": 0.002}
SHAFT: dict[str, float | str] = {"shape": "round", "raw__length": 0.2, "raw__width": 0.05}
DISC: dict[str, float | str] = {"shape": "round", "raw__length": 0.05, "raw__width": 0.08}
CENTRIC = TRACK.replace("parallel", "centric")


def bearing(force_n: float) -> Inquiry:
    """The shop whose part bears so much from each jaw."""
    of = shop()
    fact = Fact(id="parts.bracket.bears", value=force_n, unit="N", basis="given", source="test")
    return replace(of, parts=(replace(of.parts[0], bears_n=fact),))


def test_two_flat_jaws_hold_by_friction_at_a_hard_stop() -> None:
    """m (g + a) S / mu over two jaws with the friction of an oily film at its low end, stop at 15 m/s2."""
    demand, limit = judged().numbers("grip_force")

    assert demand == pytest.approx(1.17 * (G + 15.0) * 2.0 / 0.10 / 2.0)
    assert limit == 800.0
    assert judged(TRACK, shop(film="dry")).numbers("grip_force")[0] == pytest.approx(demand * 0.10 / 0.15)


def test_a_gentle_arm_stops_less_hard() -> None:
    """8 m/s2 instead of 15, still more than its program."""
    assert judged(GENTLE).numbers("grip_force")[0] == pytest.approx(1.17 * (G + 8.0) * 2.0 / 0.10 / 2.0)


def test_a_v_across_a_shaft_asks_for_less_than_flat_jaws() -> None:
    """Four faces at 45 degrees share the load: sin 45 of what flat jaws would need."""
    found = judged(TRACK, shop(**SHAFT))

    assert found.numbers("grip_force")[0] == pytest.approx(1.17 * (G + 15.0) * 2.0 / 0.10 / 2.0 * math.sin(math.pi / 4))
    assert found.verdicts["grip_force"].formula == "v_jaw_friction_force_per_jaw_n"


def test_three_jaws_share_the_load() -> None:
    """A third of the total each; that none lifts off asks for less."""
    demand, limit = judged(CENTRIC, shop(**DISC)).numbers("grip_force")

    assert demand == pytest.approx(1.17 * (G + 15.0) * 2.0 / 0.10 / 3.0)
    assert limit == pytest.approx(2600.0 / 3.0)


@pytest.mark.parametrize(
    ("concept", "changes"), [(TRACK, {}), (SINGLE, {"film": "dry"}), (TRACK, SHAFT), (CENTRIC, DISC), (GENTLE, {})]
)
def test_the_verdict_asks_for_what_the_solver_finds(concept: str, changes: dict[str, float | str]) -> None:
    """The window of solvers/holding, from the same figures: the same force, the same margin."""
    asked = asked_of(concept, shop(**changes))
    demand, limit = judged(concept, shop(**changes)).numbers("grip_force")
    assert asked.concept.arm is not None
    assert asked.concept.gripper is not None

    found = window(asked, asked.concept.arm, asked.concept.gripper)

    assert found.least_n == pytest.approx(demand)
    assert found.margin_n == pytest.approx(limit - demand)


def test_only_a_parallel_gripper_takes_a_round_part_with_a_v() -> None:
    """Flat jaws on a block, three round a disc."""

    def form(asked: Asked) -> tuple[str, int]:
        assert asked.concept.gripper is not None
        grip = grip_of(asked, asked.concept.gripper)
        return grip.hold, grip.jaws

    assert form(asked_of(TRACK, shop())) == ("friction", 2)
    assert form(asked_of(TRACK, shop(**SHAFT))) == ("v_jaws", 2)
    assert form(asked_of(CENTRIC, shop(**DISC))) == ("friction", 3)


def test_a_weak_grip_warns_and_a_hopeless_one_ends_the_concept() -> None:
    """Between the usual and the strongest gripper of the class a ledge may help; beyond it nothing does."""
    weak, hopeless = judged(SINGLE, shop(raw_mass=4)), judged(SINGLE, shop(raw_mass=8))

    verdict = weak.verdicts["grip_force"]
    assert (verdict.holds, verdict.kills) == (False, False)
    assert weak.sheet.value(verdict.margin) == pytest.approx(1.0 - 4.0 * (G + 15.0) * 2.0 / 0.10 / 1600.0)
    assert "fingers that hold by shape (60 N with a ledge under the part)" in weak.sentence("grip_force")
    assert (hopeless.verdicts["grip_force"].holds, hopeless.verdicts["grip_force"].kills) == (False, True)
    assert "no gripper of the class is strong enough" in hopeless.sentence("grip_force")


def left_pa(closed_pa: float, *, open_m3_s: float, gap_m2: float) -> float:
    """The drop at which what flows in through a gap is what the source takes away, by halving."""
    low, high = 0.0, closed_pa
    for _ in range(80):
        middle = (low + high) / 2.0
        more = gap_m2 * math.sqrt(2.0 * middle / 1.2) < open_m3_s * (1.0 - middle / closed_pa)
        low, high = (middle, high) if more else (low, middle)
    return low


def test_suction_cups_hold_by_their_area_and_what_a_leak_leaves() -> None:
    """Four cups of 40 mm, 55 kPa less the leak; the part is stopped along the face with a friction of a quarter."""
    found = judged(CUPS, shop(**SHEET))
    demand, limit = found.numbers("grip_force")

    drop_pa = left_pa(55_000.0, open_m3_s=0.001, gap_m2=5e-7)
    assert limit == pytest.approx(4 * drop_pa * math.pi / 4 * 0.04**2)
    assert demand == pytest.approx(1.17 * (G + 15.0 / 0.25) * 2.0)
    assert "does not reach the vacuum" in found.verdicts["grip_force"].caution
    assert "grip_travel" not in found.verdicts


def test_cups_too_weak_by_a_little_warn() -> None:
    """Half as heavy again: more than these cups hold, less than the strongest of the class."""
    found = judged(CUPS, shop(raw_mass=1.8, **SHEET))

    verdict = found.verdicts["grip_force"]
    assert (verdict.holds, verdict.kills) == (False, False)
    assert "larger cups or more of them" in verdict.words


def bears(found: Judged) -> tuple[bool, bool, float]:
    """Verdict of what the part bears: holds, kills, margin."""
    verdict = found.verdicts["part_bears"]
    return verdict.holds, verdict.kills, found.sheet.value(verdict.margin)


def test_what_a_part_bears_is_a_check_of_its_own() -> None:
    """290 N of each jaw: a part that bears 400 N is held, one that bears 200 N not; said nothing, nothing is asked."""
    asked_n = 1.17 * (G + 15.0) * 2.0 / 0.10 / 2.0

    assert bears(judged(TRACK, bearing(400.0))) == (True, False, pytest.approx(1.0 - asked_n / 400.0))
    assert bears(judged(TRACK, bearing(200.0))) == (False, True, pytest.approx(1.0 - asked_n / 200.0))
    assert judged(TRACK, bearing(200.0)).numbers("grip_force") == judged().numbers("grip_force")
    assert "soft or shaped fingers" in judged(TRACK, bearing(200.0)).sentence("part_bears")
    assert "part_bears" not in judged().verdicts
