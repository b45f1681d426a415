"""Deflection of an overhead beam on which a carriage runs, and the spacing of columns that a deflection allows."""

import math
from collections.abc import Callable

from millhand.formulas.limits import GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. Stress, fatigue, buckling, welds, anchors and the floor are not looked at, and a "
    "carriage overhead is a hazard of its own; local codes and a licensed structural engineer, with the risk "
    "assessment by competent persons, decide on every beam and column."
)
SECTION = {"span_m": POSITIVE, "elasticity_pa": POSITIVE, "area_moment_m4": POSITIVE}
POINT = {"load_n": NOT_NEGATIVE} | SECTION
LOADS = {"load_n": NOT_NEGATIVE, "weight_n_m": NOT_NEGATIVE, "span_m": POSITIVE}
SPREAD = {"weight_n_m": NOT_NEGATIVE} | SECTION


@formula(
    source="own_computation, weight and braking of a moving mass",
    valid={"mass_kg": NOT_NEGATIVE, "dynamic_factor": (1.0, 3.0)},
    caution=CAUTION,
)
def moving_load_n(mass_kg: float, *, dynamic_factor: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Vertical force of a moving mass on a beam: its weight times a factor for jolts and vertical acceleration [N].

    Source: own_computation.  Valid for carriage, arm, tool and part together; the factor comes from code or maker.

    >>> moving_load_n(1_000.0, dynamic_factor=1.2, gravity_m_s2=10.0)
    12000.0
    """
    return mass_kg * gravity_m_s2 * dynamic_factor


@formula(source="young2002, table 8.1, two supports, point load midway", valid=POINT, caution=CAUTION)
def supported_point_deflection_m(load_n: float, *, span_m: float, elasticity_pa: float, area_moment_m4: float) -> float:
    """Deflection midway of a beam on two supports under a point load there [m].

    Source: young2002, table 8.1, F L³ / 48 E I.  Valid for slender straight beams, small deflections.
    """
    return load_n * span_m**3 / (48.0 * elasticity_pa * area_moment_m4)


@formula(
    source="young2002, table 8.1, two supports, point load anywhere",
    valid=POINT | {"from_support_m": POSITIVE},
    caution=CAUTION,
)
def supported_off_point_deflection_m(
    load_n: float, *, span_m: float, from_support_m: float, elasticity_pa: float, area_moment_m4: float
) -> float:
    """Greatest deflection of a beam on two supports under a point load at a distance from one of them [m].

    Source: young2002, table 8.1.  Valid for slender straight beams, the load between the supports.
    """
    near_m = min(from_support_m, span_m - from_support_m)
    return (
        load_n
        * near_m
        * math.pow(span_m**2 - near_m**2, 1.5)
        / (9.0 * math.sqrt(3.0) * span_m * elasticity_pa * area_moment_m4)
    )


@formula(source="young2002, table 8.1, two supports, load spread evenly", valid=SPREAD, caution=CAUTION)
def supported_spread_deflection_m(
    weight_n_m: float, *, span_m: float, elasticity_pa: float, area_moment_m4: float
) -> float:
    """Deflection midway of a beam on two supports under a load spread evenly, such as its own weight [m].

    Source: young2002, table 8.1, 5 w L⁴ / 384 E I.  Valid for slender straight beams, small deflections.
    """
    return 5.0 * weight_n_m * span_m**4 / (384.0 * elasticity_pa * area_moment_m4)


@formula(source="young2002, table 8.1, both ends fixed, point load midway", valid=POINT, caution=CAUTION)
def fixed_point_deflection_m(load_n: float, *, span_m: float, elasticity_pa: float, area_moment_m4: float) -> float:
    """Deflection midway of a beam fixed at both ends under a point load there [m].

    Source: young2002, table 8.1, F L³ / 192 E I.  Valid for ends that do not turn at all, which few real ones reach.
    """
    return load_n * span_m**3 / (192.0 * elasticity_pa * area_moment_m4)


@formula(source="young2002, table 8.1, both ends fixed, load spread evenly", valid=SPREAD, caution=CAUTION)
def fixed_spread_deflection_m(
    weight_n_m: float, *, span_m: float, elasticity_pa: float, area_moment_m4: float
) -> float:
    """Deflection midway of a beam fixed at both ends under a load spread evenly [m].

    Source: young2002, table 8.1, w L⁴ / 384 E I.  Valid for ends that do not turn at all, which few real ones reach.
    """
    return weight_n_m * span_m**4 / (384.0 * elasticity_pa * area_moment_m4)


@formula(source="young2002, table 8.1, cantilever, point load at the tip", valid=POINT, caution=CAUTION)
def cantilever_point_deflection_m(
    load_n: float, *, span_m: float, elasticity_pa: float, area_moment_m4: float
) -> float:
    """Deflection of the free end of a cantilever under a point load there [m].

    Source: young2002, table 8.1, F L³ / 3 E I.  Valid for a root that does not turn.
    """
    return load_n * span_m**3 / (3.0 * elasticity_pa * area_moment_m4)


@formula(source="young2002, table 8.1, cantilever, load spread evenly", valid=SPREAD, caution=CAUTION)
def cantilever_spread_deflection_m(
    weight_n_m: float, *, span_m: float, elasticity_pa: float, area_moment_m4: float
) -> float:
    """Deflection of the free end of a cantilever under a load spread evenly [m].

    Source: young2002, table 8.1, w L⁴ / 8 E I.  Valid for a root that does not turn.
    """
    return weight_n_m * span_m**4 / (8.0 * elasticity_pa * area_moment_m4)


@formula(source="young2002, table 8.1, two supports", valid=LOADS, caution=CAUTION)
def supported_moment_nm(load_n: float, *, weight_n_m: float, span_m: float) -> float:
    """Greatest bending moment of a beam on two supports: a point load midway and a load spread evenly [N.m].

    Source: young2002, table 8.1, F L / 4 + w L² / 8.  Valid for straight beams.

    >>> supported_moment_nm(10_000.0, weight_n_m=0.0, span_m=4.0)
    10000.0
    """
    return load_n * span_m / 4.0 + weight_n_m * span_m**2 / 8.0


ALLOWED = {
    "load_n": POSITIVE,
    "weight_n_m": NOT_NEGATIVE,
    "elasticity_pa": POSITIVE,
    "area_moment_m4": POSITIVE,
}


@formula(
    source="own_computation, deflections of young2002 turned round",
    valid=ALLOWED | {"allowed_m": (1e-6, 0.1)},
    caution=CAUTION,
)
def column_spacing_m(
    load_n: float, *, weight_n_m: float, allowed_m: float, elasticity_pa: float, area_moment_m4: float
) -> float:
    """Widest span between columns at which a moving load and the beam's weight deflect it by so much [m].

    Each span counts as a beam of its own on two supports; a beam that runs on over its columns deflects less.
    Source: own_computation, the root of F L³ / 48 E I + 5 w L⁴ / 384 E I = allowed.  Valid for stiff columns.
    """
    stiffness = elasticity_pa * area_moment_m4
    weightless_m = math.cbrt(48.0 * allowed_m * stiffness / load_n)

    def within(span_m: float) -> bool:
        return (load_n / 48.0 + 5.0 * weight_n_m * span_m / 384.0) * span_m**3 <= allowed_m * stiffness

    return _widest_m(within, weightless_m)


@formula(
    source="own_computation, deflections of young2002 turned round",
    valid=ALLOWED | {"allowed_share": (1e-5, 0.01)},
    caution=CAUTION,
)
def column_spacing_by_share_m(
    load_n: float, *, weight_n_m: float, allowed_share: float, elasticity_pa: float, area_moment_m4: float
) -> float:
    """Widest span between columns at which a moving load and the beam's weight deflect it by a share of the span [m].

    A share of 0.001 is a thousandth of the span. Each span counts as a beam of its own on two supports; a beam that
    runs on over its columns deflects less.
    Source: own_computation, the root of F L² / 48 E I + 5 w L³ / 384 E I = share.  Valid for stiff columns.
    """
    stiffness = elasticity_pa * area_moment_m4
    weightless_m = math.sqrt(48.0 * allowed_share * stiffness / load_n)

    def within(span_m: float) -> bool:
        return (load_n / 48.0 + 5.0 * weight_n_m * span_m / 384.0) * span_m**2 <= allowed_share * stiffness

    return _widest_m(within, weightless_m)


def _widest_m(within: Callable[[float], bool], high_m: float) -> float:
    """The widest span that is within the limit, no wider than that of a weightless beam, found by halving."""
    low_m = 0.0
    for _ in range(100):
        middle_m = (low_m + high_m) / 2.0
        low_m, high_m = (middle_m, high_m) if within(middle_m) else (low_m, middle_m)
    return low_m
