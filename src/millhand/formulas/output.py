"""From a simulated rate to parts a shift, a night and a year, and the people's hours that they take."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="own_computation, bound times achieved share",
    unit="parts/h",
    valid={"bound_loads_per_h": NOT_NEGATIVE, "achieved": (0.0, 1.1), "parts_per_load": POSITIVE},
    units={"bound_loads_per_h": "1/h"},
)
def achieved_parts_per_h(bound_loads_per_h: float, *, achieved: float, parts_per_load: float) -> float:
    """Parts an hour: the load bound of the cell times the share of it that the simulation achieved [parts/h].

    Source: own_computation.  Valid near the times that were simulated: the share is held while the bound moves.
    """
    return bound_loads_per_h * achieved * parts_per_load


@formula(source="own_computation, shipped against modelled", valid={"modelled_parts": NOT_NEGATIVE})
def unexplained_loss_share(shipped_parts: float, *, modelled_parts: float) -> float:
    """Share of the modelled output that does not leave the shop: material, programs, first pieces, waiting [1].

    Below 0 the shop ships more than the model makes: then a figure of the inquiry is wrong, and a question stands.
    Source: own_computation.  Valid for both counted over the same hours.
    """
    return 1.0 - shipped_parts / modelled_parts if modelled_parts > 0.0 else 0.0


@formula(
    source="own_computation, losses multiply",
    unit="parts/h",
    valid={
        "rate_parts_per_h": NOT_NEGATIVE,
        "loss_share": (0.0, 0.25),
        "kept_share": SHARE,
        "available_share": SHARE,
        "good_share": SHARE,
        "most_parts_per_h": NOT_NEGATIVE,
    },
)
def net_parts_per_h(
    rate_parts_per_h: float,
    *,
    loss_share: float,
    kept_share: float,
    available_share: float,
    good_share: float,
    most_parts_per_h: Sequence[float],
) -> float:
    """Good parts an hour after today's unexplained loss, scrap, and the stops that the simulation leaves out [parts/h].

    kept_share: how much of today's unexplained loss stays (1: all of it, as by hand). A negative loss is kept whole,
    but lifts no rate above what can be made at most: the least of most_parts_per_h.
    Source: own_computation.  Valid for a loss between 0 and 25 %; outside it the inquiry is asked about.
    """
    stays = loss_share * (kept_share if loss_share > 0.0 else 1.0)
    most = max(rate_parts_per_h, min(most_parts_per_h, default=math.inf))
    return min(rate_parts_per_h * (1.0 - stays), most) * available_share * good_share


@formula(
    source="common_practice, machine hours over machining time",
    unit="parts/h",
    valid={"machines": FROM_ONE, "process_s": POSITIVE, "parts_per_load": POSITIVE},
)
def machines_parts_per_h(machines: float, *, process_s: float, parts_per_load: float) -> float:
    """Parts an hour that machines make if they never stand, neither for loading nor for people [parts/h].

    Source: common_practice.  Valid as an upper bound only.
    """
    return machines * 3600.0 / process_s * parts_per_load


@formula(source="own_computation, product over the operations", valid={"good_shares": SHARE})
def joint_good_share(good_shares: Sequence[float]) -> float:
    """Share of parts that are good after all operations [1].

    Source: own_computation, product.  Valid for scrap of one operation that does not depend on that of another.

    >>> joint_good_share([0.5, 0.5])
    0.25
    """
    return math.prod(good_shares)


@formula(source="own_computation, product of availabilities", valid={})
def joint_availability(every_s: Sequence[float], *, takes_s: Sequence[float]) -> float:
    """Share of time that is left when independent stops come every so often (running) and take so long [1].

    Source: own_computation: product of every / (every + takes).  Valid for stops that do not overlap often.

    >>> joint_availability([36.0], takes_s=[4.0])
    0.9
    """
    share = 1.0
    for every, takes in zip(every_s, takes_s, strict=True):
        share *= every / (every + takes)
    return share


@formula(
    source="common_practice, rate times hours",
    unit="parts",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "covered_h": NOT_NEGATIVE, "shifts": FROM_ONE},
)
def mean_parts_per_shift(rate_parts_per_h: float, *, covered_h: float, shifts: float) -> float:
    """Parts of an average manned shift: rate times covered hours a week over manned shifts a week [parts].

    Source: common_practice.  Valid for shifts of about the same length.
    """
    return rate_parts_per_h * covered_h / shifts


@formula(
    source="own_computation, expected run times simulated factor, below its bound",
    unit="parts",
    valid={
        "expected_parts": NOT_NEGATIVE,
        "factor": (0.0, 2.0),
        "bound_parts": NOT_NEGATIVE,
        "available_share": SHARE,
        "good_share": SHARE,
    },
)
def unattended_parts(
    expected_parts: float, *, factor: float, bound_parts: float, available_share: float, good_share: float
) -> float:
    """Good parts of one run alone: the closed form times what the simulation gave against it, less long stops [parts].

    Never more than what stock, tools, lot or hours let a run without a fault make: where everything turns out well at
    once, the factor alone would go beyond it.
    Source: own_computation.  Valid near the times that were simulated.
    """
    return min(expected_parts * factor, bound_parts) * available_share * good_share


@formula(
    source="own_computation, least of the limits",
    unit="parts",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "alone_h": NOT_NEGATIVE},
)
def alone_limit_parts(rate_parts_per_h: float, *, alone_h: float, limits_parts: Sequence[float]) -> float:
    """Parts that a run alone could make at most: hours times rate, presenter, outfeed, lot, tools, chips [parts].

    Source: own_computation.  Valid when every limit that exists stands in the list.
    """
    return min(rate_parts_per_h * alone_h, *limits_parts)


@formula(
    source="own_computation, attended and alone",
    unit="parts/y",
    valid={
        "attended_parts_per_h": NOT_NEGATIVE,
        "attended_h_per_y": NOT_NEGATIVE,
        "alone_parts": NOT_NEGATIVE,
        "runs_per_y": NOT_NEGATIVE,
    },
    units={"runs_per_y": "1/y"},
)
def capacity_parts_per_y(
    attended_parts_per_h: float, *, attended_h_per_y: float, alone_parts: float, runs_per_y: float
) -> float:
    """Parts a year that could be made, whoever orders them [parts/y].

    Source: own_computation.  Valid for runs alone that begin with a full presenter.
    """
    return attended_parts_per_h * attended_h_per_y + alone_parts * runs_per_y


@formula(
    source="own_computation, time of a part over a year",
    unit="h/y",
    valid={"parts_per_y": NOT_NEGATIVE, "good_share": (math.ulp(0.0), 1.0), "work_s_per_part": NOT_NEGATIVE},
)
def work_h_per_y(parts_per_y: float, *, good_share: float, work_s_per_part: float) -> float:
    """Hours a year of a work that is done on each part, the bad ones too [h/y].

    Source: own_computation.  Valid for work that is shared evenly over the parts.
    """
    return parts_per_y / good_share * work_s_per_part / 3600.0


@formula(
    source="own_computation, work a part times parts",
    unit="h/y",
    valid={
        "parts_per_y": NOT_NEGATIVE,
        "good_share": (math.ulp(0.0), 1.0),
        "changeovers_h_per_y": NOT_NEGATIVE,
        "most_h_per_y": NOT_NEGATIVE,
    },
    units={"parts_per_y": "parts/y"},
)
def operator_h_per_y(
    parts_per_y: float,
    *,
    good_share: float,
    work_s_per_part: Sequence[float],
    changeovers_h_per_y: float,
    most_h_per_y: float,
) -> float:
    """People's hours a year that a cell still needs: duties and inside work a part, and changeovers [h/y].

    parts_per_y are good ones; the work is done on those that turn out bad as well.
    Never more than the hours assigned today: who needs more help than that is told so by the pace verdict.
    Source: own_computation.  Valid for work that is shared evenly over the parts.
    """
    worked = parts_per_y / good_share * math.fsum(work_s_per_part) / 3600.0
    return min(most_h_per_y, worked + changeovers_h_per_y)


@formula(
    source="common_practice, shipped over covered hours",
    unit="parts/h",
    valid={"parts_per_shift": NOT_NEGATIVE, "shifts": FROM_ONE, "covered_h": POSITIVE},
)
def shipped_parts_per_h(parts_per_shift: float, *, shifts: float, covered_h: float) -> float:
    """Parts that leave the shop an hour in which somebody is there [parts/h].

    Source: common_practice.  Valid for shifts and covered hours of the same week.
    """
    return parts_per_shift * shifts / covered_h


@formula(source="common_practice, shifts of a week")
def shifts_per_week(days: Sequence[float]) -> float:
    """Manned shifts of a week: the days of each shift added up [1].

    Source: common_practice.  Valid for shifts with whole days.
    """
    return math.fsum(days)


@formula(source="own_computation, independent faults", unit="1", valid={"parts": FROM_ONE})
def load_fault_share(fault_shares: Sequence[float], *, parts: float) -> float:
    """Share of machine loads that a fault needing a person spoils [0..1].

    fault_shares: chances a part, of the exchange, of a feeder. 1 - product of (1 - q), to the power of the parts.
    Source: own_computation.  Valid for independent faults.

    >>> load_fault_share([0.5], parts=2.0)
    0.75
    """
    return 1.0 - math.prod(1.0 - share for share in fault_shares) ** parts


@formula(
    source="own_computation, stops while cutting added to faults of the exchange",
    valid={"fault_share": SHARE, "processes_s": NOT_NEGATIVE, "stops_every_s": POSITIVE},
    units={"processes_s": "s", "stops_every_s": "s"},
)
def stop_share_alone(fault_share: float, *, processes_s: Sequence[float], stops_every_s: Sequence[float]) -> float:
    """Share of loads at which a run alone is stopped: by the exchange, or by a machine while it cuts [0..1].

    Source: own_computation: 1 - (1 - q) exp(-sum of process / every).  Valid for stops that come by chance.
    """
    calls = math.fsum(process / every for process, every in zip(processes_s, stops_every_s, strict=True))
    return 1.0 - (1.0 - fault_share) * math.exp(-calls)


@formula(
    source="own_computation, loads in a run alone",
    valid={"limit_parts": NOT_NEGATIVE, "parts_per_load": POSITIVE},
)
def loads_alone(limit_parts: float, *, parts_per_load: float) -> float:
    """Machine loads that the limit of a run alone allows, as a real number [1].

    Source: own_computation.  Valid for at least one part a load.
    """
    return limit_parts / parts_per_load


@formula(
    source="own_computation, parts in loads",
    unit="parts",
    valid={"loads": NOT_NEGATIVE, "parts_per_load": POSITIVE},
)
def parts_of_loads(loads: float, *, parts_per_load: float) -> float:
    """Parts in so many machine loads [parts].

    Source: own_computation.  Valid for full loads.
    """
    return loads * parts_per_load


@formula(
    source="common_practice, the least limit ends the run",
    unit="s",
    valid={"rate_parts_per_h": POSITIVE},
)
def autonomy_time_s(limits_parts: Sequence[float], *, rate_parts_per_h: float) -> float:
    """How long the cell can run with nobody there: the least limit over the rate, faults left out [s].

    Source: common_practice.  Valid when every limit that exists stands in the list.
    """
    return min(limits_parts) / rate_parts_per_h * 3600.0


@formula(source="own_computation, share of the stock", unit="parts", valid={"pockets": NOT_NEGATIVE, "share": SHARE})
def refill_parts(pockets: float, *, share: float) -> float:
    """Parts that one refill brings when it is called while `share` of the stock is left [parts].

    Source: own_computation.  Valid for refills that are called by level.
    """
    return pockets * (1.0 - share)


@formula(
    source="common_practice, walk and parts",
    valid={"walk_s": NOT_NEGATIVE, "part_s": NOT_NEGATIVE, "parts": NOT_NEGATIVE},
)
def refill_visit_s(walk_s: float, *, part_s: float, parts: float) -> float:
    """Time of one refill: the visit itself, and each part taken out and put in [s].

    Source: common_practice.  Valid for parts handled one by one.
    """
    return walk_s + part_s * parts


@formula(
    source="own_computation, work over loads",
    valid={"work_share": NOT_NEGATIVE, "loads_per_h": POSITIVE, "parts_per_load": POSITIVE},
    units={"loads_per_h": "1/h"},
)
def duty_s(work_share: float, *, loads_per_h: float, parts_per_load: float) -> float:
    """People's time a part in the simulation: the share of the horizon they work over the parts made in it [s].

    Source: own_computation.  Valid for loads counted over the same horizon.
    """
    return work_share * 3600.0 / (loads_per_h * parts_per_load)


@formula(
    source="own_computation, parts in loads",
    unit="parts/h",
    valid={"loads_per_h": NOT_NEGATIVE, "parts_per_load": POSITIVE},
    units={"loads_per_h": "1/h"},
)
def parts_of_loads_per_h(loads_per_h: float, *, parts_per_load: float) -> float:
    """Parts an hour in so many machine loads an hour [parts/h].

    Source: own_computation.  Valid for full loads.
    """
    return loads_per_h * parts_per_load


@formula(
    source="own_computation, parts over hours",
    unit="parts/h",
    valid={"parts": NOT_NEGATIVE, "alone_h": NOT_NEGATIVE},
)
def alone_parts_per_h(parts: float, *, alone_h: float) -> float:
    """Parts an hour of the hours alone, those in which the cell already stands included; none without such hours.

    Source: own_computation.  Valid for hours alone from zero up: a wish of 2 h (0 h to 4 h) is drawn without any.

    >>> alone_parts_per_h(18.0, alone_h=4.0), alone_parts_per_h(0.0, alone_h=0.0)
    (4.5, 0.0)
    """
    return parts / alone_h if alone_h > 0.0 else 0.0


@formula(
    source="common_practice, hours times runs",
    unit="h/y",
    valid={"alone_h": (0.0, 24.0), "runs_per_y": NOT_NEGATIVE},
    units={"runs_per_y": "1/y"},
)
def alone_h_per_y(alone_h: float, *, runs_per_y: float) -> float:
    """Hours a year in which nobody is there and the cell is to run [h/y].

    Source: common_practice.  Valid for one run a working day.
    """
    return alone_h * runs_per_y
