"""What one machine load takes: elements by hand, cutting time, exchanges of several parts, changeovers between lots."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula


@formula(source="groover2007, ch. 2, regular and irregular work elements", valid={"allowances": (0.0, 1.0)})
def element_sum_s(times_s: Sequence[float], *, every_n: Sequence[float], allowances: Sequence[float]) -> float:
    """Time of the elements of one load, each with its allowance on work time and shared over its n loads [s].

    Source: groover2007, ch. 2.  Valid for the convention (1 + allowance) x normal time.

    >>> element_sum_s([40.0, 60.0], every_n=[1.0, 10.0], allowances=[0.0, 0.0])
    46.0
    """
    rows = zip(times_s, every_n, allowances, strict=True)
    return math.fsum(time / n * (1.0 + allowance) for time, n, allowance in rows)


@formula(
    source="common_practice, floor to floor less loading",
    valid={"floor_to_floor_s": POSITIVE, "outside_s": NOT_NEGATIVE},
)
def cutting_time_s(floor_to_floor_s: float, *, outside_s: float) -> float:
    """Time of the machine cycle alone when the shop gave floor to floor, loading by hand inside [s].

    Source: common_practice.  Valid while the result is above zero; never less than a second is returned.
    """
    return max(1.0, floor_to_floor_s - outside_s)


@formula(
    source="own_computation, count of grips in one opening",
    valid={
        "exchange_s": NOT_NEGATIVE,
        "grips": FROM_ONE,
        "round_s": NOT_NEGATIVE,
        "vises": (1.0, 2.0),
        "turn_s": NOT_NEGATIVE,
    },
)
def load_exchange_s(exchange_s: float, *, grips: float, round_s: float, vises: float, turn_s: float) -> float:
    """Time that attendant and machine are bound together for one load [s].

    exchange_s: one part out and the next one in. grips: exchanges one after the other in each vise; between two of them
    the attendant goes to the presenter and back (round_s). vises 2: first and second side in two vises exchanged in one
    opening, with one turn-over (turn_s) on the way from the first to the second.
    Source: own_computation.  Valid for one attendant and one gripper or hand set.
    """
    return grips * (vises * exchange_s + (vises - 1.0) * turn_s) + (grips - 1.0) * round_s


@formula(source="own_computation, half an exchange", valid={"exchange_s": NOT_NEGATIVE})
def half_exchange_s(exchange_s: float) -> float:
    """Taking a part out alone, or putting one in alone, when only the exchange of both is known [s].

    Source: own_computation.  Valid for taking out and putting in of about the same length.
    """
    return exchange_s / 2.0


@formula(
    source="own_computation, changeovers spread over the machines",
    unit="1/h",
    valid={"rate_per_h": NOT_NEGATIVE, "changeover_s": NOT_NEGATIVE, "lot": FROM_ONE, "machines": FROM_ONE},
)
def rate_with_changeovers_per_h(rate_per_h: float, *, changeover_s: float, lot: float, machines: float) -> float:
    """Parts an hour when each lot costs one of the machines a changeover [1/h].

    Source: own_computation: time a part = 1/rate + changeover / (lot x machines).  Valid for whole lots on one machine.

    >>> rate_with_changeovers_per_h(10.0, changeover_s=3600.0, lot=10.0, machines=1.0)
    5.0
    """
    if rate_per_h <= 0.0:
        return 0.0
    return 1.0 / (1.0 / rate_per_h + changeover_s / 3600.0 / (lot * machines))


@formula(
    source="own_computation, lots a year",
    unit="h/y",
    valid={"parts_per_y": NOT_NEGATIVE, "lot": FROM_ONE, "changeover_s": NOT_NEGATIVE},
    units={"parts_per_y": "parts/y"},
)
def changeover_h_per_y(parts_per_y: float, *, lot: float, changeover_s: float) -> float:
    """Hours a year that somebody spends on changeovers between lots [h/y].

    Source: own_computation.  Valid for one changeover a lot.
    """
    return parts_per_y / lot * changeover_s / 3600.0


@formula(
    source="own_computation, lots a year",
    unit="1/y",
    valid={"parts_per_y": NOT_NEGATIVE, "lot": FROM_ONE},
    units={"parts_per_y": "parts/y"},
)
def changeovers_per_y(parts_per_y: float, *, lot: float) -> float:
    """Changeovers between lots in a year, each of one machine [1/y].

    Source: own_computation.  Valid for one changeover a lot.

    >>> changeovers_per_y(12000.0, lot=50.0)
    240.0
    """
    return parts_per_y / lot


@formula(source="common_practice, factor of a change", valid={"time_s": NOT_NEGATIVE, "factor": (0.0, 3.0)})
def changed_time_s(time_s: float, *, factor: float) -> float:
    """A time after a change that shortens or lengthens it by a factor [s].

    Source: common_practice.  Valid for a change that touches the whole of the time.
    """
    return time_s * factor


@formula(
    source="siciliano2009, sec. 4.2.1, trapezoidal profile",
    valid={"distance_m": NOT_NEGATIVE, "speed_m_s": POSITIVE, "ramp_s": POSITIVE, "settle_s": NOT_NEGATIVE},
)
def swing_time_s(distance_m: float, *, speed_m_s: float, ramp_s: float, settle_s: float) -> float:
    """Time of one rest-to-rest move, full speed reached in ramp_s; nothing for no distance [s].

    Source: siciliano2009, sec. 4.2.1, with acceleration = speed / ramp.  Valid for speed and ramp above zero.
    """
    if distance_m == 0.0:
        return 0.0
    if distance_m < speed_m_s * ramp_s:
        return 2.0 * math.sqrt(distance_m * ramp_s / speed_m_s) + settle_s
    return distance_m / speed_m_s + ramp_s + settle_s


@formula(source="own_computation, speed over acceleration", valid={"speed_m_s": POSITIVE, "accel_m_s2": POSITIVE})
def ramp_s(speed_m_s: float, *, accel_m_s2: float) -> float:
    """Time to reach full speed [s].

    Source: own_computation.  Valid for constant acceleration.
    """
    return speed_m_s / accel_m_s2


@formula(source="own_computation, time over parts", valid={"load_s": NOT_NEGATIVE, "parts_per_load": POSITIVE})
def time_a_part_s(load_s: float, *, parts_per_load: float) -> float:
    """Time of a load shared over its parts [s].

    Source: own_computation.  Valid for full loads.
    """
    return load_s / parts_per_load


@formula(source="own_computation, mean over alike machines", unit="s")
def mean_time_s(times_s: Sequence[float]) -> float:
    """Mean of times that come equally often, such as the ways to machines that do the same [s].

    Source: own_computation.  Valid for at least one time.

    >>> mean_time_s([2.0, 4.0])
    3.0
    """
    return math.fsum(times_s) / len(times_s)


@formula(
    source="own_computation, half the way to the next machine",
    valid={"walk_s": NOT_NEGATIVE, "machines_per_operator": POSITIVE},
)
def rack_walk_s(walk_s: float, *, machines_per_operator: float) -> float:
    """Way of an operator between his rack or bench and a machine [s].

    The rack lies between the machines that he tends: half the way from one to the next, so that going to the rack and
    on to the next machine is the whole of it. Nothing for who has one machine to himself.
    Source: own_computation.  Valid for parts that are kept near the machines.

    >>> rack_walk_s(6.0, machines_per_operator=2.0), rack_walk_s(6.0, machines_per_operator=1.0)
    (3.0, 0.0)
    """
    return walk_s / 2.0 if machines_per_operator > 1.0 else 0.0


@formula(
    source="own_computation, machines a head after a change",
    valid={"machines_per_operator": POSITIVE, "factor": (1.0, 10.0)},
)
def machines_a_head(machines_per_operator: float, *, factor: float) -> float:
    """Machines that one head tends after a change that lets him tend so many times as many [1].

    Source: own_computation.  Valid where the others of the machines are there to be tended.
    """
    return machines_per_operator * factor
