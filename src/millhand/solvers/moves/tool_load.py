"""What a tool made of boxes and cylinders puts on the flange: mass, centre of gravity, static moment, inertia.

Axes are those of the flange: z points away from it, x and y lie in it. Bodies stand along these axes.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from millhand.formulas.flange import (
    box_inertia_kg_m2,
    cylinder_cross_inertia_kg_m2,
    cylinder_inertia_kg_m2,
    shifted_inertia_kg_m2,
)
from millhand.formulas.limits import GRAVITY_M_S2
from millhand.formulas.reach import gravity_centre_m, moment_n_m

Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A solid box with its sides along x, y and z and its centre at a place."""

    mass_kg: float
    sides_m: Triple
    at_m: Triple


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """A solid cylinder along one of the axes with its centre at a place."""

    mass_kg: float
    radius_m: float
    length_m: float
    along: Literal["x", "y", "z"]
    at_m: Triple


@dataclass(frozen=True, slots=True, kw_only=True)
class FlangeLoad:
    """Mass, centre of gravity, greatest static moment in any posture, inertia about x, y and z through the flange."""

    mass_kg: float
    centre_m: Triple
    moment_nm: float
    inertia_kg_m2: Triple

    @property
    def lever_m(self) -> float:
        """Distance of the centre of gravity from the flange's centre."""
        return math.hypot(*self.centre_m)


def flange_load(bodies: Sequence[Box | Cylinder], *, gravity_m_s2: float = GRAVITY_M_S2) -> FlangeLoad:
    """The sum of all bodies; at least one with a mass above zero."""
    masses = [each.mass_kg for each in bodies]
    mass = math.fsum(masses)
    x, y, z = (gravity_centre_m(masses, offsets_m=[each.at_m[axis] for each in bodies]) for axis in range(3))
    jx, jy, jz = (math.fsum(about_flange(each, axis) for each in bodies) for axis in range(3))
    return FlangeLoad(
        mass_kg=mass,
        centre_m=(x, y, z),
        moment_nm=moment_n_m(mass, lever_m=math.hypot(x, y, z), accel_m_s2=0.0, gravity_m_s2=gravity_m_s2),
        inertia_kg_m2=(jx, jy, jz),
    )


def about_flange(body: Box | Cylinder, axis: int) -> float:
    """Inertia of one body about one axis of the flange."""
    one, other = (body.at_m[each] for each in range(3) if each != axis)
    return shifted_inertia_kg_m2(own_inertia_kg_m2(body, axis), mass_kg=body.mass_kg, distance_m=math.hypot(one, other))


def own_inertia_kg_m2(body: Box | Cylinder, axis: int) -> float:
    """Inertia of one body about the axis through its own centre."""
    if isinstance(body, Box):
        one, other = (body.sides_m[each] for each in range(3) if each != axis)
        return box_inertia_kg_m2(body.mass_kg, width_m=one, depth_m=other)
    if "xyz"[axis] == body.along:
        return cylinder_inertia_kg_m2(body.mass_kg, radius_m=body.radius_m)
    return cylinder_cross_inertia_kg_m2(body.mass_kg, radius_m=body.radius_m, length_m=body.length_m)
