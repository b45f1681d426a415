"""What cheap changes of the work by hand make of a load and of people's hours."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(source="own_computation, parts times places", valid={"parts_per_load": POSITIVE, "times": FROM_ONE})
def parts_in_load(parts_per_load: float, *, times: float) -> float:
    """Parts in one load when so many times as many lie in it [1].

    Source: own_computation.  Valid for whole parts.
    """
    return parts_per_load * times


@formula(
    source="own_computation, share of elements outside",
    valid={"allowances": SHARE, "step_shares": SHARE, "moved_share": SHARE},
)
def moved_inside_s(
    times_s: Sequence[float],
    *,
    every_n: Sequence[float],
    allowances: Sequence[float],
    step_shares: Sequence[float],
    moved_share: float,
) -> float:
    """Work of one load that is done while the machine runs and no longer while it stands [s].

    step_shares: which share of each element could move; moved_share: how much of that really does.
    Source: own_computation.  Valid for work that needs no standing machine.

    >>> moved_inside_s([60.0], every_n=[10.0], allowances=[0.0], step_shares=[1.0], moved_share=0.5)
    3.0
    """
    rows = zip(times_s, every_n, allowances, step_shares, strict=True)
    return moved_share * math.fsum(time / n * (1.0 + allowance) * share for time, n, allowance, share in rows)


@formula(source="own_computation, time less what moved", valid={"time_s": NOT_NEGATIVE, "less_s": NOT_NEGATIVE})
def time_left_s(time_s: float, *, less_s: float) -> float:
    """What is left of a time when some of it is done elsewhere, never below nothing [s].

    Source: own_computation.  Valid for a part of the time.

    >>> time_left_s(30.0, less_s=8.0)
    22.0
    """
    return max(0.0, time_s - less_s)


@formula(
    source="own_computation, hours with more or fewer people",
    unit="h/y",
    valid={"assigned_h": NOT_NEGATIVE, "more_h": NOT_NEGATIVE, "less_h": NOT_NEGATIVE},
    units={"assigned_h": "h/y", "more_h": "h/y", "less_h": "h/y"},
)
def changed_h_per_y(assigned_h: float, *, more_h: float, less_h: float) -> float:
    """People's hours a year when others come in for some hours, or stay away for some [h/y].

    Source: own_computation.  Valid for hours that cost alike.

    >>> changed_h_per_y(3000.0, more_h=300.0, less_h=0.0)
    3300.0
    """
    return max(0.0, assigned_h + more_h - less_h)
