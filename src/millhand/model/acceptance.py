"""What a cell has to show before shipping and on site: counts, times and shares, each a fact id."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Standstill:
    """How long the machine of one operation may stand from finished to started again, on the mean of timed loads."""

    operation: str
    counted: str  # as it was worked out [s]
    most: str  # accepted at most [s]


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterFaults:
    """What so many faults among the parts of the run say of the share of faults."""

    faults: str
    low: str
    high: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """The tests of one cell. The share of faults is shown by parts in a row without one."""

    concept: str
    timed_parts: str  # in a row, with every machine running
    pace_per_h: str  # that was worked out, stops left out where a simple cycle is known
    timed_most: str  # how long they may take [s]
    standstills: tuple[Standstill, ...]
    alone_s: str | None  # run that nobody touches; None where nobody wishes for one
    alone_parts: str | None  # that it is to make
    alone_through: str | None  # chance that it needs nobody before its end
    confidence: str
    counted_share: str  # of parts at which the loading needs a person, as the study counts with
    shown_share: str  # that the share does not lie above: the upper end of its range
    faultless_parts: str  # in a row without a fault that show it
    pass_chance: str  # that a cell as good as counted with comes through
    after: tuple[AfterFaults, ...]  # where faults come: what the run says then
    both_chance: str | None = None  # that it comes through that run and the one alone; None without one alone
    shifts: str = ""  # on how many the mean of the good parts is taken, as for a change by hand; "" in older studies
