"""What the checks of a hand ask for: force of each jaw, load at a lever, room to turn and to pass, a drawer in use."""

import math
from collections.abc import Sequence

from millhand.formulas.fingers import TURN_CAUTION
from millhand.formulas.flange import CAUTION as LOAD_CAUTION
from millhand.formulas.grip import CAUTION
from millhand.formulas.lifting_frequency import CAUTION as LIFT_CAUTION
from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula


@formula(
    source="own_computation, force over jaws",
    valid={"force_n": NOT_NEGATIVE, "jaws": FROM_ONE},
    caution=CAUTION,
)
def force_of_each_jaw_n(force_n: float, *, jaws: float) -> float:
    """Force of EACH jaw out of the total of all jaws of a hand [N].

    Source: own_computation, force over jaws.  Valid for jaws that share the force equally.

    >>> force_of_each_jaw_n(1600.0, jaws=2.0)
    800.0
    """
    return force_n / jaws


@formula(source="own_computation, greatest of several", unit="N", units={"forces_n": "N"}, caution=CAUTION)
def greatest_force_n(forces_n: Sequence[float]) -> float:
    """The greatest of the forces that several ways to lose a part ask for [N].

    Source: own_computation, greatest of several.  Valid when every way that counts stands in the list.

    >>> greatest_force_n([120.0, 300.0])
    300.0
    """
    return max(forces_n)


@formula(
    source="own_computation, speed over ramp",
    valid={"speed_m_s": NOT_NEGATIVE, "ramp_s": POSITIVE},
    caution=CAUTION,
)
def program_accel_m_s2(speed_m_s: float, *, ramp_s: float) -> float:
    """Acceleration of a programmed move that is at full speed after a ramp [m/s2].

    Source: own_computation, speed over time.  Valid as the mean over the ramp.

    >>> program_accel_m_s2(1.5, ramp_s=0.3)
    5.0
    """
    return speed_m_s / ramp_s


@formula(
    source="own_computation, moments compared",
    unit="kg",
    valid={"payload_kg": NOT_NEGATIVE, "lever_m": NOT_NEGATIVE, "rated_lever_m": POSITIVE},
    caution=LOAD_CAUTION,
)
def payload_at_lever_kg(payload_kg: float, *, lever_m: float, rated_lever_m: float) -> float:
    """Mass that an arm carries with its centre of gravity so far from the flange [kg].

    Up to the rated lever it is the payload, beyond it falls so that the moment stays. See load_use_share.
    Source: own_computation, moments compared.  Valid for a rated mass at one rated lever.

    >>> payload_at_lever_kg(20.0, lever_m=0.4, rated_lever_m=0.2)
    10.0
    """
    return payload_kg * min(1.0, rated_lever_m / lever_m) if lever_m > 0.0 else payload_kg


@formula(source="own_computation, half a length", valid={"length_m": NOT_NEGATIVE})
def half_of_length_m(length_m: float) -> float:
    """Half of a length: from a middle to an edge, or +/- of a whole scatter [m].

    Source: own_computation, half a length.  Valid for any length.

    >>> half_of_length_m(0.3)
    0.15
    """
    return length_m / 2.0


@formula(
    source="own_computation, outline with clearance on both sides",
    valid={"outline_m": NOT_NEGATIVE, "clearance_m": NOT_NEGATIVE},
    caution=TURN_CAUTION,
)
def passage_m(outline_m: float, *, clearance_m: float) -> float:
    """Opening that an outline needs to pass or to turn in, with clearance on both sides [m].

    Against the opening it leaves door_margin_m.
    Source: own_computation, sum of lengths.  Valid for a straight way through the plane of the opening.

    >>> passage_m(0.5, clearance_m=0.05)
    0.6
    """
    return outline_m + 2.0 * clearance_m


