"""Distances between people and hazards: by approach speed (two editions of one standard, a US rule), and by gaps.

A distance is worth nothing without its edition, so the edition stands in each name. Where a printed formula does not
reach, the function refuses (ValueError) instead of giving a distance that may be too short.
"""

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. The distance follows from the measured overall stopping time and the chosen edition; the "
    "risk assessment, local codes and competent persons decide on protective devices, and reaching over, under and "
    "around them must be assessed as well."
)
STOPPING = {"stopping_s": NOT_NEGATIVE}
WALKING_M_S = 1.6
REACHING_M_S = 2.0
INCH_M = 0.0254

# Opening up to (m): least distance from the hazard for slot, square, round opening (m).
OPENINGS = {
    0.004: (0.002, 0.002, 0.002),
    0.006: (0.010, 0.005, 0.005),
    0.008: (0.020, 0.015, 0.005),
    0.010: (0.080, 0.025, 0.020),
    0.012: (0.100, 0.080, 0.080),
    0.020: (0.120, 0.120, 0.120),
    0.030: (0.850, 0.120, 0.120),
    0.040: (0.850, 0.200, 0.120),
    0.120: (0.850, 0.850, 0.850),
}
SHAPES = ("slot", "square", "round")
CRUSH_GAPS_M = {
    "body": 0.5, "head": 0.3, "leg": 0.18, "foot": 0.12, "toes": 0.05, "arm": 0.12, "hand": 0.1, "finger": 0.025,
}  # fmt: skip


@formula(
    source="iso13855_2010, approach at right angles, detection capability to 40 mm",
    valid=STOPPING | {"resolution_m": (0.0, 0.04)},
    caution=CAUTION,
)
def separation_2010_curtain_m(stopping_s: float, *, resolution_m: float) -> float:
    """Least distance of a light curtain that detects up to 40 mm, approach at right angles, edition 2010 [m].

    Source: iso13855_2010.  Valid for a detection capability to 0.04 m; refuses coarser ones.
    """
    if resolution_m > 0.04:
        raise ValueError("a curtain coarser than 40 mm needs separation_2010_coarse_curtain_m")
    intrusion_m = max(8.0 * (resolution_m - 0.014), 0.0)
    near_m = REACHING_M_S * stopping_s + intrusion_m
    if near_m <= 0.5:
        return max(near_m, 0.1)
    return max(WALKING_M_S * stopping_s + intrusion_m, 0.5)


@formula(
    source="iso13855_2010, approach at right angles, detection capability over 40 mm to 70 mm",
    valid=STOPPING,
    caution=CAUTION,
)
def separation_2010_coarse_curtain_m(stopping_s: float) -> float:
    """Least distance of a light curtain that detects over 40 mm and up to 70 mm, edition 2010 [m].

    Source: iso13855_2010.  Valid for approach at right angles.
    """
    return WALKING_M_S * stopping_s + 0.85


@formula(source="iso13855_2010, single beam (from EN 999)", valid=STOPPING, caution=CAUTION)
def separation_2010_beam_m(stopping_s: float) -> float:
    """Least distance of a single light beam at 0.75 m height, edition 2010 [m].

    Source: iso13855_2010.  Valid where the risk assessment allows a single beam at all.
    """
    return WALKING_M_S * stopping_s + 1.2


@formula(
    source="iso13855_2010, approach along the field",
    valid=STOPPING | {"height_m": (0.0, 1.0)},
    caution=CAUTION,
)
def separation_2010_scanner_m(stopping_s: float, *, height_m: float) -> float:
    """Least distance at which an area scanner's field must begin, by the height of the field, edition 2010 [m].

    Source: iso13855_2010.  Valid for a field to 1 m height; above 0.3 m crawling under must be assessed.
    """
    if not 0.0 <= height_m <= 1.0:
        raise ValueError("the 2010 edition knows fields from the floor to 1 m height only")
    return WALKING_M_S * stopping_s + max(1.2 - 0.4 * height_m, 0.85)


@formula(source="iso13855_2010, two-hand control", valid=STOPPING, caution=CAUTION)
def separation_2010_two_hand_m(stopping_s: float, *, covered: bool) -> float:
    """Least distance of a two-hand control, edition 2010; covered: shrouds keep hands from encroaching [m].

    Source: iso13855_2010.  Valid for controls fixed in place.
    """
    if covered:
        return max(WALKING_M_S * stopping_s, 0.1)
    return WALKING_M_S * stopping_s + 0.25


@formula(
    source="iso13855_2024, approach at right angles to 40 mm",
    valid=STOPPING | {"resolution_m": (0.0, 0.04)},
    caution=CAUTION,
)
def separation_2024_curtain_m(stopping_s: float, *, resolution_m: float) -> float:
    """Least distance of a light curtain that detects up to 40 mm, approach at right angles, edition 2024 [m].

    To 40 mm the branch is that of 2010; over 40 mm the edition has a new formula which is not held here: refused.
    Source: iso13855_2024.  Valid for a detection capability to 0.04 m, supplement Z for measuring tolerance left out.
    """
    if resolution_m > 0.04:
        raise ValueError("the 2024 formula for curtains coarser than 40 mm is not held here")
    return separation_2010_curtain_m(stopping_s, resolution_m=resolution_m)


