"""One operator on several machines: ideal number, cycle, idle share, cost, and the loss when machines wait."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="niebel2014, ch. 2, synchronous servicing",
    valid={"load_s": POSITIVE, "machining_s": NOT_NEGATIVE, "walk_s": NOT_NEGATIVE},
)
def ideal_machines(load_s: float, *, machining_s: float, walk_s: float) -> float:
    """Number of equal machines that one operator can serve with neither side waiting [1, not rounded].

    load_s keeps operator and machine together, walk_s only the operator, machining_s only the machine.
    Source: niebel2014, ch. 2.  Valid for constant times and a load above zero.

    >>> round(ideal_machines(1.0, machining_s=2.0, walk_s=0.1), 3)
    2.727
    """
    return (load_s + machining_s) / (load_s + walk_s)


@formula(
    source="niebel2014, ch. 2, synchronous servicing",
    valid={"load_s": POSITIVE, "machining_s": NOT_NEGATIVE, "walk_s": NOT_NEGATIVE, "machines": FROM_ONE},
)
def servicing_cycle_s(load_s: float, *, machining_s: float, walk_s: float, machines: float) -> float:
    """Cycle of an operator's round over his machines, the slower of machine and operator [s].

    Source: niebel2014, ch. 2.  Valid for equal machines with constant times.
    """
    return max(load_s + machining_s, machines * (load_s + walk_s))


@formula(
    source="groover2007, ch. 2, machine clusters",
    valid={"load_s": POSITIVE, "machining_s": NOT_NEGATIVE, "walk_s": NOT_NEGATIVE, "machines": FROM_ONE},
)
def operator_idle_share(load_s: float, *, machining_s: float, walk_s: float, machines: float) -> float:
    """Share of the cycle in which the operator waits for a machine [0..1].

    Source: groover2007, ch. 2.  Valid for equal machines with constant times.
    """
    cycle_s = servicing_cycle_s(load_s, machining_s=machining_s, walk_s=walk_s, machines=machines)
    return 1.0 - machines * (load_s + walk_s) / cycle_s


@formula(
    source="groover2007, ch. 2, machine clusters",
    unit="money/part",
    valid={
        "cycle_s": POSITIVE,
        "machines": FROM_ONE,
        "parts_per_load": POSITIVE,
        "operator_money_per_h": NOT_NEGATIVE,
        "machine_money_per_h": NOT_NEGATIVE,
    },
)
def cost_per_part_money(
    cycle_s: float,
    *,
    machines: float,
    parts_per_load: float,
    operator_money_per_h: float,
    machine_money_per_h: float,
) -> float:
    """Cost of operator and machines a part, when every machine gives one load each cycle [money/part].

    Source: groover2007, ch. 2.  Valid for one operator; take the cycle from servicing_cycle_s.
    """
    loads_per_h = machines * 3600.0 / cycle_s
    return (operator_money_per_h + machines * machine_money_per_h) / (loads_per_h * parts_per_load)


@formula(
    source="groover2007, ch. 2, machine clusters",
    valid={"cycle_s": POSITIVE, "loads": POSITIVE, "parts_per_load": POSITIVE},
)
def cluster_parts_per_h(cycle_s: float, *, loads: float, parts_per_load: float) -> float:
    """Parts an hour of all machines together, when a cycle brings so many loads [parts/h].

    Source: groover2007, ch. 2.  Valid for a cycle that repeats.
    """
    return loads * parts_per_load * 3600.0 / cycle_s


@formula(
    source="own_computation, a cycle less its waits", unit="1", valid={"waits_s": NOT_NEGATIVE, "cycle_s": POSITIVE}
)
def worked_share(waits_s: Sequence[float], *, cycle_s: float) -> float:
    """Share of a cycle in which an operator works or walks [0..1].

    waits_s: every stretch of the cycle in which he has nothing to do.
    Source: own_computation.  Valid for stretches that do not overlap.

    >>> worked_share([20.0, 10.0], cycle_s=120.0)
    0.75
    """
    return 1.0 - math.fsum(waits_s) / cycle_s


@formula(
    source="own_computation, waits over machine time",
    unit="1",
    valid={"waits_s": NOT_NEGATIVE, "machines": FROM_ONE, "cycle_s": POSITIVE},
    units={"machines": "1"},
)
def machines_wait_share(waits_s: Sequence[float], *, machines: Sequence[float], cycle_s: float) -> float:
    """Share of the time of all machines in which one stands and waits for the operator [0..1].

    waits_s: every stretch of the cycle in which some machine does; machines: how many of each kind.
    Source: own_computation.  Valid for stretches of one machine that do not overlap.

    >>> machines_wait_share([30.0, 6.0], machines=[2.0, 1.0], cycle_s=120.0)
    0.1
    """
    return math.fsum(waits_s) / (math.fsum(machines) * cycle_s)


@formula(
    source="groover2007, ch. 2, machine clusters",
    valid={"operator_money_per_h": NOT_NEGATIVE},
    units={"machines": "1", "machine_money_per_h": "money/h"},
)
def cluster_money_per_h(
    operator_money_per_h: float, *, machines: Sequence[float], machine_money_per_h: Sequence[float]
) -> float:
    """What an hour of one operator and his machines costs, kind by kind [money/h].

    Source: groover2007, ch. 2.  Valid for one operator; no machines listed: the operator alone.
    """
    pairs = zip(machines, machine_money_per_h, strict=True)
    return operator_money_per_h + math.fsum(count * money for count, money in pairs)


@formula(
    source="groover2007, ch. 2, machine clusters",
    valid={"hour_money_per_h": NOT_NEGATIVE, "rate_parts_per_h": POSITIVE},
)
def cluster_money_per_part(hour_money_per_h: float, *, rate_parts_per_h: float) -> float:
    """Cost of a part where an hour costs so much and brings so many [money/part].

    Source: groover2007, ch. 2.  Valid for rates above zero.
    """
    return hour_money_per_h / rate_parts_per_h


@formula(
    source="own_computation, equal cost a part",
    valid={"few": FROM_ONE, "more": FROM_ONE, "few_parts_per_h": POSITIVE, "more_parts_per_h": POSITIVE},
)
def break_even_machine_money_per_h(
    few: float, *, more: float, few_parts_per_h: float, more_parts_per_h: float, operator_money_per_h: float
) -> float:
    """Cost of a machine hour at which few and more machines for one operator make parts at the same cost [money/h].

    Below it more machines are cheaper: the operator then costs more than machines that wait. Infinite where more
    machines give as many parts each.
    Source: own_computation.  Valid for alike machines.
    """
    lost = more * few_parts_per_h - few * more_parts_per_h
    won = operator_money_per_h * (more_parts_per_h - few_parts_per_h)
    return won / lost if lost > 0.0 else math.inf


@formula(source="own_computation, a part over its whole", unit="1", valid={"whole": POSITIVE})
def part_of(part: float, *, whole: float) -> float:
    """One number as a share of another of the same unit [1].

    Source: own_computation.  Valid for a whole above zero.
    """
    return part / whole


@formula(
    source="own_computation, finite source of machines that run on while they are tended",
    valid={"machining_s": POSITIVE, "inside_s": NOT_NEGATIVE},
)
def free_run_s(machining_s: float, *, inside_s: float) -> float:
    """Running time of a machine that is left when the operator turns away from it [s].

    A machine runs on while he does its inside work and walks. The finite-source models know a machine as running or
    with him: with this as run time, and all his work on a load as service time, one machine gives the true cycle.
    Source: own_computation.  Valid for inside work that is shorter than the machining time.
    """
    return machining_s - inside_s


@formula(
    source="niebel2014, ch. 2, random servicing",
    valid={"machines": FROM_ONE, "down_share": SHARE, "operators": FROM_ONE},
)
def binomial_lost_share(machines: float, *, down_share: float, operators: float) -> float:
    """Share of machine hours lost while more machines stand than there are operators, as printed in handbooks [0..1].

    Each machine needs attention for down_share of the time, independent of the others (binomial), which leaves out
    that a waiting machine cannot call again: finite_source is the exact model.
    Source: niebel2014, ch. 2, random servicing.  Valid for small down_share.
    """
    count, served = round(machines), round(operators)
    waiting = math.fsum(
        (down - served) * math.comb(count, down) * down_share**down * (1.0 - down_share) ** (count - down)
        for down in range(served + 1, count + 1)
    )
    return waiting / count


@formula(
    source="wright1936, as printed in niebel2014, ch. 2",
    unit="%",
    valid={"machines": (7.0, math.inf), "run_to_service": POSITIVE},
)
def wright_interference(machines: float, *, run_to_service: float) -> float:
    """Interference time in percent of the mean service time, Wright's approximation [%].

    run_to_service is mean running time over mean service time. An approximation: it lies above the exact finite-source
    result for exponential as well as constant service.
    Source: wright1936 in niebel2014, ch. 2.  Valid from seven machines on (fewer are read from curves).
    """
    slack = 1.0 + run_to_service - machines
    return 50.0 * (math.sqrt(slack**2 + 2.0 * machines) - slack)
