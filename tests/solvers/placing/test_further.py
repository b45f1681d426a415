"""A fence that stands further out than its margin: far enough on every side that is free, no further than it has to."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from millhand.solvers.moves.between import limits_of
from millhand.solvers.placing.fence_floor import without
from millhand.solvers.placing.fencing import Piece, length_m
from millhand.solvers.placing.further import SIDES, STEP_M, Asked, further_out, lines, parted, set_out
from millhand.solvers.placing.near_fence import moved, swept
from millhand.solvers.placing.people import built_round, enclosed, fence_of, floor_inside_m2
from millhand.solvers.placing.placed import Out
from millhand.solvers.placing.site import Kit, People, Rect, Site, free_of
from millhand.solvers.placing.ways import Free, free_plan
from millhand.solvers.pose.clearance import bar_ends
from millhand.solvers.pose.links import Floats
from millhand.solvers.pose.swept import on_floor
from tests.solvers.placing.test_ways import ENOUGH_M, kit, site

PEOPLE = People(width_m=0.7, fence_m=0.5, gate_m=0.9)
LOOKED_AT = 20  # places along each straight piece of a way, and along each bar


def own(name: str) -> Kit:
    """The arm behind a fence."""
    return replace(kit(name), people=PEOPLE)


@cache
def placed(name: str) -> Free:
    """Where it stands, and its ways."""
    limits = limits_of(kit(name).arm, ramp_s=0.3, jerk_ramp_s=0.1)
    return free_plan(own(name), site(), limits, ENOUGH_M, 1.0)


@cache
def shadow(name: str) -> tuple[Floats, Floats]:
    """Where the bars' middle lines get to on all ways, seen from above, and how thick each is there."""
    made, shares = own(name), np.linspace(0.0, 1.0, LOOKED_AT)[:, None]
    radii = np.array([*made.hand.bars.radii_m, made.hand.bars.tool_radius_m])[1:]
    points = []
    for (start, end), (here, there) in moved(placed(name)):
        joints = np.array(start) * (1.0 - shares) + np.array(end) * shares
        feet = np.array(here) * (1.0 - shares) + np.array(there) * shares
        ends = on_floor(feet, bar_ends(made.arm, joints, tool_m=made.hand.bars.tool_m))[..., :2]
        points.append(ends[:, :-1, None] + (ends[:, 1:] - ends[:, :-1])[:, :, None] * shares)
    found = np.concatenate(points)
    return found, np.broadcast_to(radii[None, :, None], found.shape[:-1])


def off_m(name: str, piece: Piece) -> float:
    """How far a stretch is from all of it."""
    points, radii = shadow(name)
    x, y, to_x, to_y = piece
    off_x = np.maximum(0.0, np.abs(points[..., 0] - (x + to_x) / 2.0) - abs(to_x - x) / 2.0)
    off_y = np.maximum(0.0, np.abs(points[..., 1] - (y + to_y) / 2.0) - abs(to_y - y) / 2.0)
    return float((np.hypot(off_x, off_y) - radii).min())


def asked(name: str, where: Site, part_m: float, asked_m: float) -> Asked:
    """What its fence is moved out for."""
    made = own(name)
    made = replace(made, hand=replace(made.hand, part_m=part_m))
    return Asked(kit=made, site=where, free=placed(name), sweep=swept(placed(name)), asked_m=asked_m)


def any_site(seed: int) -> tuple[Site, float, float]:
    """Posts anywhere round the cell, clear of the fence by its margin; a part and a distance."""
    rng = np.random.default_rng(seed)
    near = built_round(own("fenced_60"), site(), placed("fenced_60").plan, 0.5)
    posts = [
        Rect(name="post", x_m=float(x), y_m=float(y), width_m=0.2, depth_m=0.2)
        for x, y in rng.uniform((-2.5, -4.0), (5.0, 0.0), (3, 2))
    ]  # fmt: skip
    outside = [each for each in posts if free_of(near, [each])]
    return site(*outside), float(rng.uniform(0.02, 0.15)), float(rng.uniform(0.1, 0.9))


