"""People's ways steer the search: a place that leaves them is taken before one that does not."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.solvers.placing.floor import GOOD, least, placed, rank
from millhand.solvers.placing.people import enclosed, fence_of, holding, strips, walk_share, widths
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.site import People, Rect, Site, free_of
from tests.solvers.placing.test_ways import kit, site

NEEDED_M = 0.7
WALLED = Rect(name="wall", x_m=1.2, y_m=-2.6, width_m=5.0, depth_m=0.2)  # leaves 2.5 m before the doors


def walled() -> Site:
    """Two machines, and a wall over against them."""
    return site(WALLED)


@cache
def plans(width_m: float | None) -> tuple[Placed, ...]:
    """What the search finds where people need so much, or where nobody's way is looked at."""
    people = None if width_m is None else People(width_m=width_m)
    return placed(replace(kit("fenced_60"), people=people), walled())


def share(plan: Placed, fence_m: float | None = None) -> float:
    """How wide people's narrowest way is in a plan."""
    return walk_share(replace(kit("fenced_60"), people=People(width_m=NEEDED_M, fence_m=fence_m)), walled(), plan)


def test_a_plan_with_ways_is_taken_where_there_is_one() -> None:
    """The best plan is at least as wide as the best one of a search that does not look at ways, and is served as well
    as counts; by how much is what the share says."""
    with_ways, without = plans(NEEDED_M), plans(None)

    assert with_ways[0].works
    assert share(with_ways[0]) >= share(without[0])
    assert with_ways[0].walk_share == share(with_ways[0])
    assert [least(each) for each in with_ways] == sorted((least(each) for each in with_ways), reverse=True)


def test_the_share_is_that_of_the_narrowest_way() -> None:
    """Width by width, of all plans that work."""
    own = replace(kit("fenced_60"), people=People(width_m=NEEDED_M))
    for plan in plans(None):
        wide = min(widths(own, walled(), plan).values())

        assert walk_share(own, walled(), plan) == pytest.approx(min(1.0, wide / NEEDED_M), abs=0.002)


def test_a_narrow_way_counts_as_a_bad_gap_does() -> None:
    """Half as wide as needed is worth half of a good score; a plan that does not work gains nothing by a way."""
    whole = plans(None)[0]
    narrow = replace(whole, walk_share=0.5)

    assert least(whole) == min(whole.worst.score, GOOD)
    assert least(narrow) == 0.5 * GOOD
    assert rank(whole) < rank(narrow)
    lame = replace(whole, served=(replace(whole.served[0], margin=-0.1), *whole.served[1:]))
    assert rank(replace(lame, walk_share=0.0)) == rank(lame)


def test_somebody_stands_on_a_free_side() -> None:
    """The strip beside the tray overlaps nothing, and a fence is led round it: the whole of it lies outside."""
    own = replace(kit("fenced_60"), people=People(width_m=NEEDED_M, fence_m=0.5))
    plan = plans(NEEDED_M)[0]
    (strip,) = strips(own, walled(), plan)
    fence = fence_of(own, walled(), plan)
    assert strip.rect is not None
    assert fence is not None

    assert free_of(strip.rect, (*walled().machines, *walled().obstacles, plan.arm))
    middles = [replace(each, width_m=0.0, depth_m=0.0) for each in fence.walls]
    assert free_of(strip.rect, middles)
    whole = enclosed(own, walled(), plan, 0.5)
    assert all(abs(each.x_m - whole.x_m) <= whole.width_m / 2.0 + 0.021 for each in fence.walls)


def test_nobody_is_asked_for_where_no_way_is_looked_at() -> None:
    """Without people the share is whole, and there is no fence."""
    plan = plans(None)[0]

    assert walk_share(kit("fenced_60"), walled(), plan) == 1.0
    assert fence_of(kit("fenced_60"), walled(), plan) is None


def test_no_fence_is_built_across_the_floor_before_a_wide_door() -> None:
    """A door of 1.2 m at the west side, where the margin leaves 0.5 m: the fence is led 0.1 m further out there and as
    far as before elsewhere; a door of 0.9 m moves nothing, to the last digit."""
    whole = Rect(name="fence", x_m=1.4, y_m=-1.0, width_m=3.8, depth_m=3.0)
    wide, slim = (Rect(name="room", x_m=0.0, y_m=-0.25, width_m=wide_m, depth_m=0.5) for wide_m in (1.2, 0.9))
    led = holding(whole, (wide, slim))

    assert led.x_m - led.width_m / 2.0 == pytest.approx(-0.6)
    assert led.x_m + led.width_m / 2.0 == pytest.approx(3.3)
    assert (led.y_m, led.depth_m) == pytest.approx((whole.y_m, whole.depth_m))
    assert holding(whole, (slim,)) is whole
