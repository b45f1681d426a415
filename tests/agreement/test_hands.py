"""What the checks of a hand ask for, each found in a second way."""

import math

import pytest

from millhand.formulas.derating import load_use_share
from millhand.formulas.fingers import door_margin_m
from millhand.formulas.hands import passage_m, payload_at_lever_kg
from millhand.solvers.moves.tool_load import Box, FlangeLoad, flange_load
from tests.checks import OWN, Check, assert_holds


def own(formula: str, expected: float, **inputs: object) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def on_the_flange(hands: int) -> FlangeLoad:
    """A hand of 200 mm, or two at right angles, as boxes: bodies, fingers, and a plate of 120 x 80 x 40 mm in each."""
    turns = (0.0,) if hands == 1 else (math.pi / 4.0, -math.pi / 4.0)
    boxes = []
    for turn in turns:
        for mass, sides, away in (
            (2.0, (0.1, 0.1, 0.12), 0.06), (0.7, (0.1, 0.1, 0.08), 0.16), (2.4, (0.12, 0.04, 0.08), 0.2),
        ):  # fmt: skip
            place = (away * math.sin(turn), 0.0, away * math.cos(turn))
            boxes.append(Box(mass_kg=mass, sides_m=sides, at_m=place))
    return flange_load(boxes)


ONE = {"gripper_kg": 2.0, "fingers_kg": 0.7, "parts_kg": 2.4, "length_m": 0.2}
TWO = {"gripper_kg": 4.0, "fingers_kg": 1.4, "parts_kg": 4.8, "length_m": 0.2}
SHAPE = {"width_m": 0.1, "sides_m": [0.08, 0.12, 0.04]}
CHECKS = [
    own("hand_lever_m", on_the_flange(1).lever_m, hands=1.0, **ONE),
    own("hand_lever_m", on_the_flange(2).lever_m, hands=2.0, **TWO),
    own("static_moment_nm", on_the_flange(2).moment_nm, mass_kg=10.2, lever_m=on_the_flange(2).lever_m),
    own("hand_inertia_kg_m2", max(on_the_flange(1).inertia_kg_m2), **ONE, **SHAPE),
    own("hand_inertia_kg_m2", max(on_the_flange(2).inertia_kg_m2), **TWO, **SHAPE),
    own("force_of_each_jaw_n", 1600.0 / 3.0, force_n=1600.0, jaws=3.0),
    own("greatest_force_n", sorted([80.0, 310.0, 12.0])[-1], forces_n=[80.0, 310.0, 12.0]),
    own("program_accel_m_s2", 2.0 * 0.3 / 0.3**2, speed_m_s=2.0, ramp_s=0.3),  # twice the half of v t, over t squared
    own("payload_at_lever_kg", 40.0 / 0.25 / 9.80665, payload_kg=40.0 / 0.2 / 9.80665, lever_m=0.25, rated_lever_m=0.2),
    own("half_of_length_m", 0.35 - 0.175, length_m=0.35),
    own("passage_m", 0.05 + 0.46 + 0.05, outline_m=0.46, clearance_m=0.05),
    own("full_tray_kg", math.fsum([2.4] * 18) + 3.0, parts=18.0, part_kg=2.4, tray_kg=3.0),
    own("sum_of_masses_kg", 28.0 + 5.5, masses_kg=[28.0, 5.5]),
    own("trays_per_min", 1.0 / (22.0 * 3.0), rate_parts_per_h=20.0, parts_per_tray=22.0),  # a part each 3 minutes
    own("visits_of_parts", float(len(range(0, 170, 66))), parts=170.0, places=66.0),
    own("visits_of_parts", float(len(range(0, 132, 66))), parts=132.0, places=66.0),
    own("parts_in_mass", float(len(range(85, 8001, 85))), filled_kg=8.0, part_kg=0.085),  # each 85 g more, to 8000 g
    own("parts_in_mass", 1.0, filled_kg=8.0, part_kg=12.0),
    own("boxes_per_h", 1.0 / (94.0 / 280.0), rate_parts_per_h=280.0, parts=94.0),  # one box takes so long
    own("cut_volume_m3", 2.4 / 7850.0 - 1.7 / 7850.0, raw_kg=2.4, finished_kg=1.7, density_kg_m3=7850.0),
    own("moving_overhang_m", 0.68 - 0.45, reach_m=1.7, centre_share=0.4, edge_m=0.45),
    own("moving_stop_accel_m_s2", (15.0 / 1.7) * 0.68, stop_accel_m_s2=15.0, centre_share=0.4),  # same turn, own radius
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_formula_agrees_with_a_second_way(check: Check) -> None:
    """Found in a second way."""
    assert_holds(check)


@pytest.mark.parametrize("lever_m", [0.0, 0.1, 0.2, 0.3, 0.9])
def test_a_load_at_its_limit_uses_all_of_the_payload(lever_m: float) -> None:
    """The mass that payload_at_lever_kg allows has a use of one beyond the rated lever, and of one up to it."""
    allowed = payload_at_lever_kg(20.0, lever_m=lever_m, rated_lever_m=0.2)

    assert load_use_share(allowed, rated_kg=20.0, lever_m=lever_m, rated_lever_m=0.2) == pytest.approx(1.0)


def test_a_passage_as_wide_as_the_opening_leaves_no_margin() -> None:
    """door_margin_m of the same figures is nought there."""
    assert door_margin_m(0.56, circle_m=0.46, clearance_m=0.05) == pytest.approx(
        0.56 - passage_m(0.46, clearance_m=0.05)
    )


@pytest.mark.parametrize("part_kg", [0.1, 2.4, 20.0])
def test_both_hands_full_pull_harder_than_one(part_kg: float) -> None:
    """With one hand empty the load hangs to one side, and its moment is less all the same."""

    def pulls(full: int) -> float:
        ahead = math.cos(math.pi / 4.0)
        bare = [Box(mass_kg=5.4, sides_m=(0.1, 0.1, 0.2), at_m=(0.0, 0.0, 0.1 * ahead))]
        sides = [
            Box(mass_kg=part_kg, sides_m=(0.1,) * 3, at_m=(0.2 * ahead * way, 0.0, 0.2 * ahead)) for way in (1, -1)
        ]
        return flange_load([*bare, *sides[:full]]).moment_nm

    assert pulls(2) > pulls(1)
