"""Hours of a shift pattern: covered by somebody, worked by a head, a year; and how many heads the machines bind."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula

DAY_S, WEEK_H = 86_400.0, 168.0


@formula(source="own_computation, union of intervals", unit="h")
def covered_h_per_week(starts_s: Sequence[float], *, lengths_s: Sequence[float], days: Sequence[float]) -> float:
    """Hours of a week in which at least one of the shifts is there [h].

    Each shift begins at its time of day on its first `days` days of the week and may run past midnight; overlapping
    hours count once. Half a day a week is one shift of half the length.
    Source: own_computation, union of intervals.  Valid for shifts of at most 24 h.

    >>> covered_h_per_week([0.0, 14400.0], lengths_s=[28800.0, 28800.0], days=[5.0, 5.0])
    60.0
    """
    intervals = sorted(
        (day * DAY_S + start, day * DAY_S + start + length * min(1.0, count - day))
        for start, length, count in zip(starts_s, lengths_s, days, strict=True)
        for day in range(math.ceil(count))
    )
    covered = end = 0.0
    for begin, finish in intervals:
        covered += max(0.0, finish - max(begin, end))
        end = max(end, finish)
    return covered / 3600.0


@formula(source="common_practice, sum over shifts", unit="h")
def worked_h_per_week(lengths_s: Sequence[float], *, breaks_s: Sequence[float], days: Sequence[float]) -> float:
    """Hours a week that one post is filled, breaks taken off, summed over its shifts [h].

    Source: common_practice.  Valid for breaks that lie inside the shift.

    >>> worked_h_per_week([28800.0], breaks_s=[1800.0], days=[5.0])
    37.5
    """
    return sum((length - rest) * day for length, rest, day in zip(lengths_s, breaks_s, days, strict=True)) / 3600.0


@formula(
    source="common_practice, weeks from working days",
    unit="h/y",
    valid={"h_per_week": (0.0, 168.0), "work_days": (1.0, 366.0), "days_per_week": (1.0, 7.0)},
    units={"h_per_week": "h", "work_days": "d/y", "days_per_week": "d"},
)
def yearly_h_per_y(h_per_week: float, *, work_days: float, days_per_week: float) -> float:
    """Hours a year of a weekly pattern that runs on so many working days a year [h/y].

    Source: common_practice.  Valid for a pattern whose longest-running shift works `days_per_week`.

    >>> yearly_h_per_y(40.0, work_days=250.0, days_per_week=5.0)
    2000.0
    """
    return h_per_week * work_days / days_per_week


@formula(
    source="common_practice, machines over machines a head",
    valid={"machines": POSITIVE, "machines_per_operator": POSITIVE},
)
def assigned_heads(machines: float, *, machines_per_operator: float) -> float:
    """Heads in a manned shift that the machines bind, a fraction where one also tends others [1].

    Source: common_practice.  Valid for alike machines.
    """
    return machines / machines_per_operator


@formula(
    source="own_computation, mean weighted by hours",
    unit="1",
    valid={"heads": NOT_NEGATIVE},
    units={"heads": "1", "lengths_s": "s", "breaks_s": "s", "days": "d"},
)
def mean_heads(
    heads: Sequence[float], *, lengths_s: Sequence[float], breaks_s: Sequence[float], days: Sequence[float]
) -> float:
    """Heads in an average worked hour, each shift with the heads that it has [1].

    Source: own_computation.  Valid for hours of the same week; nobody where no hour is worked.

    >>> mean_heads([2.0, 1.0], lengths_s=[28800.0, 28800.0], breaks_s=[0.0, 0.0], days=[5.0, 5.0])
    1.5
    """
    hours = [(length - rest) * day for length, rest, day in zip(lengths_s, breaks_s, days, strict=True)]
    worked = math.fsum(hours)
    return math.fsum(head * hour for head, hour in zip(heads, hours, strict=True)) / worked if worked > 0.0 else 0.0


@formula(
    source="common_practice, heads times hours",
    unit="h/y",
    valid={"heads": NOT_NEGATIVE, "worked_h_per_y": NOT_NEGATIVE},
)
def assigned_h_per_y(heads: float, *, worked_h_per_y: float) -> float:
    """People's hours a year that are assigned to the machines [h/y].

    Source: common_practice.  Valid for posts that are filled as the pattern says.
    """
    return heads * worked_h_per_y


@formula(source="common_practice, seconds as hours", unit="h", valid={"unattended_s": (0.0, 86_400.0)})
def alone_h(unattended_s: float) -> float:
    """Hours of a working day in which nobody is there and the cell is to run [h].

    Source: common_practice.  Valid up to a whole day.
    """
    return unattended_s / 3600.0


@formula(
    source="common_practice, hours over machines a head",
    unit="h/y",
    valid={"assigned_h": NOT_NEGATIVE, "factor": (1.0, 10.0), "work_h": NOT_NEGATIVE},
    units={"assigned_h": "h/y", "work_h": "h/y"},
)
def spread_h_per_y(assigned_h: float, *, factor: float, work_h: float) -> float:
    """People's hours a year when one head tends `factor` times as many machines, but no fewer than the work [h/y].

    work_h: what the parts take in all, handling, stops and set-ups: nobody is freed of work that is still to be done.
    Source: common_practice.  Valid where the others of the machines are there to be tended.

    >>> spread_h_per_y(3000.0, factor=2.0, work_h=1000.0), spread_h_per_y(3000.0, factor=2.0, work_h=1800.0)
    (1500.0, 1800.0)
    """
    return max(assigned_h / factor, work_h)


@formula(
    source="own_computation, hours in proportion to what is ordered",
    unit="h/y",
    valid={"full_h": NOT_NEGATIVE, "capacity_parts_per_y": NOT_NEGATIVE, "today_parts_per_y": NOT_NEGATIVE},
    units={"full_h": "h/y", "orders_parts_per_y": "parts/y"},
)
def ordered_h_per_y(
    full_h: float, *, orders_parts_per_y: Sequence[float], capacity_parts_per_y: float, today_parts_per_y: float
) -> float:
    """Hours a year of people at machines that run no longer than there are orders for [h/y].

    full_h: with orders enough. Where less is ordered than is made in them the hours shrink in proportion; a way that
    makes more than today is credited with no fewer hours for it, one that makes less needs all of them for longer.
    Source: own_computation.  Valid where people who have nothing to load do something else, or stay away.

    >>> ordered_h_per_y(3000.0, orders_parts_per_y=[40e3], capacity_parts_per_y=60e3, today_parts_per_y=50e3)
    2400.0
    """
    made = min(capacity_parts_per_y, today_parts_per_y)
    return full_h * min(1.0, math.fsum(orders_parts_per_y) / made) if made > 0.0 else full_h


@formula(source="own_computation, sum over kinds", units={"counts": "1"})
def all_machines(counts: Sequence[float]) -> float:
    """Machines of all kinds together [1].

    Source: own_computation.  Valid for whole machines.

    >>> all_machines([2.0, 1.0])
    3.0
    """
    return sum(counts)


@formula(
    source="own_computation, hours less what of the breaks is lost",
    unit="1",
    valid={"breaks_lost": SHARE, "breaks_s": NOT_NEGATIVE, "days": (0.0, 7.0), "covered_h": POSITIVE},
)
def beside_breaks_share(
    breaks_lost: float, *, breaks_s: Sequence[float], days: Sequence[float], covered_h: float
) -> float:
    """Share of the covered hours of a week that is left when so much of the breaks is lost to the machines [0..1].

    breaks_s: break time of a post in each manned shift; days: how often a week.
    Source: own_computation.  Valid for heads that pause together; a machine still ends the load it has in a break, so
    that short breaks cost a little less than this.

    >>> beside_breaks_share(0.5, breaks_s=[3600.0, 1800.0], days=[5.0, 5.0], covered_h=75.0)
    0.95
    """
    away_h = math.fsum(rest * day for rest, day in zip(breaks_s, days, strict=True)) / 3600.0
    return 1.0 - breaks_lost * away_h / covered_h


@formula(
    source="own_computation, achieved outside the breaks times what the breaks leave",
    unit="1",
    valid={"outside_share": NOT_NEGATIVE, "beside_share": SHARE},
)
def achieved_with_breaks(outside_share: float, *, beside_share: float) -> float:
    """Share of the load bound that is achieved, with the breaks in it [1].

    Source: own_computation.  Valid near what was simulated: the share outside the breaks is held.

    >>> achieved_with_breaks(0.9, beside_share=0.95)
    0.855
    """
    return outside_share * beside_share


@formula(
    source="own_computation, share of a share",
    valid={"absence": SHARE, "unreplaced": SHARE},
)
def absent_share(absence: float, *, unreplaced: float) -> float:
    """Share of the shifts of one post in which nobody comes [0..1].

    absence: share of paid days on which somebody is away; unreplaced: share of those on which nobody stands in.
    Source: own_computation.  Valid for days away that are spread evenly over the shifts.

    >>> absent_share(0.5, unreplaced=0.25)
    0.125
    """
    return absence * unreplaced


@formula(
    source="own_computation, share of a shift",
    valid={"absent_share": SHARE, "length_s": NOT_NEGATIVE},
)
def missed_s(absent_share: float, *, length_s: float) -> float:
    """Time of a mean shift that is missed because nobody came [s].

    Source: own_computation.  Valid for whole shifts that are missed.
    """
    return absent_share * length_s


@formula(
    source="own_computation, hours less those that nobody came for",
    unit="h",
    valid={"hours_h": NOT_NEGATIVE, "absent_share": SHARE},
)
def present_h(hours_h: float, *, absent_share: float) -> float:
    """Hours of a post in which somebody is really there [h].

    absent_share: share of these hours in which he did not come, or is called away.
    Source: own_computation.  Valid for absence that comes in any shift alike.

    >>> present_h(40.0, absent_share=0.125)
    35.0
    """
    return hours_h * (1.0 - absent_share)


@formula(
    source="own_computation, stops by the clock from their share",
    valid={"away_share": (math.ulp(0.0), 1.0), "takes_s": POSITIVE},
)
def between_calls_s(away_share: float, *, takes_s: float) -> float:
    """Time from one call away from the machines to the next, the calls themselves left out [s].

    Source: own_computation: takes (1 - share) / share.  Valid for a share above nothing.

    >>> between_calls_s(0.25, takes_s=600.0)
    1800.0
    """
    return takes_s * (1.0 - away_share) / away_share