@formula(source="iso13855_2024, approach along the field", valid=STOPPING, caution=CAUTION)
def separation_2024_scanner_m(stopping_s: float) -> float:
    """Least distance at which an area scanner's field must begin, edition 2024: a fixed 1.2 m is added [m].

    Source: iso13855_2024.  Valid for a field at or below 0.2 m, supplement Z for measuring tolerance left out.
    """
    return WALKING_M_S * stopping_s + 1.2


@formula(source="iso13855_2024, two-hand control", valid=STOPPING, caution=CAUTION)
def separation_2024_two_hand_m(stopping_s: float, *, covered: bool) -> float:
    """Least distance of a two-hand control, edition 2024; covered: encroachment is excluded [m].

    Source: iso13855_2024.  Valid for controls fixed in place, supplement Z left out.
    """
    if covered:
        return max(WALKING_M_S * stopping_s, 0.1)
    return WALKING_M_S * stopping_s + 0.55


@formula(source="osha1910217, (c)(3)(iii)(e)", valid=STOPPING, caution=CAUTION)
def separation_osha_press_m(stopping_s: float) -> float:
    """Least distance of a presence-sensing device on a mechanical power press, 63 inches a second [m].

    Source: osha1910217, (c)(3)(iii)(e).  Valid for mechanical power presses in the United States.
    """
    return 63.0 * INCH_M * stopping_s


@formula(
    source="ansib1119, Ds = K T + Dpf",
    valid=STOPPING | {"resolution_m": (0.007, 0.0635)},
    caution=CAUTION,
)
def separation_b11_19_m(stopping_s: float, *, resolution_m: float) -> float:
    """Least distance of a light curtain by the US machine-tool standard, depth 3.4 (sensitivity - 0.276 in) [m].

    Source: ansib1119.  Valid for an object sensitivity to 2.5 in; refuses coarser ones.
    """
    if resolution_m > 0.0635:
        raise ValueError("object sensitivities over 2.5 in need another depth penetration factor")
    return 63.0 * INCH_M * stopping_s + max(3.4 * (resolution_m - 0.276 * INCH_M), 0.0)


@formula(
    source="own_computation, constant deceleration",
    valid={"speed_m_s": NOT_NEGATIVE, "decel_m_s2": (0.01, 200.0)},
    caution=CAUTION,
)
def stopping_path_m(speed_m_s: float, *, decel_m_s2: float) -> float:
    """Path of an arm that brakes at a constant rate, v² / 2a [m].

    Source: own_computation, constant deceleration.  Valid for concept work; the maker's measured paths go first.
    """
    return speed_m_s**2 / (2.0 * decel_m_s2)


@formula(
    source="isots15066, sec. 5.5.4.2.3, constant speeds",
    valid={
        "human_speed_m_s": (0.0, 2.5),
        "robot_speed_m_s": NOT_NEGATIVE,
        "reaction_s": NOT_NEGATIVE,
        "stopping_s": NOT_NEGATIVE,
        "stopping_path_m": NOT_NEGATIVE,
        "allowances_m": NOT_NEGATIVE,
    },
    caution=CAUTION,
)
def separation_speed_monitored_m(
    human_speed_m_s: float,
    *,
    robot_speed_m_s: float,
    reaction_s: float,
    stopping_s: float,
    stopping_path_m: float,
    allowances_m: float,
) -> float:
    """Distance at which an arm under speed-and-separation monitoring must begin to stop [m].

    The person walks on while the system reacts and the arm stops; the arm moves on while the system reacts. Take
    1.6 m/s for a person who is not measured. allowances_m: intrusion distance and both position uncertainties.
    Source: isots15066, sec. 5.5.4.2.3, in marvel2017.  Valid for constant speeds.
    """
    human_m = human_speed_m_s * (reaction_s + stopping_s)
    return human_m + robot_speed_m_s * reaction_s + stopping_path_m + allowances_m


@formula(source="iso13857, table 4", valid={"opening_m": (0.0, 0.12)}, caution=CAUTION)
def opening_distance_m(opening_m: float, *, shape: str) -> float:
    """Least distance of a hazard behind a regular opening in a guard: slot, square or round, from 14 years on [m].

    Source: iso13857, table 4.  Valid to an opening of 0.12 m; refuses larger ones, through which a body may follow.
    """
    if not 0.0 < opening_m <= 0.12:
        raise ValueError("the table knows openings over 0 and up to 120 mm only")
    row = next(row for upper, row in OPENINGS.items() if opening_m <= upper + 1e-12)
    return row[SHAPES.index(shape)]


@formula(source="iso13854, table of least gaps", caution=CAUTION)
def crush_gap_m(body_part: str) -> float:
    """Least gap that does not crush: body, head, leg, foot, toes, arm, hand or finger [m].

    Source: iso13854, table of least gaps.  Valid for the body parts that the table names.
    """
    return CRUSH_GAPS_M[body_part]
