"""Inertia of what hangs on a flange, made of boxes and cylinders.

Mass, centre of gravity and static moment are sums: payload_demand_kg, gravity_centre_m and moment_n_m in reach.py.
"""

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. An arm that carries more mass, moment or inertia than its load diagram allows may lose "
    "the part, overrun its stops or break; the diagram, the risk assessment and competent persons decide."
)
ROUND = {"mass_kg": NOT_NEGATIVE, "radius_m": NOT_NEGATIVE}


@formula(
    source="gere2012, solids: rectangular block",
    unit="kg.m2",
    valid={"mass_kg": NOT_NEGATIVE, "width_m": NOT_NEGATIVE, "depth_m": NOT_NEGATIVE},
    caution=CAUTION,
)
def box_inertia_kg_m2(mass_kg: float, *, width_m: float, depth_m: float) -> float:
    """Inertia of a solid box about the axis through its centre that stands upright on width and depth [kg.m2].

    Source: gere2012, m (b² + c²) / 12.  Valid for even density.

    >>> round(box_inertia_kg_m2(6.0, width_m=0.1, depth_m=0.1), 6)
    0.01
    """
    return mass_kg * (width_m**2 + depth_m**2) / 12.0


@formula(source="gere2012, solids: cylinder, own axis", unit="kg.m2", valid=ROUND, caution=CAUTION)
def cylinder_inertia_kg_m2(mass_kg: float, *, radius_m: float) -> float:
    """Inertia of a solid cylinder about its own axis [kg.m2].

    Source: gere2012, m r² / 2.  Valid for even density.

    >>> round(cylinder_inertia_kg_m2(4.0, radius_m=0.05), 6)
    0.005
    """
    return mass_kg * radius_m**2 / 2.0


@formula(
    source="gere2012, solids: cylinder, across",
    unit="kg.m2",
    valid=ROUND | {"length_m": NOT_NEGATIVE},
    caution=CAUTION,
)
def cylinder_cross_inertia_kg_m2(mass_kg: float, *, radius_m: float, length_m: float) -> float:
    """Inertia of a solid cylinder about an axis through its centre across its own [kg.m2].

    Source: gere2012, m (3 r² + h²) / 12.  Valid for even density.

    >>> round(cylinder_cross_inertia_kg_m2(4.0, radius_m=0.05, length_m=0.12), 6)
    0.0073
    """
    return mass_kg * (3.0 * radius_m**2 + length_m**2) / 12.0


@formula(
    source="gere2012, parallel axes",
    unit="kg.m2",
    valid={"inertia_kg_m2": NOT_NEGATIVE, "mass_kg": NOT_NEGATIVE, "distance_m": NOT_NEGATIVE},
    caution=CAUTION,
)
def shifted_inertia_kg_m2(inertia_kg_m2: float, *, mass_kg: float, distance_m: float) -> float:
    """Inertia about an axis beside a parallel one through the centre of gravity [kg.m2].

    Source: gere2012, J + m d².  Valid from the axis through the centre of gravity only.

    >>> round(shifted_inertia_kg_m2(0.0073, mass_kg=4.0, distance_m=0.21), 6)
    0.1837
    """
    return inertia_kg_m2 + mass_kg * distance_m**2
