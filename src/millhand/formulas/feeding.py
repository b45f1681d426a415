"""Machines that feed themselves for a while, stop by themselves, or bind the operator's hands while they run."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

LEAST_IN_TIME = 1e-6
CAUTION = (
    "An aid for counting time. Hands are bound for a reason: two-hand control, its distance from the tool, and "
    "any change that frees a hand or lets one reach in are for a risk assessment of competent people by local codes."
)


@formula(
    source="own_computation, whole parts of a bar",
    unit="1",
    valid={
        "bar_m": POSITIVE,
        "remnant_m": NOT_NEGATIVE,
        "part_m": POSITIVE,
        "cut_off_m": NOT_NEGATIVE,
        "bars": FROM_ONE,
    },
)
def cycles_from_bars(bar_m: float, *, remnant_m: float, part_m: float, cut_off_m: float, bars: float) -> float:
    """Machine cycles from so many bars, a part in each: whole parts only, the remnant is thrown away [1].

    Source: own_computation.  Valid for a bar that gives at least one part; never less than one a bar is returned.

    >>> cycles_from_bars(3.0, remnant_m=0.2, part_m=0.06, cut_off_m=0.003, bars=1.0)
    44.0
    """
    return bars * max(1, math.floor((bar_m - remnant_m) / (part_m + cut_off_m) + 1e-9))


@formula(source="own_computation, cycles and the machine's own stops", valid={"cycle_s": POSITIVE, "cycles": FROM_ONE})
def self_fed_run_s(cycle_s: float, *, own_stops_s: Sequence[float], cycles: float = 1.0) -> float:
    """Time from one visit to the next in which the machine needs nobody: its cycles and what it stops by itself [s].

    Source: own_computation.  Valid for cycles that follow each other without a person.

    >>> self_fed_run_s(50.0, cycles=44.0, own_stops_s=[25.0])
    2225.0
    """
    return cycle_s * cycles + math.fsum(own_stops_s)


@formula(
    source="own_computation, a stop spread over its parts",
    valid={"takes_s": NOT_NEGATIVE, "every": POSITIVE, "times": NOT_NEGATIVE},
)
def own_stop_s(takes_s: float, *, times: float, every: float = 1.0) -> float:
    """A machine's own stop after every so many, such as dressing a wheel, spread evenly over so many of them [s].

    Source: own_computation.  Valid for stops that need no person.

    >>> own_stop_s(40.0, every=20.0, times=1.0)
    2.0
    """
    return takes_s * times / every


@formula(
    source="own_computation, share of the run that binds the operator",
    valid={"run_s": NOT_NEGATIVE, "bound_share": SHARE},
    caution=CAUTION,
)
def hands_bound_s(run_s: float, *, bound_share: float) -> float:
    """Time of a machine's run in which the operator's hands are held, by two-hand control or by guiding the work [s].

    He can do nothing else in it, and the machine works: it is added to what he does while the machine stands.
    Source: own_computation.  Valid for a share of the run.

    >>> hands_bound_s(2.0, bound_share=0.5)
    1.0
    """
    return run_s * bound_share


@formula(
    source="own_computation, parts between over parts in a load",
    unit="1",
    valid={"every_parts": POSITIVE, "parts_per_cycle": FROM_ONE, "cycles": FROM_ONE},
)
def loads_between(every_parts: float, *, parts_per_cycle: float, cycles: float = 1.0) -> float:
    """Loads between two times that something is done at each n-th part; below one: several times in a load [1].

    Source: own_computation.  Valid for full loads.

    >>> loads_between(20.0, parts_per_cycle=1.0, cycles=40.0)
    0.5
    """
    return every_parts / (parts_per_cycle * cycles)


@formula(source="own_computation, what was in time", valid={"late_per_h": NOT_NEGATIVE, "loads_per_h": NOT_NEGATIVE})
def in_time_share(late_per_h: float, *, loads_per_h: float) -> float:
    """Share of the loads that were taken out within their window; the others are scrap [0..1].

    Where every load was late, one in a million counts as in time: no run tells that from none, and what is reckoned for
    each good part needs some.
    Source: own_computation.  Valid for late loads among the loads counted.

    >>> in_time_share(2.0, loads_per_h=40.0), in_time_share(40.0, loads_per_h=40.0)
    (0.95, 1e-06)
    """
    return max(LEAST_IN_TIME, 1.0 - late_per_h / loads_per_h) if loads_per_h > 0.0 else 1.0
