"""The ways between two places of an arm: kept clear all along, and never worse where less stands around."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from millhand.catalogue.arms import arms
from millhand.solvers.moves.between import limits_of
from millhand.solvers.placing.serving import Hand
from millhand.solvers.placing.site import Doorway, Kit, Rect, Site, Stand
from millhand.solvers.placing.ways import Asked, Free, boxes_between, free_plan, led_round
from millhand.solvers.pose.clearance import Bars, bar_ends, gaps_m
from millhand.solvers.pose.swept import WITHIN_M, on_floor

ENOUGH_M = 0.03


@cache
def kit(name: str) -> Kit:
    """An arm on a pedestal that takes parts from a tray and brings them back to it."""
    arm = arms([])[name]
    bars = Bars(radii_m=(0.08,) * (len(arm.joints) - 2) + (0.06,) * 2, tool_m=0.14, tool_radius_m=0.06)
    tray = Stand(
        name="presenter", length_m=0.8, width_m=0.6, high_m=0.9, solid_m=0.6,
        picks=tuple((u, v, 0.94) for u in (-0.3, 0.3) for v in (-0.2, 0.2)),
    )  # fmt: skip
    return Kit(
        arm=arm, hand=Hand(tool_m=0.2, bars=bars), foot_height_m=0.7, foot_m=(0.6, 0.6), presenter=tray
    )  # fmt: skip


def site(*obstacles: Rect) -> Site:
    """Two machines beside each other."""
    doors, blocks = [], []
    for number, x in enumerate((0.0, 2.4), start=1):
        doors.append(Doorway(
            name=f"machine_{number}", x_m=x, y_m=0.0, faces=(0, -1), width_m=0.9, sill_m=0.8, lintel_m=1.7,
            depth_m=0.4, height_m=1.1, from_above=True,
        ))  # fmt: skip
        blocks.append(Rect(name=f"machine_{number}", x_m=x, y_m=1.0, width_m=2.0, depth_m=2.0))
    return Site(doorways=tuple(doors), machines=tuple(blocks), obstacles=obstacles)


def free(name: str, where: Site) -> Free:
    """The ways of the plan that is taken."""
    return free_plan(kit(name), where, limits_of(kit(name).arm, ramp_s=0.3, jerk_ramp_s=0.1), ENOUGH_M, 1.0)


@pytest.mark.parametrize("name", ["fenced_60", "force_limited_25"])
def test_what_is_told_is_kept_at_many_places_of_each_way(name: str) -> None:
    """By five hundred places of every leg, with all that stands around; each way begins and ends where it should."""
    own, where = kit(name), site()
    found = free(name, where)
    boxes = boxes_between(where, found.plan)
    share = np.linspace(0.0, 1.0, 501)[:, None]

    assert found.plan.works
    assert found.ways
    for (one, other), way in found.ways.items():
        assert (way.rests[0], way.rests[-1]) == (found.stops[one].front, found.stops[other].front)
        for start, end in zip(way.rests, way.rests[1:], strict=False):
            joints = np.array(start) * (1 - share) + np.array(end) * share
            feet = np.repeat(np.array([found.plan.feet[one]]), len(share), axis=0)
            ends = on_floor(feet, bar_ends(own.arm, joints, tool_m=own.hand.bars.tool_m))
            assert gaps_m(ends, bars=own.hand.bars, boxes=boxes).min() >= way.gap_m


@pytest.mark.parametrize("name", ["fenced_60", "force_limited_25"])
def test_a_way_between_neighbours_is_led_round_what_a_straight_one_touches(name: str) -> None:
    """Two doors beside each other: the arm turns past the front between them, and keeps what is asked for."""
    found = free(name, site())

    assert found.gap_m >= ENOUGH_M


@pytest.mark.parametrize("seed", range(6))
def test_taking_an_obstacle_away_never_makes_a_way_worse(seed: int) -> None:
    """Of the same two places: no smaller gap, as far as it counts, and no longer way for the same; a post anywhere."""
    rng, where = np.random.default_rng(seed), site()
    x, y = rng.uniform(0.0, 2.4), rng.uniform(-2.2, -0.6)
    post = Rect(name="post", x_m=float(x), y_m=float(y), width_m=0.15, depth_m=0.15, height_m=float(rng.uniform(1, 3)))
    found = free("fenced_60", where)
    limits = limits_of(kit("fenced_60").arm, ramp_s=0.3, jerk_ramp_s=0.1)

    for (one, other), way in found.ways.items():
        ends = ((way.rests[0], way.rests[-1]), (found.plan.feet[one], found.plan.feet[other]))
        led = []
        for here in (where, site(post)):
            asked = Asked(
                kit=kit("fenced_60"), site=here, plan=found.plan, limits=limits, enough_m=ENOUGH_M, tool_m_s=1.0,
                boxes=boxes_between(here, found.plan),
            )  # fmt: skip
            direct = replace(way, rests=ends[0], gap_m=0.0, led="", time_s=np.inf)
            led += led_round(asked, [(ends, direct)])
        less, more = led
        kept = [min(each.gap_m, ENOUGH_M) for each in led]
        assert kept[0] >= kept[1] - WITHIN_M
        assert less.time_s <= more.time_s + 1e-9 or kept[1] < ENOUGH_M


@pytest.mark.parametrize("name", ["fenced_60", "fenced_20", "force_limited_25"])
def test_no_free_way_takes_longer_than_one_past_a_third_place(name: str) -> None:
    """All triples of places, in whichever direction a way is told."""
    ways = {frozenset(pair): way for pair, way in free(name, site()).ways.items()}
    places = {place for pair in ways for place in pair}

    for pair, way in ways.items():
        for third in places - pair:
            legs = [ways.get(frozenset((place, third))) for place in pair]
            if all(leg is not None and leg.gap_m >= ENOUGH_M for leg in legs):
                assert way.gap_m >= ENOUGH_M
                assert way.time_s <= sum(leg.time_s for leg in legs if leg is not None) + 1e-9
