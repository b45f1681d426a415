"""Over the fence: how near the arm comes to it, found a second way by many places along its ways, and the verdict."""

import math
from dataclasses import replace

import numpy as np
import pytest

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in, with_facts
from millhand.solvers.placing.further import lines
from millhand.solvers.placing.near_fence import MOST_M, moved, swept, to_pieces_m
from millhand.solvers.placing.ways import free_plan
from millhand.solvers.pose.clearance import bar_ends
from millhand.solvers.pose.swept import on_floor
from millhand.stages.feasibility.over_fence import over_fence
from millhand.stages.layout.arranged import arranged
from millhand.stages.layout.further import with_fence
from millhand.stages.layout.ground import Ground
from millhand.stages.layout.placing import limits_of_axes, tool_speed
from millhand.stages.layout.site import kit_of
from millhand.trace import Sheet
from tests.stages.feasibility.judged import asked_of, judged
from tests.stages.layout.test_layout import laid
from tests.stages.shop import catalogue, concept
from tests.stages.test_turning_reach import CELL, one_mill

LOOKED_AT = 25  # places along each straight piece of a way, and along each bar


def fenced_at(height_m: float, gap_m: float) -> Verdict:
    """The verdict of the cell behind a fence exactly so high, so much left to it with the part in the hand."""
    asked = asked_of(CELL, one_mill())
    asked.sheet.add(Fact(id="test.gap", value=gap_m, unit="m", basis="computed", source="a test"))
    asked = replace(asked, layout=replace(asked.layout, fence_gap="test.gap"))
    height = replace(asked.figure("fence_height_m"), value=height_m, low=None, high=None, shape="point")
    found = over_fence(replace(asked, concept=with_facts(asked.concept, {height.id: height})))
    assert found is not None
    return found


def test_the_gap_to_the_fence_is_that_of_many_places() -> None:
    """Every bar at many places of every way, to every stretch of the fence that ends at no stand: the least is no less
    than what is told, and not much more."""
    of, sheet = one_mill(), Sheet()
    way = concept(CELL, of)
    sheet.extend((*facts_in(of), *facts_in(way)))
    ground = Ground(sheet=sheet, inquiry=of, concept=way, catalogue=catalogue())
    kit = kit_of(ground)
    site = arranged(ground, kit)[0].site
    free = free_plan(kit, site, limits_of_axes(ground, kit), 0.03, tool_speed(ground))
    made, _, other = laid(CELL, of)
    free = with_fence(ground, kit, site, free)
    stretches = lines(kit, site, free.plan, 0.6).free

    told = to_pieces_m(kit, swept(free), stretches, MOST_M)
    least, shares = math.inf, np.linspace(0.0, 1.0, LOOKED_AT)[:, None]
    radii = np.array([*kit.hand.bars.radii_m, kit.hand.bars.tool_radius_m])[1:]
    for (start, end), (here, there) in moved(free):
        joints = np.array(start) * (1.0 - shares) + np.array(end) * shares
        feet = np.array(here) * (1.0 - shares) + np.array(there) * shares
        ends = on_floor(feet, bar_ends(kit.arm, joints, tool_m=kit.hand.bars.tool_m))[..., :2]
        along = ends[:, :-1, None] + (ends[:, 1:] - ends[:, :-1])[:, :, None] * shares
        for x, y, to_x, to_y in stretches:
            off_x = np.maximum(0.0, np.abs(along[..., 0] - (x + to_x) / 2.0) - abs(to_x - x) / 2.0)
            off_y = np.maximum(0.0, np.abs(along[..., 1] - (y + to_y) / 2.0) - abs(to_y - y) / 2.0)
            least = min(least, float((np.hypot(off_x, off_y).min(axis=2) - radii).min()))

    assert told <= least + 1e-9
    assert told == pytest.approx(least, abs=0.02)
    assert told - kit.hand.part_m == pytest.approx(other.value(made.fence_gap))
    assert kit.hand.part_m > 0.0


def test_a_lower_fence_asks_for_more_than_there_is_and_a_high_one_for_nothing() -> None:
    """Of the same cell: behind 2.7 m nobody reaches in; behind 1.4 m more is asked for than it keeps, which warns."""
    low, high = fenced_at(1.4, 0.05), fenced_at(2.7, 0.05)

    assert (low.holds, low.kills) == (False, False)
    assert high.holds
    assert "a higher fence, of [[" in low.words
    assert "further_out|asked_mm]] further out" in low.words
    assert "a held part, turned anyhow" in low.caution


def test_where_a_held_part_may_come_past_the_fence_no_height_would_do() -> None:
    """Behind the highest of the table nothing is asked for, and yet it warns: only a fence further out is named."""
    past = fenced_at(2.7, -0.065)

    assert (past.holds, past.kills) == (False, False)
    assert "may come past the fence" in past.words
    assert "no height would do" in past.words
    assert "a higher fence" not in past.words


def test_no_fence_no_verdict() -> None:
    """Where an area scanner guards the cell there is nothing to reach over."""
    assert "over_fence" not in judged("trays-pedestal-force_limited_25-parallel_single-scanner").verdicts
