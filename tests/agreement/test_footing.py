"""Loads on a floor and times that a part stays held, each found in a second way: equations, small steps, a sum."""

import math
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from millhand.formulas.footing import anchor_pull_n, foot_moment_nm
from millhand.formulas.holding_on import reservoir_hold_s, trapped_air_hold_s
from tests.checks import OWN, Check, assert_holds

G = 9.80665
ROOM = 101_325.0
ARM = {"moving_kg": 240.0, "centre_share": 0.4, "load_kg": 20.0, "reach_m": 1.75, "dynamic_factor": 2.0}
ANCHORS = {"moment_nm": 3_900.0, "mass_kg": 400.0, "spacing_m": 0.5}
VACUUM = {"volume_m3": 0.002, "held_pa": 55_000.0, "least_pa": 12_000.0, "gap_m2": 5e-7, "density_kg_m3": 1.2}
AIR = {"volume_m3": 40e-6, "held_pa": 600_000.0, "least_pa": 250_000.0, "leak_m3_s": 2e-8}


def own(formula: str, inputs: Mapping[str, Any], expected: float | Callable[[], float]) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def stretched() -> float:
    """The arm as a hundred thousand slices, each as heavy as the next, so far out that their mean is at its centre."""
    slices, out = 100_000, 2.0 * ARM["centre_share"] * ARM["reach_m"]
    slice_kg = ARM["moving_kg"] / slices
    arm = math.fsum(slice_kg * G * (number + 0.5) / slices * out for number in range(slices))
    return (arm + ARM["load_kg"] * G * ARM["reach_m"]) * ARM["dynamic_factor"]


def pulled() -> float:
    """Four equal springs under a stiff plate, by its equations of balance: sink and tilt, then the pull of one."""
    at = ANCHORS["spacing_m"] / 2.0
    springs = [(-at, -at), (-at, at), (at, -at), (at, at)]
    stiffness = np.zeros((2, 2))
    for x, _ in springs:
        stiffness += np.outer([1.0, x], [1.0, x])
    sink, tilt = np.linalg.solve(stiffness, [-ANCHORS["mass_kg"] * G, ANCHORS["moment_nm"]])
    return max(float(sink + tilt * x) for x, _ in springs)


def filled() -> float:
    """The time at which the drop has fallen so far, by integrating the flow through the gap."""

    def flow(_: float, drop: Any) -> Any:
        speed = np.sqrt(2.0 * np.maximum(drop, 0.0) / VACUUM["density_kg_m3"])
        return -ROOM / VACUUM["volume_m3"] * VACUUM["gap_m2"] * speed

    def enough(_: float, drop: Any) -> float:
        return float(drop[0]) - VACUUM["least_pa"]

    enough.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(flow, (0.0, 100.0), [VACUUM["held_pa"]], events=enough, rtol=1e-12, atol=1e-6)
    assert found.t_events is not None
    return float(found.t_events[0][0])


def leaked() -> float:
    """Air that is in the cylinder before and after, as volumes at the room's pressure, over what is lost a second."""
    before, after = (AIR["volume_m3"] * AIR[name] / ROOM for name in ("held_pa", "least_pa"))
    return (before - after) / AIR["leak_m3_s"]


def beside_a_column() -> float:
    """The reactions of two simple beams that meet on a column, with the carriage above it, and its own weight."""
    span, weight = 5.0, 60.0 * G
    return 2.0 * (weight * span / 2.0) + 7_000.0 + 90.0 * G


CHECKS = [
    own("heaviest_kg", {"masses_kg": (12.0, 380.0, 150.0)}, 380.0),
    own("mass_by_length_kg", {"mass_kg": 40.0, "by_length_kg_m": 22.0, "length_m": 13.0}, 40.0 + sum([22.0] * 13)),
    own(
        "mass_by_length_kg", {"mass_kg": 800.0, "by_length_kg_m": 160.0, "length_m": 5.5, "included_m": 3.5},
        800.0 + 160.0 + 160.0,
    ),
    own(
        "mass_by_length_kg", {"mass_kg": 800.0, "by_length_kg_m": 160.0, "length_m": 2.0, "included_m": 3.5}, 800.0,
    ),
    own("laden_kg", {"mass_kg": 250.0, "layers": 12.0, "load_kg": 60.0}, 250.0 + sum([60.0] * 12)),
    own("floor_pressure_pa", {"mass_kg": 600.0, "length_m": 0.8, "width_m": 0.5}, lambda: 600.0 * G / (80 * 50) * 1e4),
    own("foot_moment_nm", ARM, stretched),
    own("anchor_pull_n", ANCHORS, pulled),
    own(
        "support_load_n",
        {"moving_n": 7_000.0, "by_length_kg_m": 60.0, "span_m": 5.0, "support_kg": 90.0},
        beside_a_column,
    ),
    own("plate_pressure_pa", {"force_n": 9_000.0, "side_m": 0.3}, 9_000.0 / (30 * 30) * 1e4),
    own("greatest_pressure_pa", {"pressures_pa": (4_000.0, 9_500.0, 100.0)}, 9_500.0),
    own(
        "run_of_pieces_m",
        {"xs_m": (0.0, 3.0, 3.0), "ys_m": (0.0, 0.0, 4.0), "to_xs_m": (3.0, 3.0, 0.0), "to_ys_m": (0.0, 4.0, 0.0)},
        3.0 + 4.0 + 5.0,
    ),
    own("least_pressure_pa", {"held_pa": 60_000.0, "demand_n": 45.0, "limit_n": 180.0}, 15_000.0),
    own("reservoir_hold_s", VACUUM, filled),
    own("cylinder_air_m3", {"force_n": 1_200.0, "stroke_m": 0.04, "pressure_pa": 600_000.0},
        lambda: 2 * (600.0 / 600_000.0) * 0.02),  # two pistons, each with half of the force, each over half of the way
    own("trapped_air_hold_s", AIR, leaked),
    own("emergency_stops", {"panels": 2.0, "gates": 1.0, "places": 2.0}, 5.0),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_second_way(check: Check) -> None:
    """Both ways agree."""
    assert_holds(check)


def test_a_weight_that_outdoes_the_moment_leaves_no_pull() -> None:
    """Below its weight's share no anchor is lifted, and just above it one is."""
    weighs = ANCHORS["mass_kg"] * G / 4.0
    level = weighs * 2.0 * ANCHORS["spacing_m"]

    assert anchor_pull_n(level * 0.99, mass_kg=400.0, spacing_m=0.5) == 0.0
    assert anchor_pull_n(level * 1.01, mass_kg=400.0, spacing_m=0.5) == pytest.approx(weighs * 0.01)


def test_an_arm_without_a_load_still_tips() -> None:
    """The moving masses alone give the rest of the moment."""
    bare = foot_moment_nm(**(ARM | {"load_kg": 0.0}))

    assert foot_moment_nm(**ARM) - bare == pytest.approx(20.0 * G * 1.75 * 2.0)


@pytest.mark.parametrize("hold", [reservoir_hold_s, trapped_air_hold_s])
def test_nothing_holds_that_is_too_weak_already(hold: Callable[..., float]) -> None:
    """Where the pressure is below what the part asks for, the time is none, not less than none."""
    inputs = VACUUM if hold is reservoir_hold_s else AIR

    assert hold(**(inputs | {"least_pa": inputs["held_pa"] * 1.5})) == 0.0
    assert hold(**(inputs | {"least_pa": inputs["held_pa"] * 0.5})) > 0.0
