"""Machines of several kinds that call one operator at random: the exact chain of who runs and who waits in which order.

Run and service times are exponential with means of each kind; calls are answered first come first served. Where kinds
differ in their service nothing simpler is right: the order of the queue is part of the state.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

from millhand.formulas.limits import FROM_ONE, POSITIVE
from millhand.formulas.register import formula

VALID = {"machines": FROM_ONE, "run_s": POSITIVE, "service_s": POSITIVE}
UNITS = {"machines": "1"}
SOURCE = "sztrik2012, heterogeneous queues, first in first out"
CLOSE, SWEEPS = 1e-14, 10_000
Order = tuple[int, ...]  # kinds of the machines that stand, the one in service first
Shares = tuple[tuple[Order, float], ...]


@formula(source=SOURCE, unit="1", valid=VALID, units=UNITS)
def unlike_running(machines: Sequence[float], *, run_s: Sequence[float], service_s: Sequence[float]) -> Sequence[float]:
    """Mean number of machines of each kind that run, one operator for all kinds [machines].

    Source: sztrik2012, heterogeneous queues.  Valid for exponential run and service times, first come first served.
    """
    shares = order_shares(tuple(machines), tuple(run_s), tuple(service_s))
    return tuple(
        math.fsum((count - order.count(kind)) * share for order, share in shares) for kind, count in enumerate(machines)
    )


@formula(source=SOURCE, unit="1/h", valid=VALID, units=UNITS)
def unlike_sets_per_h(machines: Sequence[float], *, run_s: Sequence[float], service_s: Sequence[float]) -> float:
    """Loads an hour of the kind that makes the fewest: what leaves a line that goes through all kinds [1/h].

    Every machine is taken to have parts at hand always; the faster kinds of a line call less often than that.
    Source: sztrik2012, heterogeneous queues.  Valid for exponential run and service times, first come first served.
    """
    running = unlike_running(machines, run_s=run_s, service_s=service_s)
    return min(3600.0 * mean / run for mean, run in zip(running, run_s, strict=True))


@formula(source=SOURCE, unit="1", valid=VALID, units=UNITS)
def unlike_wait_share(machines: Sequence[float], *, run_s: Sequence[float], service_s: Sequence[float]) -> float:
    """Share of the time of all machines in which one stands because the operator is at another one [0..1].

    Source: sztrik2012, heterogeneous queues.  Valid for exponential run and service times, first come first served.
    """
    shares = order_shares(tuple(machines), tuple(run_s), tuple(service_s))
    return math.fsum(max(0, len(order) - 1) * share for order, share in shares) / math.fsum(machines)


@formula(source=SOURCE, unit="1", valid=VALID, units=UNITS)
def unlike_busy_share(machines: Sequence[float], *, run_s: Sequence[float], service_s: Sequence[float]) -> float:
    """Share of time in which the operator serves some machine [0..1].

    Source: sztrik2012, heterogeneous queues.  Valid for exponential run and service times, first come first served.
    """
    shares = order_shares(tuple(machines), tuple(run_s), tuple(service_s))
    return math.fsum(share for order, share in shares if order)


def orders(machines: Sequence[float]) -> list[list[Order]]:
    """Every order in which machines can stand, by how many do; alike machines are not told apart.

    >>> orders((1, 1)), sum(map(len, orders((1, 1, 1, 1, 1)))), sum(map(len, orders((3, 3))))
    ([[()], [(0,), (1,)], [(0, 1), (1, 0)]], 326, 69)
    """
    levels: list[list[Order]] = [[()]]
    for _ in range(round(math.fsum(machines))):
        longer = [(*order, kind) for order in levels[-1] for kind in range(len(machines))]
        levels.append([order for order in longer if order.count(order[-1]) <= machines[order[-1]]])
    return levels


def order_count(machines: Sequence[float]) -> int:
    """How many orders there are, without writing them down.

    >>> order_count((1, 1, 1, 1, 1)), order_count((3, 3)), order_count((12, 12)) > 10**6
    (326, 69, True)
    """
    ways = [1]  # for each number of standing machines of the kinds so far
    for count in (round(each) for each in machines):
        wider = [0] * (len(ways) + count)
        for others, known in enumerate(ways):
            for standing in range(count + 1):
                wider[others + standing] += known * math.comb(others + standing, standing)
        ways = wider
    return sum(ways)


@lru_cache(maxsize=64)
def order_shares(machines: tuple[float, ...], run_s: tuple[float, ...], service_s: tuple[float, ...]) -> Shares:
    """Share of time of each order: swept until it stands still, each sweep set right level by level.

    Between so many standing machines and one more as much goes up as comes down, whatever the orders: that fixes how
    the levels stand to each other, and the sweeps only have to find the shares within a level.
    """
    levels = orders(machines)

    def call(order: Order, kind: int) -> float:
        """How often a further machine of a kind calls."""
        return (machines[kind] - order.count(kind)) / run_s[kind]

    kinds = range(len(machines))
    up = {order: math.fsum(call(order, kind) for kind in kinds) for level in levels for order in level}
    down = {order: 1.0 / service_s[order[0]] if order else 0.0 for order in up}
    into = {
        order: [((kind, *order), 1.0 / service_s[kind]) for kind in kinds if (kind, *order) in up]
        + ([(order[:-1], call(order[:-1], order[-1]))] if order else [])
        for order in up
    }
    shares = dict.fromkeys(up, 1.0)
    for _ in range(SWEEPS):
        before = dict(shares)
        balance(levels, shares, up, down)
        for order, sources in into.items():
            shares[order] = math.fsum(shares[other] * rate for other, rate in sources) / (up[order] + down[order])
        total = math.fsum(shares.values())
        shares = {order: share / total for order, share in shares.items()}
        if all(abs(share - before[order]) <= CLOSE * share for order, share in shares.items()):
            break
    return tuple(shares.items())


def balance(
    levels: Sequence[Sequence[Order]], shares: dict[Order, float], up: dict[Order, float], down: dict[Order, float]
) -> None:
    """Scale each level so that as much comes down from it as goes up into it."""
    rising = 0.0
    for depth, level in enumerate(levels):
        falling = math.fsum(shares[order] * down[order] for order in level)
        factor = rising / falling if depth else 1.0
        for order in level:
            shares[order] *= factor
        rising = math.fsum(shares[order] * up[order] for order in level)
