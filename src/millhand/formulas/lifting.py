"""The revised lifting equation in SI: what a person may lift by hand, again and again."""

import math
from collections.abc import Sequence

from millhand.formulas.lifting_frequency import CAUTION, MIDDLE_HEIGHT_M
from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

LOAD_CONSTANT_KG = 23.0
COUPLINGS = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.9, 0.9)}  # hands below 0.75 m, at or above


@formula(source="niosh94110, table 1", unit="1", valid={"horizontal_m": POSITIVE}, caution=CAUTION)
def horizontal_multiplier(horizontal_m: float) -> float:
    """Multiplier for the distance of the hands in front of the ankles [0..1].

    Source: niosh94110, table 1.  Valid from 0.25 m to 0.63 m: 1 below, 0 beyond.
    """
    if horizontal_m > 0.63:
        return 0.0
    return 0.25 / max(horizontal_m, 0.25)


@formula(source="niosh94110, table 2", unit="1", valid={"vertical_m": NOT_NEGATIVE}, caution=CAUTION)
def vertical_multiplier(vertical_m: float) -> float:
    """Multiplier for the height of the hands above the floor [0..1].

    Source: niosh94110, table 2.  Valid from the floor to 1.75 m: 0 above.
    """
    if vertical_m > 1.75:
        return 0.0
    return 1.0 - 0.3 * abs(vertical_m - MIDDLE_HEIGHT_M)


@formula(source="niosh94110, table 3", unit="1", valid={"travel_m": NOT_NEGATIVE}, caution=CAUTION)
def travel_multiplier(travel_m: float) -> float:
    """Multiplier for the height through which the load is lifted [0..1].

    Source: niosh94110, table 3.  Valid from 0.25 m to 1.75 m: 1 below, 0 beyond.
    """
    if travel_m > 1.75:
        return 0.0
    return 0.82 + 0.045 / max(travel_m, 0.25)


@formula(source="niosh94110, table 4", unit="1", valid={"twist_rad": (0.0, math.pi)}, caution=CAUTION)
def twist_multiplier(twist_rad: float) -> float:
    """Multiplier for the turn of the trunk away from straight ahead [0..1].

    Source: niosh94110, table 4.  Valid to 135 degrees: 0 beyond.
    """
    degrees = math.degrees(twist_rad)
    return 0.0 if degrees > 135.0 + 1e-9 else 1.0 - 0.0032 * degrees


@formula(source="niosh94110, table 7", unit="1", valid={"vertical_m": NOT_NEGATIVE}, caution=CAUTION)
def coupling_multiplier(coupling: str, *, vertical_m: float) -> float:
    """Multiplier for how well the hands hold the load: good, fair or poor [0..1].

    Source: niosh94110, table 7.  Valid for the three words that the table knows.
    """
    return COUPLINGS[coupling][1 if vertical_m >= MIDDLE_HEIGHT_M else 0]


@formula(
    source="niosh94110, sec. 1.3 (special frequency adjustment)",
    unit="1/min",
    valid={"lifts_per_min": NOT_NEGATIVE, "work_min": (0.0, 15.0)},
    caution=CAUTION,
)
def adjusted_frequency_per_min(lifts_per_min: float, *, work_min: float) -> float:
    """Mean lifts a minute when somebody lifts for work_min of every 15 minutes and does light work else [1/min].

    Source: niosh94110, special frequency adjustment.  Valid for work that comes in blocks shorter than 15 minutes.
    """
    return lifts_per_min * work_min / 15.0


@formula(
    source="niosh94110, sec. 1.3",
    unit="kg",
    valid={"load_constant_kg": (0.0, 23.14)},  # 23 kg; 51 lb in the US form
    caution=CAUTION,
)
def weight_limit_of_multipliers_kg(multipliers: Sequence[float], *, load_constant_kg: float) -> float:
    """Recommended weight limit: the load constant times the six multipliers [kg].

    Source: niosh94110, sec. 1.3.  Valid for multipliers from 0 to 1.
    """
    return load_constant_kg * math.prod(multipliers)


@formula(
    source="niosh94110, sec. 1.3",
    valid={
        "horizontal_m": POSITIVE,
        "vertical_m": NOT_NEGATIVE,
        "travel_m": NOT_NEGATIVE,
        "twist_rad": (0.0, math.pi),
        "frequency": SHARE,
        "coupling": SHARE,
    },
    caution=CAUTION,
)
def recommended_weight_limit_kg(
    horizontal_m: float, *, vertical_m: float, travel_m: float, twist_rad: float, frequency: float, coupling: float
) -> float:
    """Recommended weight limit at one end of a two-handed lift [kg].

    frequency and coupling are the values of frequency_multiplier and coupling_multiplier. At 0 kg the task lies
    outside what the equation allows. Printed examples round each multiplier to two digits, so they differ a little.
    Source: niosh94110, sec. 1.3.  Valid for two-handed lifting, standing, for up to 8 hours.
    """
    multipliers = (
        horizontal_multiplier(horizontal_m),
        vertical_multiplier(vertical_m),
        travel_multiplier(travel_m),
        twist_multiplier(twist_rad),
        frequency,
        coupling,
    )
    return weight_limit_of_multipliers_kg(multipliers, load_constant_kg=LOAD_CONSTANT_KG)


@formula(
    source="niosh94110, sec. 1.4",
    unit="1",
    valid={"load_kg": NOT_NEGATIVE, "limit_kg": POSITIVE},
    caution=CAUTION,
)
def lifting_index(load_kg: float, *, limit_kg: float) -> float:
    """Load over recommended weight limit; 1 is the design goal, above 3 nearly everybody is at increased risk [1].

    Source: niosh94110, sec. 1.4.  Valid for a limit above zero.
    """
    return load_kg / limit_kg
