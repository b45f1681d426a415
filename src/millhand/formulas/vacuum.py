"""Cups that leak, porous faces, cups for a load in any direction; and magnets whose gap weakens them."""

import math

from millhand.formulas.grip import CAUTION, LIFT_VALID, VACUUM_CAUTION, VALID
from millhand.formulas.limits import FROM_ONE, GRAVITY_M_S2, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

PUMP = {"closed_pa": (0.0, 101_325.0), "open_m3_s": POSITIVE}
PUMP_UNITS = {"open_m3_s": "m3/s"}
MAGNET_CAUTION = (
    CAUTION
    + " Oil, rust, scale, thin sheet and heat weaken a magnet; an electromagnet drops its part \
when the current fails."
)


@formula(
    source="own_computation, pump line against a porous face",
    unit="Pa",
    valid=PUMP | {"leak_m3_s_pa": NOT_NEGATIVE},
    units=PUMP_UNITS | {"leak_m3_s_pa": "m3/(s.Pa)"},
    caution=VACUUM_CAUTION,
)
def porous_vacuum_pa(closed_pa: float, *, open_m3_s: float, leak_m3_s_pa: float) -> float:
    """Pressure drop that is left when air seeps through a porous face in proportion to it [Pa].

    The source's line falls straight from closed_pa without flow to open_m3_s without a drop.
    Source: own_computation, crossing of two lines.  Valid for slow flow through pores.
    """
    return closed_pa * open_m3_s / (open_m3_s + leak_m3_s_pa * closed_pa)


@formula(
    source="own_computation, pump line against a gap",
    unit="Pa",
    valid=PUMP | {"gap_m2": NOT_NEGATIVE, "density_kg_m3": POSITIVE},
    units=PUMP_UNITS | {"density_kg_m3": "kg/m3"},
    caution=VACUUM_CAUTION,
)
def leaking_vacuum_pa(closed_pa: float, *, open_m3_s: float, gap_m2: float, density_kg_m3: float) -> float:
    """Pressure drop that is left when air rushes through gaps of a clear area, with the root of the drop [Pa].

    Flow gap_m2 x sqrt(2 drop / density), against a source whose line falls straight (see porous_vacuum_pa).
    Source: own_computation, crossing of line and parabola.  Valid for drops well below the speed of sound in the gap.
    """
    flow = gap_m2 * math.sqrt(2.0 / density_kg_m3) / open_m3_s * closed_pa
    root = (math.sqrt(flow**2 + 4.0 * closed_pa) - flow) / 2.0
    return root**2


@formula(source="own_computation, Coulomb friction under the cups", valid=VALID, caution=VACUUM_CAUTION)
def suction_required_sideways_n(mass_kg: float, *, accel_m_s2: float, friction: float, factor: float) -> float:
    """Suction force, or pull of a magnet, that carries a part below it while it is accelerated sideways [N].

    Gravity pulls the part off and inertia along the face, each held by what the other leaves.
    Source: own_computation, Coulomb friction.  Valid for a level face; m (g + a / friction) factor.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2 / friction) * factor


@formula(
    source="own_computation, area of cups",
    valid={"force_n": NOT_NEGATIVE, "pressure_drop_pa": (1_000.0, 101_325.0), "cups": FROM_ONE, "area_share": SHARE},
    caution=VACUUM_CAUTION,
)
def cup_diameter_m(force_n: float, *, pressure_drop_pa: float, cups: float, area_share: float) -> float:
    """Diameter of each of several cups that pull a force together, a share of their area being effective [m].

    Source: own_computation, area of cups.  Valid for an area share above zero, cups that all seal.
    """
    return math.sqrt(4.0 * force_n / (math.pi * pressure_drop_pa * cups * area_share))


@formula(
    source="own_computation, magnetic circuit with a gap",
    valid={"rated_n": NOT_NEGATIVE, "gap_m": NOT_NEGATIVE, "quarter_gap_m": POSITIVE, "part_share": SHARE},
    caution=MAGNET_CAUTION,
)
def magnet_force_n(rated_n: float, *, gap_m: float, quarter_gap_m: float, part_share: float) -> float:
    """Pull of a magnet across an air gap: rated force over (1 + gap / quarter gap) squared, times the part's share [N].

    quarter_gap_m is the gap that leaves a quarter of the rated force; part_share stands for thickness and material.
    Source: own_computation, magnetic circuit.  Valid for gaps small against the poles, iron not saturated.

    >>> magnet_force_n(400.0, gap_m=0.0005, quarter_gap_m=0.0005, part_share=1.0)
    100.0
    """
    return rated_n * part_share / (1.0 + gap_m / quarter_gap_m) ** 2


@formula(
    source="own_computation, saturated sheet",
    unit="1",
    valid={"thickness_m": NOT_NEGATIVE, "full_m": POSITIVE},
    caution=MAGNET_CAUTION,
)
def sheet_pull_share(thickness_m: float, *, full_m: float) -> float:
    """What steel of a thickness leaves of a magnet's pull: whole from full_m on, below it with the square [0..1].

    Thin steel is saturated: it carries flux in proportion to its thickness, and the pull goes with the square of that.
    Source: own_computation, saturated sheet.  Valid for plain steel; what passes through a sheet pulls at the next one.

    >>> sheet_pull_share(0.002, full_m=0.004)
    0.25
    """
    return min(thickness_m / full_m, 1.0) ** 2


@formula(source="own_computation, balance of forces", valid=LIFT_VALID, caution=MAGNET_CAUTION)
def magnet_required_n(mass_kg: float, *, accel_m_s2: float, factor: float) -> float:
    """Pull that carries a part hanging straight below a magnet; by friction alone use suction_required_shear_n [N].

    Source: own_computation, balance of forces.  Valid for a vertical pull.
    """
    return mass_kg * (GRAVITY_M_S2 + accel_m_s2) * factor
