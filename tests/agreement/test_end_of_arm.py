"""What jaws, cups, magnets and stands must hold, by balances of forces that are solved numerically."""

import cmath
import math
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

import pytest
from scipy.optimize import brentq, linprog, minimize_scalar

from millhand.formulas.grip import grip_force_n, grip_force_per_jaw_n, suction_required_n, suction_required_shear_n
from millhand.formulas.jaws import line_force_limit_n, line_pressure_pa, ring_moment_share, worst_grip_force_n
from millhand.formulas.vacuum import leaking_vacuum_pa, porous_vacuum_pa, suction_required_sideways_n
from tests.checks import OWN, Check, assert_holds

G = 9.80665
BLOCK = {"mass_kg": 4.0, "accel_m_s2": 6.0, "friction": 0.15, "factor": 2.0}
SHAFT = BLOCK | {"half_angle_rad": math.radians(45.0)}
LINE = {"contact_m": 0.02, "diameter_m": 0.05, "modulus_pa": 1.1e11}
PUMP = {"closed_pa": 80_000.0, "open_m3_s": 0.002}


def own(formula: str, inputs: Mapping[str, Any], expected: float | Callable[[], float]) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def held_in_any_direction(mass: float, accel: float, friction: float, factor: float) -> float:
    """The greatest total normal force over directions of the acceleration: friction on the faces, no jaw lifts off."""

    def needed(angle: float) -> float:
        along, across = accel * math.cos(angle), accel * math.sin(angle)
        return max(mass * abs(G + along) / friction, mass * abs(across)) * factor

    return max(needed(step * math.pi / 180.0) for step in range(360))


def upright(mass: float, accel: float, friction: float, factor: float) -> float:
    """Jaws above each other: the greater of sideways friction and the upper jaw lifting off, over all directions."""

    def needed(angle: float) -> float:
        aside, up = accel * math.cos(angle), accel * math.sin(angle)
        return max(mass * abs(aside) / friction, mass * abs(G + up)) * factor

    return max(needed(step * math.pi / 180.0) for step in range(360))


def pulled(mass: float, side: float, friction: float, factor: float) -> float:
    """Total normal force at which friction just equals weight and pull together, worst over the pull's directions."""

    def load(angle: float) -> float:
        return math.hypot(side * math.cos(angle), mass * G + side * math.sin(angle))

    worst = max(load(step * math.pi / 180.0) for step in range(360))
    return float(brentq(lambda force: friction * force / factor - worst, 0.0, 1e6, xtol=1e-9))


def three_jaws(load: float) -> float:
    """Least force of each of three linked jaws so that none lifts off, for the worst direction of a load, by a program.

    Variables: the closing force F, and the shares by which the part loads each jaw; all shares add up to nothing.
    """

    def least(angle: float) -> float:
        jaws = [2.0 * math.pi * jaw / 3.0 for jaw in range(3)]
        balance_x = [0.0, *(math.cos(jaw) for jaw in jaws)]
        balance_y = [0.0, *(math.sin(jaw) for jaw in jaws)]
        result = linprog(
            [1.0, 0.0, 0.0, 0.0],
            A_eq=[balance_x, balance_y, [0.0, 1.0, 1.0, 1.0]],
            b_eq=[load * math.cos(angle), load * math.sin(angle), 0.0],
            A_ub=[[-1.0, *(1.0 if jaw == other else 0.0 for other in range(3))] for jaw in range(3)],
            b_ub=[0.0] * 3,
            bounds=[(0.0, None), *[(None, None)] * 3],
        )
        return float(result.fun)

    return max(least(step * math.pi / 60.0) for step in range(120))


