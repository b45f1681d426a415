"""One operator with fewer or more machines: what each number would give, as fact ids."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One way to look at it; a figure that this way does not give is None."""

    parts_per_h: str
    operator_share: str  # of the time in which the operator works or walks
    waiting_share: str  # of machine time in which a machine waits for him
    money_per_part: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Serviced:
    """One number of machines for one operator: in step by the best cycle, and by chance with machines that queue."""

    machines: str
    chart: Side | None  # None where no cycle was found
    chance: Side | None  # exponential times; None: machines differ, or more inside work than machining
    constant_parts_per_h: str | None  # machines that call by chance, every service as long as the mean


@dataclass(frozen=True, slots=True, kw_only=True)
class Servicing:
    """All numbers of machines that were looked at, for the operator and the machines of today."""

    rows: tuple[Serviced, ...]
    today: str  # machines that an operator tends today
    ideal: str | None  # machines that keep operator and machine both busy; None where machines differ
    cheapest: str | None  # of the rows, by the chart; None where no machine hour has a price
    break_even: str | None  # cost of a machine hour below which one machine more than the ideal is cheaper
    binomial: str | None  # machine time lost by the shortcut of handbooks, at the number of today
    wright: str | None  # interference by Wright's formula, in per cent of the service time, at the number of today
