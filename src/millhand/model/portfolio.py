"""Several jobs at once: what each could be, and the best set within a budget and somebody's time, in its order."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to do a job, out of its study."""

    concept: str
    title: str
    outlay: float  # money before hand-over
    npv: float
    payback_months: float | None
    own_h: float  # hours of the shop's own people until it runs


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One study with everything in it that is worth more than going on as today."""

    name: str
    file: str
    currency: str
    rate: float  # discount rate a year
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A job that is done, in its place: when work on it begins and ends, and its worth at the beginning of all."""

    job: str
    option: Option
    begins_months: float
    ends_months: float
    worth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Portfolio:
    """What to do first, what is left out, and what more money or more time would bring."""

    currency: str
    budget: float | None
    own_months: float | None
    placed: tuple[Placed, ...]
    left_out: tuple[str, ...]  # jobs
    outlay: float
    worth: float
    more_money: float | None  # worth that a tenth more budget would add; None without a budget
    more_time: float | None