def v_jaws(load: float, half_angle: float) -> float:
    """Mean closing force of two linked V-jaws on a frictionless shaft, for the worst direction of a load, by a program.

    Variables: the closing force, then what each of the four faces presses.
    """
    normals = [
        (along * math.sin(half_angle), across * math.cos(half_angle)) for along in (1.0, -1.0) for across in (1.0, -1.0)
    ]

    def least(angle: float) -> float:
        result = linprog(
            [1.0, 0.0, 0.0, 0.0, 0.0],
            A_eq=[
                [0.0, *(normal[0] for normal in normals)],
                [0.0, *(normal[1] for normal in normals)],
                [-2.0, *(abs(normal[0]) for normal in normals)],
            ],
            b_eq=[load * math.cos(angle), load * math.sin(angle), 0.0],
        )
        return float(result.fun)

    return max(least(step * math.pi / 60.0) for step in range(120))


def crossing(leak: Callable[[float], float]) -> float:
    """The drop at which a source's straight line gives just what leaks in."""

    def surplus(drop: float) -> float:
        return PUMP["open_m3_s"] * (1.0 - drop / PUMP["closed_pa"]) - leak(drop)

    return float(brentq(surplus, 0.0, PUMP["closed_pa"], xtol=1e-7, rtol=1e-14))


def indentation_force(pressure: float) -> float:
    """Force of a line contact from its half width: the load a length is pi/2 x half width x greatest pressure."""
    half_width = 2.0 * pressure * (LINE["diameter_m"] / 2.0) / LINE["modulus_pa"]
    return math.pi / 2.0 * half_width * pressure * LINE["contact_m"]


def widest_chord(radius: float, jaws: int, width: float) -> float:
    """Distance between the near corners of two jaws, as points in the plane."""
    depth = math.sqrt(radius**2 - (width / 2.0) ** 2)
    first = complex(depth, width / 2.0)
    second = complex(depth, -width / 2.0) * cmath.exp(2j * math.pi / jaws)
    return abs(second - first)


def swept(reach: float, half_width: float) -> float:
    """Twice the farthest distance of a corner from the axis while it turns."""
    found = minimize_scalar(
        lambda angle: -(reach * math.cos(angle) + half_width * math.sin(angle)),
        bounds=(0.0, math.pi / 2.0),
        method="bounded",
        options={"xatol": 1e-12},
    )
    return 2.0 * -float(found.fun)


def ring_moment(jaws: int) -> float:
    """Moment under a jaw of a ring between two jaws: hoop force from balance, mean moment zero as nothing turns."""
    half = math.pi / jaws
    hoop = 0.5 / math.sin(half)  # at the middle between two jaws, for a jaw force of 1 on a radius of 1
    steps = 20_000
    bends = [hoop * (1.0 - math.cos(half * (step + 0.5) / steps)) for step in range(steps)]
    middle = -math.fsum(bends) / steps
    return middle + hoop * (1.0 - math.cos(half))