@formula(
    source="own_computation, mass of a tray with its parts",
    unit="kg",
    valid={"parts": NOT_NEGATIVE, "part_kg": NOT_NEGATIVE, "tray_kg": NOT_NEGATIVE},
    units={"parts": "parts"},
    caution=LIFT_CAUTION,
)
def full_tray_kg(parts: float, *, part_kg: float, tray_kg: float) -> float:
    """Mass of a tray or drawer with all its parts [kg].

    Source: own_computation, sum.  Valid for parts of one mass.

    >>> full_tray_kg(12.0, part_kg=1.5, tray_kg=2.0)
    20.0
    """
    return parts * part_kg + tray_kg


@formula(source="own_computation, sum", unit="kg", units={"masses_kg": "kg"}, caution=LOAD_CAUTION)
def sum_of_masses_kg(masses_kg: Sequence[float]) -> float:
    """Several masses together [kg].

    Source: own_computation, sum.  Valid for masses that move together.

    >>> sum_of_masses_kg([28.0, 7.5])
    35.5
    """
    return math.fsum(masses_kg)


@formula(
    source="own_computation, parts over parts of a tray",
    unit="1/min",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "parts_per_tray": FROM_ONE},
)
def trays_per_min(rate_parts_per_h: float, *, parts_per_tray: float) -> float:
    """Full trays that go in each minute; as many go out [1/min].

    Source: own_computation, rate over parts.  Valid averaged over a shift.

    >>> trays_per_min(60.0, parts_per_tray=20.0)
    0.05
    """
    return rate_parts_per_h / max(parts_per_tray, 1.0) / 60.0


@formula(
    source="own_computation, whole visits",
    unit="1",
    valid={"parts": NOT_NEGATIVE, "places": FROM_ONE},
    units={"parts": "parts", "places": "parts"},
)
def visits_of_parts(parts: float, *, places: float) -> float:
    """Visits to refill or empty in which so many parts come and go [1].

    Source: own_computation, whole visits.  Valid for places, one at least, that are filled each time.

    >>> visits_of_parts(170.0, places=66.0)
    3.0
    """
    return float(math.ceil(parts / max(places, 1.0) - 1e-9))


@formula(
    source="own_computation, whole parts of a mass",
    unit="parts",
    valid={"filled_kg": NOT_NEGATIVE, "part_kg": POSITIVE},
)
def parts_in_mass(filled_kg: float, *, part_kg: float) -> float:
    """Whole parts that come to no more than a mass, one at least [parts].

    Source: own_computation, whole parts of a mass.  Valid while there is room for them.

    >>> parts_in_mass(8.0, part_kg=0.085), parts_in_mass(8.0, part_kg=12.0)
    (94.0, 1.0)
    """
    return max(float(math.floor(filled_kg / part_kg + 1e-9)), 1.0)


@formula(
    source="own_computation, a rate in boxes",
    unit="1/h",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "parts": FROM_ONE},
)
def boxes_per_h(rate_parts_per_h: float, *, parts: float) -> float:
    """How many boxes of so many parts are filled in an hour [1/h].

    Source: own_computation, a rate in boxes.  Valid for boxes that are filled whole.

    >>> boxes_per_h(280.0, parts=70.0)
    4.0
    """
    return rate_parts_per_h / parts


@formula(
    source="own_computation, mass over density",
    unit="m3",
    valid={"raw_kg": NOT_NEGATIVE, "finished_kg": NOT_NEGATIVE, "density_kg_m3": POSITIVE},
    units={"density_kg_m3": "kg/m3"},
)
def cut_volume_m3(raw_kg: float, *, finished_kg: float, density_kg_m3: float) -> float:
    """Volume of what is cut off a part, solid [m3].

    Source: own_computation, mass over density.  Valid for a part of one material.

    >>> cut_volume_m3(2.4, finished_kg=1.7, density_kg_m3=7000.0)
    0.0001
    """
    return max(raw_kg - finished_kg, 0.0) / density_kg_m3
