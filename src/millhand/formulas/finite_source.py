"""Machines that call for attention at random and queue for it: exact finite-source models.

Times between calls of a running machine are exponential with mean run_s. With exponential service and any number of
attendants the model is M/M/c//N; with constant service and one attendant it is M/D/1//N.
"""

import math

from millhand.formulas.limits import FROM_ONE, POSITIVE
from millhand.formulas.register import formula

VALID = {"machines": FROM_ONE, "attendants": FROM_ONE, "run_s": POSITIVE, "service_s": POSITIVE}


@formula(source="stevenson2021, ch. 18, finite source", unit="1", valid=VALID)
def state_shares(machines: float, *, attendants: float, run_s: float, service_s: float) -> tuple[float, ...]:
    """Shares of time in which 0, 1, ... N machines stand, waiting or in service [0..1 each].

    Source: stevenson2021, ch. 18; anderson2019, ch. 11.  Valid for exponential run and service times.
    """
    logs = [0.0]
    for standing in range(round(machines)):
        calls = (machines - standing) * service_s / run_s
        logs.append(logs[-1] + math.log(calls / min(standing + 1, attendants)))
    top = max(logs)
    weights = [math.exp(value - top) for value in logs]
    total = math.fsum(weights)
    return tuple(weight / total for weight in weights)


@formula(source="stevenson2021, ch. 18, finite source, J", valid=VALID)
def machines_running(machines: float, *, attendants: float, run_s: float, service_s: float) -> float:
    """Mean number of machines that run [machines].

    Source: stevenson2021, ch. 18.  Valid for exponential run and service times.
    """
    shares = state_shares(machines, attendants=attendants, run_s=run_s, service_s=service_s)
    return math.fsum((machines - standing) * share for standing, share in enumerate(shares))


@formula(source="stevenson2021, ch. 18, finite source, L", valid=VALID)
def machines_waiting(machines: float, *, attendants: float, run_s: float, service_s: float) -> float:
    """Mean number of machines that stand because every attendant is busy elsewhere [machines].

    Source: stevenson2021, ch. 18; anderson2019, ch. 11 (Lq).  Valid for exponential run and service times.
    """
    shares = state_shares(machines, attendants=attendants, run_s=run_s, service_s=service_s)
    return math.fsum(max(standing - attendants, 0) * share for standing, share in enumerate(shares))


@formula(source="stevenson2021, ch. 18, finite source, F", valid=VALID)
def servicing_efficiency(machines: float, *, attendants: float, run_s: float, service_s: float) -> float:
    """Share of machine time not lost by waiting for an attendant, F = (J + H) / N [0..1].

    Source: stevenson2021, ch. 18.  Valid for exponential run and service times.
    """
    return 1.0 - machines_waiting(machines, attendants=attendants, run_s=run_s, service_s=service_s) / machines


@formula(source="anderson2019, ch. 11, finite calling population, Wq", valid=VALID)
def waiting_time_s(machines: float, *, attendants: float, run_s: float, service_s: float) -> float:
    """Mean time a machine waits from its call until an attendant begins [s].

    Source: anderson2019, ch. 11 (Wq).  Valid for exponential run and service times.
    """
    waiting = machines_waiting(machines, attendants=attendants, run_s=run_s, service_s=service_s)
    running = machines_running(machines, attendants=attendants, run_s=run_s, service_s=service_s)
    return waiting * run_s / running


@formula(source="stevenson2021, ch. 18, finite source, D (see the note)", valid=VALID)
def all_busy_share(machines: float, *, attendants: float, run_s: float, service_s: float) -> float:
    """Share of time in which every attendant is busy [0..1].

    Tables print this under 'probability of waiting'; what a calling machine meets is probability_wait, which is less.
    Source: stevenson2021, ch. 18; anderson2019, ch. 11 (Pw).  Valid for exponential run and service times.
    """
    shares = state_shares(machines, attendants=attendants, run_s=run_s, service_s=service_s)
    return math.fsum(shares[round(attendants) :])


@formula(source="own_computation, arrival theorem for a finite source", valid=VALID)
def probability_wait(machines: float, *, attendants: float, run_s: float, service_s: float) -> float:
    """Chance that a machine which calls finds every attendant busy [0..1].

    States are weighted by the calls made in them, not by time.
    Source: own_computation, arrival theorem.  Valid for exponential run and service times.
    """
    shares = state_shares(machines, attendants=attendants, run_s=run_s, service_s=service_s)
    calls = [(machines - standing) * share for standing, share in enumerate(shares)]
    return math.fsum(calls[round(attendants) :]) / math.fsum(calls)


@formula(
    source="ashcroft1950, average number of machines running",
    valid={"machines": FROM_ONE, "run_s": POSITIVE, "service_s": POSITIVE},
)
def ashcroft_machines_running(machines: float, *, run_s: float, service_s: float) -> float:
    """Mean number of machines that run with one attendant and constant service time, M/D/1//N [machines].

    Source: ashcroft1950.  Valid for exponential run times, constant service time, one attendant.
    """
    load = service_s / run_s
    logs = [0.0]  # of binom(N-1, r) times the product of (exp(i load) - 1) for i = 1..r
    for r in range(1, round(machines)):
        growth = r * load + math.log(-math.expm1(-r * load))  # log(exp(r load) - 1) without overflow
        logs.append(logs[-1] + math.log((machines - r) / r) + growth)
    top = max(logs)
    log_sum = top + math.log(math.fsum(math.exp(value - top) for value in logs))
    idle_share = 1.0 / (1.0 + machines * load * math.exp(min(log_sum, 690.0)))
    return (1.0 - idle_share) / load
