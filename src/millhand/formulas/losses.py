"""What set-ups between lots take from the hours of the machines."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="common_practice, set-ups of the lots shipped",
    valid={"shipped_parts_per_h": NOT_NEGATIVE, "set_up_s": NOT_NEGATIVE, "lot": FROM_ONE, "machines": FROM_ONE},
)
def set_up_share(shipped_parts_per_h: float, *, set_up_s: float, lot: float, machines: float) -> float:
    """Share of the hours in which the machines stand to be set up between two lots [0..1].

    Source: common_practice.  Valid for one set-up a lot on one of the machines.

    >>> set_up_share(10.0, set_up_s=3600.0, lot=50.0, machines=2.0)
    0.1
    """
    return min(1.0, shipped_parts_per_h * set_up_s / 3600.0 / (lot * machines))


@formula(
    source="own_computation, hours left for parts",
    unit="parts/h",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "set_up_share": SHARE},
)
def between_set_ups_parts_per_h(rate_parts_per_h: float, *, set_up_share: float) -> float:
    """Parts an hour of all hours, when in some of them the machines are being set up [parts/h].

    Source: own_computation.  Valid for a rate that holds while no machine is set up.
    """
    return rate_parts_per_h * (1.0 - set_up_share)


@formula(
    source="own_computation, one run against another",
    unit="parts",
    valid={"without_parts": NOT_NEGATIVE, "made_parts": NOT_NEGATIVE},
)
def lost_parts(without_parts: float, *, made_parts: float) -> float:
    """Parts of a shift that a cause costs: made without it less made with it, from 0 up [parts].

    Source: own_computation.  Valid for two runs under the same chance that differ in the cause alone.
    """
    return max(0.0, without_parts - made_parts)


@formula(
    source="own_computation, a share of what the losses before it left",
    unit="parts",
    valid={"made_parts": NOT_NEGATIVE, "before_shares": SHARE},
)
def lost_in_turn_parts(made_parts: float, *, before_shares: Sequence[float], lost_share: float) -> float:
    """Parts of a shift that one of several losses takes, each of them a share of what those before it left [parts].

    Below 0 where the shop ships more than the model makes.
    Source: own_computation.  Valid for losses that multiply.

    >>> lost_in_turn_parts(100.0, before_shares=[0.5], lost_share=0.25)
    12.5
    """
    return made_parts * math.prod(1.0 - share for share in before_shares) * lost_share


@formula(source="own_computation, the rest of a share", valid={"kept_share": SHARE})
def lost_share(kept_share: float) -> float:
    """What is lost where a share is kept [0..1].

    Source: own_computation.  Valid for shares of one whole.
    """
    return 1.0 - kept_share


@formula(
    source="own_computation, share of hours",
    unit="h",
    valid={"hours_h": NOT_NEGATIVE, "share": SHARE},
)
def share_h(hours_h: float, *, share: float) -> float:
    """Hours that a share of some hours comes to [h].

    Source: own_computation.  Valid for a share of these hours.
    """
    return hours_h * share


@formula(
    source="own_computation, stops in running and standing time",
    unit="h",
    valid={
        "hours_h": NOT_NEGATIVE, "shifts": POSITIVE, "machines": FROM_ONE, "every_s": POSITIVE, "takes_s": NOT_NEGATIVE,
    },
    units={"every_s": "s", "takes_s": "s"},
)  # fmt: skip
def stood_h(
    hours_h: float, *, shifts: float, machines: Sequence[float], every_s: Sequence[float], takes_s: Sequence[float]
) -> float:
    """Machine hours of a mean shift in which machines stand in stops, over all kinds of machines [h].

    hours_h: hours of a week with somebody there. Source: own_computation: hours x machines x takes / (every + takes).
    Valid for stops counted on running time.

    >>> stood_h(50.0, shifts=5.0, machines=[2.0], every_s=[90.0], takes_s=[10.0])
    2.0
    """
    rows = zip(machines, every_s, takes_s, strict=True)
    return hours_h / shifts * math.fsum(count * takes / (every + takes) for count, every, takes in rows)


@formula(
    source="common_practice, a set-up each lot",
    unit="h",
    valid={"parts": NOT_NEGATIVE, "lot": FROM_ONE, "set_up_s": NOT_NEGATIVE},
)
def set_up_h(parts: float, *, lot: float, set_up_s: float) -> float:
    """Hours in which a machine is set up for the lots of so many parts [h].

    Source: common_practice.  Valid for one set-up a lot.

    >>> set_up_h(100.0, lot=50.0, set_up_s=1800.0)
    1.0
    """
    return parts / lot * set_up_s / 3600.0


@formula(
    source="own_computation, output less the time stood",
    unit="parts",
    valid={"parts_per_shift": NOT_NEGATIVE, "stands_h": NOT_NEGATIVE, "covered_h": POSITIVE, "shifts": POSITIVE},
)
def parts_with_stands(parts_per_shift: float, *, stands_h: float, covered_h: float, shifts: float) -> float:
    """Parts of a mean shift if the arm also stood for so many hours of it, at the least [parts].

    At the least, because machines that are loaded go on cutting meanwhile.
    Source: own_computation.  Valid for hours and shifts of the same week.

    >>> parts_with_stands(80.0, stands_h=0.8, covered_h=80.0, shifts=10.0)
    72.0
    """
    return parts_per_shift * max(0.0, 1.0 - stands_h * shifts / covered_h)
