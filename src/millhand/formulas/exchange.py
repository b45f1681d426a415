"""What a machine stands for between two parts, what an arm works for each part, and the pace that follows."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

GAP = {"exchange_s": NOT_NEGATIVE, "handshake_s": NOT_NEGATIVE, "door_s": NOT_NEGATIVE, "blow_off_s": NOT_NEGATIVE}


@formula(source="common_practice, sum of the elements", valid=GAP | {"away_s": NOT_NEGATIVE})
def machine_gap_single_s(
    exchange_s: float, *, away_s: float, handshake_s: float, door_s: float, blow_off_s: float
) -> float:
    """Time a machine stands from 'finished' to 'started again', single gripper [s].

    exchange_s: jaws, clamp, seat check and retract, for taking out and for placing. away_s: carrying the finished part
    to the outfeed, fetching a raw one and coming back. door_s: one way. handshake_s: end of program and restart.
    Source: common_practice, sum of the elements.  Valid when nothing overlaps while the machine stands.
    """
    return exchange_s + away_s + handshake_s + 2.0 * door_s + blow_off_s


@formula(source="common_practice, sum of the elements", valid=GAP | {"turn_s": NOT_NEGATIVE})
def machine_gap_double_s(
    exchange_s: float, *, turn_s: float, handshake_s: float, door_s: float, blow_off_s: float
) -> float:
    """Time a machine stands from 'finished' to 'started again', double gripper with the raw part in hand [s].

    As machine_gap_single_s, with turn_s (turning the wrist from one gripper to the other) in the place of away_s.
    Source: common_practice, sum of the elements.  Valid when the arm waits with a raw part before the machine ends.
    """
    return exchange_s + turn_s + handshake_s + 2.0 * door_s + blow_off_s


@formula(source="common_practice, sum of the elements")
def attendant_work_s(elements_s: Sequence[float]) -> float:
    """Time that an attendant is busy for one machine load, the sum of its elements [s].

    Source: common_practice, sum of the elements.  Valid when the attendant does one thing at a time.

    >>> attendant_work_s([1.5, 0.5, 4.0])
    6.0
    """
    return math.fsum(elements_s)


@formula(
    source="singh1996, single-machine robotic cell",
    valid={"machining_s": NOT_NEGATIVE, "gap_s": NOT_NEGATIVE},
)
def machine_bound_cycle_s(machining_s: float, *, gap_s: float) -> float:
    """Cycle of a machine that never waits for its attendant: machining and gap [s].

    Source: singh1996, single-machine robotic cell.  Valid when the attendant stands ready each time.
    """
    return machining_s + gap_s


@formula(
    source="groover2007, ch. 2, machine clusters",
    unit="parts/h",
    valid={"machine_cycle_s": POSITIVE, "work_s": NOT_NEGATIVE, "machines": FROM_ONE, "parts_per_load": POSITIVE},
)
def cell_rate_per_h(machine_cycle_s: float, *, work_s: float, machines: float, parts_per_load: float) -> float:
    """Parts an hour of equal machines with one attendant: the lesser of their pace and his [parts/h].

    work_s is the attendant's whole work for one machine load. An upper bound: real cells lose to queues and faults.
    Source: groover2007, ch. 2.  Valid for equal machines with constant times.
    """
    loads_per_h = machines * 3600.0 / machine_cycle_s
    if work_s > 0.0:
        loads_per_h = min(loads_per_h, 3600.0 / work_s)
    return loads_per_h * parts_per_load


@formula(
    source="singh1996, single-machine robotic cell",
    unit="parts",
    valid={"cycle_s": POSITIVE, "shift_h": POSITIVE, "availability_share": SHARE},
)
def units_per_shift(cycle_s: float, *, shift_h: float, availability_share: float) -> float:
    """Parts a shift of a cell with one part a cycle [parts, not rounded].

    Source: singh1996, single-machine robotic cell.  Valid for a cycle above zero.
    """
    return shift_h * 3600.0 * availability_share / cycle_s


@formula(
    source="groover2008, ch. 14, time of a part in a batch",
    valid={
        "machining_s": NOT_NEGATIVE,
        "handling_s": NOT_NEGATIVE,
        "tool_change_s": NOT_NEGATIVE,
        "parts_per_tool": FROM_ONE,
        "setup_s": NOT_NEGATIVE,
        "batch": FROM_ONE,
    },
)
def time_per_part_s(
    machining_s: float, *, handling_s: float, tool_change_s: float, parts_per_tool: float, setup_s: float, batch: float
) -> float:
    """Machine time a part costs, with its share of tool changes and of the set-up of its batch [s].

    Source: groover2008, ch. 14.  Valid when handling, tool change and set-up all stop the machine.
    """
    return machining_s + handling_s + tool_change_s / parts_per_tool + setup_s / batch
