"""Limits of a share of faults by scipy's exact interval, by the binomial sums that define them, and by closed forms."""

from itertools import product
from math import comb, exp, fsum, log

import pytest
from scipy.stats import binomtest

from millhand.formulas.acceptance import fault_share_lower, fault_share_upper
from millhand.formulas.statistics import zero_fault_lower_share
from tests.checks import OWN, Check, assert_holds

TRIED = list(product((0, 1, 2, 3, 17), (20, 241, 1000), (0.8, 0.95)))


def chance(most: int, *, parts: int, share: float) -> float:
    """The chance of so many faults or fewer."""
    return fsum(comb(parts, k) * share**k * (1.0 - share) ** (parts - k) for k in range(most + 1))


def by_halving(faults: int, *, parts: int, tail: float) -> float:
    """The share at which so many faults or fewer come with the chance `tail`: from its definition, by halving."""
    low, high = 0.0, 1.0
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if chance(faults, parts=parts, share=middle) > tail else (low, middle)
    return (low + high) / 2.0


def ends(faults: int, parts: int, confidence: float) -> tuple[float, float]:
    """Both ends as scipy has them."""
    found = binomtest(faults, parts).proportion_ci(confidence_level=confidence, method="exact")
    return float(found.low), float(found.high)


CHECKS = [
    Check(
        formula="all_pass_chance",
        inputs={"chances": [0.7, 0.8, 0.9]},
        key="own_computation",
        seen=OWN,
        expected=lambda: exp(log(0.7) + log(0.8) + log(0.9)),
    ),
    Check(
        formula="fault_share_lower",
        inputs={"faults": 2, "parts": 20, "confidence": 0.95},
        expected=lambda: by_halving(1, parts=20, tail=0.975),
        key="clopper1934",
        seen=OWN,
    ),
    Check(
        formula="fault_share_upper",
        inputs={"faults": 2, "parts": 20, "confidence": 0.95},
        expected=lambda: by_halving(2, parts=20, tail=0.025),
        key="clopper1934",
        seen=OWN,
    ),
    Check(  # a part in two minutes, thirty of them in an hour, a twentieth on top
        formula="accepted_run_s",
        inputs={"parts": 30.0, "pace_parts_per_h": 30.0, "over_share": 0.05},
        expected=63 * 60.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="accepted_mean_s",
        inputs={"time_s": 40.0, "over_share": 0.05},
        expected=42.0,
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_figures_of_an_acceptance(check: Check) -> None:
    """Each comes out as in a second way."""
    assert_holds(check)


@pytest.mark.parametrize(("faults", "parts", "confidence"), TRIED)
def test_both_ends_are_those_of_the_exact_interval(faults: int, parts: int, confidence: float) -> None:
    """The general library gives the same two shares."""
    low = fault_share_lower(faults, parts=parts, confidence=confidence)
    high = fault_share_upper(faults, parts=parts, confidence=confidence)

    assert (low, high) == pytest.approx(ends(faults, parts, confidence), rel=1e-9)


def test_without_a_fault_and_with_nothing_else_the_ends_have_closed_forms() -> None:
    """No fault in n: from 0 to what n parts in a row show one-sided at half the rest; n faults in n: up to 1."""
    one_sided = 1.0 - zero_fault_lower_share(241, confidence=0.9)

    assert fault_share_lower(0, parts=241, confidence=0.8) == 0.0
    assert fault_share_upper(0, parts=241, confidence=0.8) == pytest.approx(one_sided, rel=1e-12)
    assert fault_share_upper(20, parts=20, confidence=0.8) == 1.0
    assert fault_share_lower(20, parts=20, confidence=0.8) == pytest.approx(0.1 ** (1.0 / 20.0), rel=1e-12)
