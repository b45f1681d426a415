"""The loops for the compiler against the same steps without one."""

from dataclasses import replace

import numpy as np
import pytest

from millhand.catalogue.arms import arms
from millhand.model.arm import Linkage
from millhand.solvers.pose.clearance import (
    Bars,
    Box,
    bar_ends,
    gaps_m,
    least_gaps_m,
    plain_bar_ends,
    plain_least_gaps_m,
)
from millhand.solvers.pose.compiled import ends_loop, gap_loop
from tests.solvers.pose.arms_of_all_kinds import ALL
from tests.solvers.pose.test_inverse import some_joints

ARM = arms([])["fenced_60"]
BARS = Bars(radii_m=(0.12, 0.1, 0.1, 0.08, 0.07, 0.06), tool_m=0.2, tool_radius_m=0.05)


def boxes(count: int) -> tuple[Box, ...]:
    """Blocks of all sizes and turns, near and far."""
    rng = np.random.default_rng(count)
    return tuple(
        Box(
            name=str(number), middle_m=tuple(rng.uniform(-4.0, 4.0, 3)), half_m=tuple(rng.uniform(0.02, 1.2, 3)),
            turn_rad=float(rng.uniform(-3.0, 3.0)),
        )
        for number in range(count)
    )  # fmt: skip


def test_there_is_a_compiler_in_these_tests() -> None:
    """Else both sides of the others would be the same."""
    assert gap_loop() is not None
    assert ends_loop() is not None


@pytest.mark.parametrize("count", [1, 3, 30])
def test_the_least_gap_and_its_box_are_the_same(count: int) -> None:
    """Two thousand poses; and no box keeps less, by all gaps one by one."""
    ends = bar_ends(ARM, some_joints(ARM, 2000), tool_m=BARS.tool_m)
    found, beside = least_gaps_m(ends, bars=BARS, boxes=boxes(count), rounds=14)
    plain, by_plain = plain_least_gaps_m(ends, bars=BARS, boxes=boxes(count), rounds=14)
    every = gaps_m(ends, bars=BARS, boxes=boxes(count), rounds=14)

    assert found == pytest.approx(plain, abs=1e-12)
    assert (beside == by_plain).all()
    assert found == pytest.approx(every.min(axis=1), abs=1e-12)


@pytest.mark.parametrize("hangs", [False, True])
@pytest.mark.parametrize("arm", ALL.values(), ids=ALL)
def test_the_bars_end_at_the_same_places(arm: Linkage, hangs: bool) -> None:
    """Every kind of arm, slides among them, upright and hung."""
    own, joints = replace(arm, hangs=hangs), some_joints(arm, 200)

    assert bar_ends(own, joints, tool_m=0.2) == pytest.approx(plain_bar_ends(own, joints, tool_m=0.2), abs=1e-12)
