"""Waiting machines by other ways: the Markov chain solved as it stands, an embedded chain, every case counted."""

import itertools
import math

import numpy as np
import pytest

from tests.checks import OWN, Check, assert_holds

SHOPS = [(4, 1, 300.0, 60.0), (6, 2, 900.0, 240.0), (12, 3, 1800.0, 600.0)]  # machines, attendants, run_s, service_s


def chain_shares(machines: int, attendants: int, run_s: float, service_s: float) -> list[float]:
    """Shares of time by standing machines, from the balance of the generator matrix."""
    size = machines + 1
    rates = np.zeros((size, size))
    for standing in range(size):
        if standing < machines:
            rates[standing, standing + 1] = (machines - standing) / run_s
        if standing > 0:
            rates[standing, standing - 1] = min(standing, attendants) / service_s
        rates[standing, standing] = -rates[standing].sum()
    balance = np.vstack([rates.T, np.ones(size)])
    answer = np.linalg.lstsq(balance, np.append(np.zeros(size), 1.0), rcond=None)[0]
    return [float(share) for share in answer]


def chain_waiting(machines: int, attendants: int, run_s: float, service_s: float) -> float:
    """Waiting machines from the chain."""
    shares = chain_shares(machines, attendants, run_s, service_s)
    return math.fsum(max(standing - attendants, 0) * share for standing, share in enumerate(shares))


def chain_running(machines: int, attendants: int, run_s: float, service_s: float) -> float:
    """Running machines from the chain."""
    shares = chain_shares(machines, attendants, run_s, service_s)
    return math.fsum((machines - standing) * share for standing, share in enumerate(shares))


def chain_caller_waits(machines: int, attendants: int, run_s: float, service_s: float) -> float:
    """Calls that meet no free attendant over all calls, from the chain."""
    shares = chain_shares(machines, attendants, run_s, service_s)
    calls = [(machines - standing) / run_s * share for standing, share in enumerate(shares)]
    return math.fsum(calls[attendants:]) / math.fsum(calls)


def embedded_running(machines: int, run_s: float, service_s: float) -> float:
    """Running machines with constant service: the chain at the ends of services, then throughput times run time."""
    moves = np.zeros((machines, machines))  # by standing machines just after a service
    for before in range(machines):
        served = max(before, 1)  # after an empty pause the next call is served at once
        up = machines - served
        fails = -math.expm1(-service_s / run_s)
        for failed in range(up + 1):
            chance = math.comb(up, failed) * fails**failed * (1.0 - fails) ** (up - failed)
            moves[before, served - 1 + failed] += chance
    balance = np.vstack([moves.T - np.eye(machines), np.ones(machines)])
    shares = np.linalg.lstsq(balance, np.append(np.zeros(machines), 1.0), rcond=None)[0]
    cycle_s = service_s + float(shares[0]) * run_s / machines
    return run_s / cycle_s


def counted_lost_share(machines: int, down_share: float, operators: int) -> float:
    """Machine hours lost, every pattern of standing machines counted on its own."""
    lost = 0.0
    for pattern in itertools.product((True, False), repeat=machines):
        chance = math.prod(down_share if down else 1.0 - down_share for down in pattern)
        lost += chance * max(sum(pattern) - operators, 0) / machines
    return lost


CHECKS = []
for shop in SHOPS:
    given = dict(zip(("machines", "attendants", "run_s", "service_s"), shop, strict=True))
    CHECKS += [
        Check(
            formula="state_shares",
            inputs=given,
            expected=chain_shares(*shop)[2],
            pick=lambda shares: float(shares[2]),
            key="own_computation",
            seen=OWN,
        ),
        Check(formula="machines_running", inputs=given, expected=chain_running(*shop), key="own_computation", seen=OWN),
        Check(formula="machines_waiting", inputs=given, expected=chain_waiting(*shop), key="own_computation", seen=OWN),
        Check(
            formula="servicing_efficiency",
            inputs=given,
            expected=1.0 - chain_waiting(*shop) / shop[0],
            key="own_computation",
            seen=OWN,
        ),
        Check(
            formula="waiting_time_s",
            inputs=given,
            expected=chain_waiting(*shop) * shop[2] / chain_running(*shop),
            key="own_computation",
            seen=OWN,
        ),
        Check(
            formula="all_busy_share",
            inputs=given,
            expected=math.fsum(chain_shares(*shop)[shop[1] :]),
            key="own_computation",
            seen=OWN,
        ),
        Check(
            formula="probability_wait",
            inputs=given,
            expected=chain_caller_waits(*shop),
            key="own_computation",
            seen=OWN,
        ),
    ]
for count, load in ((1, 0.01), (4, 0.1), (6, 0.2), (10, 0.05), (20, 0.1)):
    CHECKS.append(
        Check(
            formula="ashcroft_machines_running",
            inputs={"machines": count, "run_s": 1.0, "service_s": load},
            expected=embedded_running(count, 1.0, load),
            key="ashcroft1950",
            seen=OWN,
        )
    )
CHECKS += [
    Check(
        formula="ashcroft_machines_running",
        inputs={"machines": 8, "run_s": 10.0, "service_s": 1.0},
        printed="6.853170686126",
        key="ashcroft1950",
        seen=OWN,
    ),
    Check(
        formula="binomial_lost_share",
        inputs={"machines": 5, "down_share": 0.3, "operators": 2},
        expected=counted_lost_share(5, 0.3, 2),
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """The closed form and the chain, or the count of every case, give the same number."""
    assert_holds(check)
