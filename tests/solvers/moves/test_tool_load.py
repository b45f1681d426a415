"""What hangs on a flange: a worked tool, bodies cut in two, and turned bodies."""

import pytest

from millhand.solvers.moves.tool_load import Box, Cylinder, flange_load
from tests.checks import prints_as

GRIPPER = Box(mass_kg=3.0, sides_m=(0.12, 0.1, 0.15), at_m=(0.0, 0.0, 0.075))
PART = Cylinder(mass_kg=4.0, radius_m=0.05, length_m=0.12, along="z", at_m=(0.0, 0.0, 0.21))


def test_a_gripper_of_a_box_and_a_round_part() -> None:
    """Own computation, worked separately: mass, centre, moment at 9.81 m/s², inertia across and along the flange."""
    load = flange_load([GRIPPER, PART], gravity_m_s2=9.81)

    assert load.mass_kg == 7.0
    assert prints_as(load.centre_m[2], "0.152143")
    assert prints_as(load.moment_nm, "10.4476")
    assert prints_as(load.inertia_kg_m2[0], "0.2087")
    assert prints_as(load.inertia_kg_m2[2], "0.0111")
    assert load.lever_m == load.centre_m[2]


def test_a_body_in_two_halves_is_the_body() -> None:
    """Cut across any axis, anywhere, the sums stay."""
    whole = flange_load([Box(mass_kg=2.0, sides_m=(0.2, 0.3, 0.4), at_m=(0.1, -0.05, 0.3))])
    for axis in range(3):
        halves = []
        for side in (-1.0, 1.0):
            sides, at = [0.2, 0.3, 0.4], [0.1, -0.05, 0.3]
            sides[axis] /= 2.0
            at[axis] += side * sides[axis] / 2.0
            halves.append(Box(mass_kg=1.0, sides_m=(*sides,), at_m=(*at,)))  # type: ignore[arg-type]
        cut = flange_load(halves)
        assert cut.inertia_kg_m2 == pytest.approx(whole.inertia_kg_m2, rel=1e-12)
        assert cut.centre_m == pytest.approx(whole.centre_m, rel=1e-12)


def test_a_round_body_lying_down_changes_its_axes() -> None:
    """Along x it has the inertia about x that it had about z when it stood on the flange's centre."""
    lying = flange_load([Cylinder(mass_kg=4.0, radius_m=0.05, length_m=0.12, along="x", at_m=(0.0, 0.0, 0.0))])
    standing = flange_load([Cylinder(mass_kg=4.0, radius_m=0.05, length_m=0.12, along="z", at_m=(0.0, 0.0, 0.0))])

    assert lying.inertia_kg_m2 == (standing.inertia_kg_m2[2], *standing.inertia_kg_m2[:2])
    assert standing.inertia_kg_m2[2] < standing.inertia_kg_m2[0]
