"""What set-ups between lots take from the hours of the machines."""

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, SHARE
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