CHECKS = [
    own("stop_accel_m_s2", {"speed_m_s": 2.0, "stop_s": 0.25, "peak": 1.5}, 12.0),
    own("worst_grip_force_n", BLOCK | {"stop_accel_m_s2": 3.0}, lambda: held_in_any_direction(4.0, 6.0, 0.15, 2.0)),
    own("worst_grip_force_n", BLOCK | {"stop_accel_m_s2": 20.0}, lambda: held_in_any_direction(4.0, 20.0, 0.15, 2.0)),
    own("upright_grip_force_n", BLOCK, lambda: upright(4.0, 6.0, 0.15, 2.0)),
    own("upright_grip_force_n", BLOCK | {"friction": 0.6}, lambda: upright(4.0, 6.0, 0.6, 2.0)),
    own(  # two jaws of two faces at 45 degrees: each face presses F / sqrt(2)
        "v_jaw_friction_force_per_jaw_n", SHAFT, 4.0 * (G + 6.0) * 2.0 / (4.0 * 0.15 / math.sqrt(2.0))
    ),
    own("v_and_flat_jaw_force_n", SHAFT, 4.0 * (G + 6.0) * 2.0 / (0.15 * (1.0 + 2.0 / math.sqrt(2.0)))),
    own(
        "three_jaw_across_force_per_jaw_n",
        {"mass_kg": 4.0, "accel_m_s2": 6.0, "factor": 2.0},
        lambda: three_jaws(4.0 * (G + 6.0) * 2.0),
    ),
    *(
        own(
            "v_jaw_across_force_per_jaw_n",
            {"mass_kg": 4.0, "accel_m_s2": 6.0, "half_angle_rad": math.radians(degrees), "factor": 2.0},
            partial(v_jaws, 4.0 * (G + 6.0) * 2.0, math.radians(degrees)),
        )
        for degrees in (30.0, 45.0, 60.0)
    ),
    own(
        "side_force_grip_n",
        {"side_n": 30.0, "mass_kg": 4.0, "friction": 0.15, "factor": 2.0},
        lambda: pulled(4.0, 30.0, 0.15, 2.0),
    ),
    own("form_fit_force_n", {"mass_kg": 4.0, "accel_m_s2": 6.0, "factor": 2.0}, 48.0),
    own("force_at_finger_n", {"force_n": 400.0, "rated_m": 0.05, "finger_m": 0.08}, 250.0),
    own("force_at_finger_n", {"force_n": 400.0, "rated_m": 0.05, "finger_m": 0.03}, 400.0),
    own("flat_pressure_pa", {"force_n": 300.0, "area_m2": 2e-4, "bearing_share": 0.5}, 3e6),
    own(  # alike bodies halve the stiffness of one: E / (2 (1 - 0.09))
        "contact_modulus_pa",
        {"part_pa": 210e9, "part_poisson": 0.3, "jaw_pa": 210e9, "jaw_poisson": 0.3},
        210e9 / 1.82,
    ),
    own("line_force_limit_n", LINE | {"pressure_pa": 3e8}, lambda: indentation_force(3e8)),
    own(
        "ring_force_limit_per_jaw_n",
        {"stress_pa": 1e8, "radius_m": 0.04, "wall_m": 0.004, "width_m": 0.03, "jaws": 2.0},
        1e8 * 0.03 * 0.004**2 / 6.0 / (0.04 / math.pi),
    ),
    own("part_force_limit_n", {"given_n": 500.0, "pressure_n": 150.0, "faces": 4.0}, 500.0),
    own("part_force_limit_n", {"given_n": 700.0, "pressure_n": 150.0, "faces": 4.0}, 600.0),
    own("porous_vacuum_pa", PUMP | {"leak_m3_s_pa": 3e-8}, lambda: crossing(lambda drop: 3e-8 * drop)),
    own(
        "leaking_vacuum_pa",
        PUMP | {"gap_m2": 2e-6, "density_kg_m3": 1.2},
        lambda: crossing(lambda drop: 2e-6 * math.sqrt(2.0 * drop / 1.2)),
    ),
    own("suction_required_sideways_n", BLOCK, 2.0 * (4.0 * G + 4.0 * 6.0 / 0.15)),
    own(  # the force that four cups of 50 mm pull with 0.9 of their area at 60 kPa
        "cup_diameter_m",
        {"force_n": 4 * 117.80972450961724 * 0.9, "pressure_drop_pa": 60_000.0, "cups": 4.0, "area_share": 0.9},
        0.05,
    ),
    own(
        "magnet_force_n",
        {"rated_n": 400.0, "gap_m": 0.001, "quarter_gap_m": 0.0005, "part_share": 0.9},
        400.0 * 0.9 / 9.0,
    ),
    own(  # a third of the thickness carries a third of the flux, and pull goes with flux times flux
        "sheet_pull_share", {"thickness_m": 0.002, "full_m": 0.006}, (0.002 / 0.006) * (0.002 / 0.006)
    ),
    own("sheet_pull_share", {"thickness_m": 0.02, "full_m": 0.006}, 1.0),
    own("magnet_required_n", {"mass_kg": 4.0, "accel_m_s2": 6.0, "factor": 2.0}, 8.0 * G + 48.0),
    own(  # from 62 mm down to 40 mm, 1 mm of scatter, 4 mm to let go
        "family_travel_m", {"sizes_m": (0.062, 0.055, 0.04), "tolerance_m": 0.001, "clearance_m": 0.004}, 0.027
    ),
    own("family_opening_m", {"sizes_m": (0.062, 0.055, 0.04), "tolerance_m": 0.001, "clearance_m": 0.004}, 0.067),
    own("finger_gap_m", {"finger_m": 0.012, "open_m": 0.004, "play_m": 0.001, "arm_m": 0.0005}, 0.0185),
    own("chuck_gap_m", {"radius_m": 0.06, "jaws": 3.0, "jaw_width_m": 0.03}, lambda: widest_chord(0.06, 3, 0.03)),
    own("chuck_gap_m", {"radius_m": 0.06, "jaws": 4.0, "jaw_width_m": 0.04}, lambda: widest_chord(0.06, 4, 0.04)),
    own("chuck_gap_m", {"radius_m": 0.02, "jaws": 3.0, "jaw_width_m": 0.05}, 0.0),
    own("turning_circle_m", {"reach_m": 0.31, "half_width_m": 0.12}, lambda: swept(0.31, 0.12)),
    own("door_margin_m", {"opening_m": 0.8, "circle_m": 0.66, "clearance_m": 0.05}, 0.04),
    own(  # 400 kg at 0.35 m hold, 50 kg stopped with 15 m/s2 at 1.4 m and hanging 0.2 m over the edge tip
        "tipping_factor",
        {
            "stand_kg": 400.0,
            "moving_kg": 50.0,
            "edge_m": 0.35,
            "overhang_m": 0.2,
            "height_m": 1.4,
            "stop_accel_m_s2": 15.0,
        },
        140.0 * G / (50.0 * 15.0 * 1.4 + 10.0 * G),
    ),
    own(
        "tipping_factor",
        {
            "stand_kg": 400.0,
            "moving_kg": 50.0,
            "edge_m": 0.35,
            "overhang_m": -0.1,
            "height_m": 1.4,
            "stop_accel_m_s2": 15.0,
        },
        145.0 * G / 1050.0,
    ),
    own(
        "sliding_factor",
        {"stand_kg": 400.0, "moving_kg": 50.0, "friction": 0.3, "stop_accel_m_s2": 15.0},
        135.0 * G / 750.0,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)


def test_the_worst_case_is_plain_friction_under_the_harder_stop() -> None:
    """Without an emergency stop it equals grip_force_n, and per jaw it is that over the jaws."""
    plain = grip_force_n(4.0, accel_m_s2=6.0, friction=0.15, factor=2.0)

    assert worst_grip_force_n(4.0, accel_m_s2=6.0, stop_accel_m_s2=0.0, friction=0.15, factor=2.0) == plain
    assert grip_force_per_jaw_n(4.0, accel_m_s2=6.0, friction=0.15, factor=2.0, jaws=2.0) == plain / 2.0


@pytest.mark.parametrize("jaws", [2, 3, 4, 6])
def test_a_ring_bends_as_its_balance_says(jaws: int) -> None:
    """Moment under a jaw by summing along the wall: the ring closes, so its mean moment is zero."""
    assert math.isclose(ring_moment_share(float(jaws)), ring_moment(jaws), rel_tol=1e-6)


def test_pressure_and_force_of_a_line_contact_are_inverse() -> None:
    """The force limit of a pressure gives that pressure again."""
    force_n = line_force_limit_n(3e8, **LINE)

    assert math.isclose(line_pressure_pa(force_n, **LINE), 3e8, rel_tol=1e-12)


def test_a_tight_face_keeps_the_whole_vacuum() -> None:
    """Without a leak the source reaches its closed pressure; sideways without acceleration only the weight is held."""
    assert porous_vacuum_pa(**PUMP, leak_m3_s_pa=0.0) == PUMP["closed_pa"]
    assert math.isclose(leaking_vacuum_pa(**PUMP, gap_m2=0.0, density_kg_m3=1.2), PUMP["closed_pa"])
    still = suction_required_n(4.0, accel_m_s2=0.0, factor=2.0)
    assert suction_required_sideways_n(4.0, accel_m_s2=0.0, friction=0.5, factor=2.0) == still
    assert suction_required_shear_n(4.0, accel_m_s2=0.0, friction=0.5, factor=2.0) == 2.0 * still