@pytest.mark.parametrize("seed", range(12))
def test_no_distance_is_missed_at_a_side_that_is_free(seed: int) -> None:
    """By many places along all ways: each stretch that ends at no filled stand keeps what is asked for with the part in
    the hand, unless a post stands in the way of its side; and no side that moved could be a step nearer."""
    where, part_m, asked_m = any_site(seed)
    given = asked("fenced_60", where, part_m, asked_m)
    out = further_out(given)
    plan = given.plan(out)
    found = lines(given.kit, where, plan, asked_m)

    for name, pieces in found.sides.items():
        one_more = given.plan(replace(out, **{name: getattr(out, name) + STEP_M}))
        free = free_of(built_round(given.kit, where, one_more, 0.5), where.obstacles)
        least = min((off_m("fenced_60", each) for each in pieces), default=np.inf)
        assert least >= asked_m + part_m or not free
        if getattr(out, name) > 0.0 and free:
            assert least <= asked_m + part_m + STEP_M + 0.02
    led = min((off_m("fenced_60", each) for rest in found.led.values() for each in rest), default=np.inf)
    assert led >= asked_m + part_m or where.obstacles


def test_a_margin_that_does_moves_nothing() -> None:
    """No distance, no part: the fence stays where its margin has it, to the last digit."""
    given = asked("fenced_60", site(), 0.0, 0.0)

    assert further_out(given) == Out()


def test_of_distances_the_longest_that_fits_is_kept() -> None:
    """Where the floor holds the shorter one alone, by that; where it holds none, the fence stays as it was; then each
    takes as much floor as it says."""
    made, free, floors = own("fenced_60"), placed("fenced_60"), []
    near = floor_inside_m2(made, site(), free.plan)
    for most_m2 in (near, near + 1.0, 99.0):
        plan = set_out(
            made, site(), free, (0.2, 0.9, 0.5), lambda plan, most=most_m2: floor_inside_m2(made, site(), plan) <= most
        )
        floors.append(floor_inside_m2(made, site(), plan))
        assert floors[-1] <= most_m2
    assert floors[0] == near
    assert floors == sorted(floors)
    assert floors[2] > near


def test_each_side_stands_out_by_its_own_measure() -> None:
    """The rectangle grows by so much on that side and stays where it was on the others; the fence is as much longer."""
    made, plan = own("fenced_60"), placed("fenced_60").plan
    before = enclosed(made, site(), plan, 0.5)
    for name, (dx, dy) in SIDES.items():
        after = enclosed(made, site(), replace(plan, out=Out(**{name: 0.3})), 0.5)
        shift = (after.x_m - before.x_m, after.y_m - before.y_m)
        assert shift == pytest.approx((0.15 * dx, 0.15 * dy))
        assert after.width_m * after.depth_m > before.width_m * before.depth_m


def test_a_stretch_is_parted_where_it_comes_near() -> None:
    """0.5 m from a stand of 1 m by 1 m: along it, and to both sides as far as the slant of 0.3 m and 0.4 m goes."""
    stand = Rect(name="stand", x_m=2.0, y_m=0.0, width_m=1.0, depth_m=1.0)
    near, rest = parted((0.0, 0.8, 5.0, 0.8), stand, 0.5)

    assert near == pytest.approx((1.1, 0.8, 2.9, 0.8))
    assert [length_m(each) for each in rest] == pytest.approx([1.1, 2.1])
    assert parted((0.0, 1.1, 5.0, 1.1), stand, 0.5) == (None, ((0.0, 1.1, 5.0, 1.1),))


def test_a_rectangle_without_others_is_the_rest_of_it() -> None:
    """Area by area: a corner and a hole in the middle, each spot of the rest once."""
    whole = Rect(name="", x_m=0.0, y_m=0.0, width_m=4.0, depth_m=2.0)
    corner = Rect(name="", x_m=2.0, y_m=1.0, width_m=1.0, depth_m=1.0)
    hole = Rect(name="", x_m=-0.5, y_m=0.0, width_m=1.0, depth_m=0.5)
    rest = without(whole, (corner, hole))

    assert sum(each.width_m * each.depth_m for each in rest) == pytest.approx(8.0 - 0.25 - 0.5)
    assert all(free_of(each, (corner, hole)) for each in rest)
    assert all(free_of(each, [one for one in rest if one is not each]) for each in rest)


def test_a_gate_is_as_wide_as_ways_are_held_against() -> None:
    """Where there is room for it, and no narrower than the usual one elsewhere."""
    fence = fence_of(own("fenced_60"), site(), placed("fenced_60").plan)

    assert fence is not None
    assert fence.gates
    assert all(0.8 <= length_m(each) <= 0.91 + 1e-9 for each in fence.gates)
    assert max(length_m(each) for each in fence.gates) == pytest.approx(0.91)
