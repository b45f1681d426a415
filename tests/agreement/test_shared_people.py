"""Cells of one person: against the chain of states solved as it stands, and against a run of calls event by event."""

import heapq
import random

import pytest

from millhand.formulas.shared_people import MOST, cells_for_one, shared_post_h_per_y
from tests.agreement.test_finite_source import chain_waiting
from tests.checks import OWN, Check, assert_holds

CALLS, TAKES, THERE = 3.0, 240.0, 0.5  # calls an hour of the week, seconds a call, share of the week with people
SHOP = {
    "call_s": TAKES, "calls_per_h": CALLS, "there_share": THERE, "busy_share": 0.42, "most_busy_share": 4.0,
    "most_waiting_share": 0.2,
}  # fmt: skip


def run_s(calls_per_h: float, call_s: float, there: float) -> float:
    """Mean time between the end of a call and the next, while somebody is there."""
    return there * 3600.0 / calls_per_h - call_s


def counted(most_waiting: float, most_cells: int = MOST) -> int:
    """The most cells by the chain of states."""
    fitting = [
        n for n in range(1, most_cells + 1)
        if chain_waiting(n, 1, run_s(CALLS, TAKES, THERE), TAKES) / n <= most_waiting
    ]  # fmt: skip
    return max(fitting)


CHECKS = [
    Check(
        formula="call_takes_s", inputs={"work_share": 0.05, "calls_per_h": 1.5}, expected=120.0, key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="busy_share", inputs={"work_h_per_y": 900.0, "post_h_per_y": 3600.0}, expected=0.25,
        key="own_computation", seen=OWN,
    ),
    *(
        Check(
            formula="cells_for_one",
            inputs=SHOP | {"most_busy_share": 1.0, "busy_share": 0.02, "most_waiting_share": waiting},
            expected=float(counted(waiting)), key="own_computation", seen=OWN,
        )
        for waiting in (0.01, 0.05, 0.15)
    ),
    Check(
        formula="shared_post_h_per_y",
        inputs={"post_h_per_y": 3600.0, "busy_share": 0.2, "cells": 4.0, "other_cells": 2.0}, expected=1200.0,
        key="own_computation", seen=OWN,
    ),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_figures_come_out(check: Check) -> None:
    """Each as worked out here."""
    assert_holds(check)


def test_a_run_of_calls_waits_as_long() -> None:
    """Cells call at random and queue for one person: the share of their time that they wait, event by event."""
    rng, cells, end = random.Random(5), 3, 3_000_000.0
    mean = run_s(CALLS, TAKES, THERE)
    calls = [(rng.expovariate(1.0 / mean), cell) for cell in range(cells)]
    heapq.heapify(calls)
    free_at = waited = 0.0
    while calls[0][0] < end:
        at, cell = heapq.heappop(calls)
        begins = max(at, free_at)
        waited += begins - at
        free_at = begins + rng.expovariate(1.0 / TAKES)
        heapq.heappush(calls, (free_at + rng.expovariate(1.0 / mean), cell))

    assert waited / end / cells == pytest.approx(chain_waiting(cells, 1, mean, TAKES) / cells, rel=0.05)


def test_one_person_is_too_little_for_a_cell_that_fills_him() -> None:
    """More than the share that may be work, or calls that follow each other without a pause."""
    assert cells_for_one(**SHOP | {"most_busy_share": 0.41}) == 0.0
    assert cells_for_one(**SHOP | {"most_busy_share": 0.42}) == 1.0
    assert cells_for_one(**SHOP | {"calls_per_h": 7.5}) == 0.0


def test_work_in_between_limits_before_the_calls_do() -> None:
    """At most 80 % of his hours: three cells of a quarter each, however seldom they call."""
    seldom = SHOP | {"calls_per_h": 0.01, "busy_share": 0.25, "most_busy_share": 0.8}

    assert cells_for_one(**seldom) == 3.0
    assert cells_for_one(**seldom | {"busy_share": 0.001}) == MOST


@pytest.mark.parametrize(
    ("cells", "others", "busy", "hours"), [(4, 0, 0.2, 3600), (4, 9, 0.2, 900), (0, 3, 0.9, 3600), (9, 9, 0.4, 1440)]
)
def test_a_post_is_shared_by_the_cells_that_are_there(cells: float, others: float, busy: float, hours: float) -> None:
    """By no more than one person can look after, and never less than the work."""
    assert shared_post_h_per_y(3600.0, busy_share=busy, cells=cells, other_cells=others) == pytest.approx(hours)
