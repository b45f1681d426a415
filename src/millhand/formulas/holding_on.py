"""How long a part stays held when air or power fails: a vacuum that leaks away, air that is shut in a cylinder."""

import math

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. How long a part is held is measured on the real gripper with the real part, oil on it "
    "and the arm in its worst pose; the risk assessment by competent persons decides what must not fall, and where to."
)
ATMOSPHERE_PA = 101_325.0


@formula(
    source="own_computation, force in proportion to pressure",
    unit="Pa",
    valid={"held_pa": POSITIVE, "demand_n": NOT_NEGATIVE, "limit_n": POSITIVE},
    caution=CAUTION,
)
def least_pressure_pa(held_pa: float, *, demand_n: float, limit_n: float) -> float:
    """Pressure, or drop of pressure, at which a gripper still gives the force that a part asks for [Pa].

    limit_n is the force at held_pa. Source: own_computation, proportion.  Valid without springs.

    >>> least_pressure_pa(60_000.0, demand_n=100.0, limit_n=300.0)
    20000.0
    """
    return held_pa * demand_n / limit_n


@formula(
    source="own_computation, a volume that fills through a gap",
    valid={
        "volume_m3": POSITIVE, "held_pa": (0.0, 90_000.0), "least_pa": NOT_NEGATIVE, "gap_m2": POSITIVE,
        "density_kg_m3": POSITIVE,
    },
    units={"density_kg_m3": "kg/m3"},
    caution=CAUTION,
)  # fmt: skip
def reservoir_hold_s(
    volume_m3: float, *, held_pa: float, least_pa: float, gap_m2: float, density_kg_m3: float
) -> float:
    """Time until a vacuum behind a check valve has leaked from one drop of pressure to another; 0 where it is less [s].

    Air of the room rushes in through gaps of a clear area with the root of the drop (see leaking_vacuum_pa), and the
    volume fills at an even temperature: 2 V (√held - √least) / (p A √(2 / density)), p the room's pressure.
    Source: own_computation, separation of variables.  Valid for drops below the speed of sound in the gap; above about
    50 kPa less flows in than reckoned here, and the vacuum lasts longer.

    >>> round(reservoir_hold_s(0.002, held_pa=40_000.0, least_pa=10_000.0, gap_m2=5e-7, density_kg_m3=1.2), 2)
    6.12
    """
    left = max(0.0, math.sqrt(held_pa) - math.sqrt(least_pa))
    return 2.0 * volume_m3 * left / (ATMOSPHERE_PA * gap_m2 * math.sqrt(2.0 / density_kg_m3))


@formula(
    source="own_computation, work of a piston",
    valid={"force_n": NOT_NEGATIVE, "stroke_m": NOT_NEGATIVE, "pressure_pa": POSITIVE},
    units={"pressure_pa": "Pa"},
    caution=CAUTION,
)
def cylinder_air_m3(force_n: float, *, stroke_m: float, pressure_pa: float) -> float:
    """Air behind the pistons of a gripper from its force and stroke: the work of the jaws over the pressure [m3].

    force_n: of all jaws together; stroke_m: of the opening, of which each of two jaws goes half.
    Source: own_computation, work.  Valid without friction, levers as they may be.

    >>> round(cylinder_air_m3(1_600.0, stroke_m=0.03, pressure_pa=600_000.0) * 1e6, 6)
    40.0
    """
    return force_n * stroke_m / (2.0 * pressure_pa)


@formula(
    source="own_computation, air that leaks evenly",
    valid={"volume_m3": POSITIVE, "held_pa": POSITIVE, "least_pa": NOT_NEGATIVE, "leak_m3_s": POSITIVE},
    units={"leak_m3_s": "m3/s"},
    caution=CAUTION,
)
def trapped_air_hold_s(volume_m3: float, *, held_pa: float, least_pa: float, leak_m3_s: float) -> float:
    """Time until air that a check valve shuts in has fallen from one pressure to another; 0 where it is less [s].

    leak_m3_s: air of the room's pressure that is lost, all seals and the valve together, taken as even.
    Source: own_computation, mass of air at one temperature.  Valid for a leak that stays; hoses behind the valve add
    volume.

    >>> trapped_air_hold_s(40e-6, held_pa=600_000.0, least_pa=296_025.0, leak_m3_s=1e-7)
    1200.0
    """
    return volume_m3 * max(0.0, held_pa - least_pa) / (ATMOSPHERE_PA * leak_m3_s)
