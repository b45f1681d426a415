"""Ways round of an arm that hangs, and what it keeps clear of under its beam."""

from dataclasses import replace

import numpy as np
import pytest

from millhand.catalogue.components import read_catalogue
from millhand.solvers.moves.between import limits_of
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.serving import Hand
from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.ways import TUCKED, VIAS, Asked, Between, boxes_between, led_round, overs, under_beam
from millhand.solvers.pose.clearance import ends_with_part, gaps_m
from millhand.solvers.pose.links import forward
from millhand.solvers.pose.swept import on_floor
from tests.solvers.placing.test_beam import BARS, FEET, KIT, site

ARMS = read_catalogue().arms
PLACE = (0.4, 0.3, -0.2, 0.1, 0.9, 0.0)
PLAN = Placed(
    feet=FEET, arm=Rect(name="track", x_m=1.5, y_m=-0.8, width_m=3.7, depth_m=0.7), presenter=None, outfeed=None,
    served=(), track_m=3.0, travel=0.0, floor_m2=0.0,
)  # fmt: skip


@pytest.mark.parametrize("name", ["fenced_20", "fenced_60"])
@pytest.mark.parametrize("hangs", [False, True])
def test_a_tucked_hand_hangs_down_where_it_is_told_to(name: str, hangs: bool) -> None:
    """By the links alone: the tool points down, so far from the foot's axis, in the direction in which the hand was,
    and so high above the foot, or below it where the arm hangs."""
    kit = replace(KIT, arm=replace(ARMS[name], hangs=hangs))
    was = forward(kit.arm, np.array([PLACE]))[0]
    way = np.arctan2(was[1, 3], was[0, 3])
    (found,) = overs(kit, [PLACE])

    tucked = list(zip(TUCKED, found[len(VIAS) :], strict=True))
    assert any(joints for _, joints in tucked)
    for (_, far, high), joints in tucked:
        if joints:
            flange = forward(kit.arm, np.array([joints]))[0]
            assert flange[:3, 2] == pytest.approx([0.0, 0.0, -1.0], abs=1e-9)
            up = -high if hangs else high
            assert flange[:3, 3] == pytest.approx([far * np.cos(way), far * np.sin(way), up], abs=1e-9)


@pytest.mark.parametrize("hangs", [False, True])
def test_a_hand_drawn_aside_is_held_as_before(hangs: bool) -> None:
    """Each of these positions: turned as it was, raised and nearer to the axis by as much as it says."""
    kit = replace(KIT, arm=replace(KIT.arm, hangs=hangs))
    was = forward(kit.arm, np.array([PLACE]))[0]
    far = float(np.hypot(was[0, 3], was[1, 3]))
    (found,) = overs(kit, [PLACE])

    drawn = [each for each in zip(VIAS, found, strict=False) if each[1]]
    assert drawn
    for (_, up, back), joints in drawn:
        flange = forward(kit.arm, np.array([joints]))[0]
        assert flange[:3, :3] == pytest.approx(was[:3, :3], abs=1e-9)
        assert flange[2, 3] == pytest.approx(was[2, 3] + up)
        assert np.hypot(flange[0, 3], flange[1, 3]) == pytest.approx(max(min(far, 0.3), far - back))


def test_a_way_round_of_a_hanging_arm_keeps_what_it_says() -> None:
    """Past a post between two sides of the foot: the gap that is told is kept at five hundred places of every leg, with
    a part in the hand; and it is no smaller than that of the direct way."""
    kit = replace(KIT, hand=Hand(tool_m=0.2, bars=BARS, part_m=0.08), beam=None)
    post = Rect(name="post", x_m=0.0, y_m=-1.75, width_m=0.2, depth_m=0.2, height_m=2.1)
    here = under_beam(kit, site(post), PLAN)
    limits = limits_of(kit.arm, ramp_s=0.3, jerk_ramp_s=0.1)
    asked = Asked(
        kit=kit, site=here, plan=PLAN, limits=limits, enough_m=0.03, tool_m_s=1.0, boxes=boxes_between(here, PLAN)
    )
    foot = FEET["machine_1"]
    ends = ((1.0, *PLACE[1:]), (2.2, *PLACE[1:]))
    direct = Between(rests=ends, gap_m=0.0, beside="post", led="", time_s=1.0)
    (found,) = led_round(asked, [((ends, (foot, foot)), direct)])

    share = np.linspace(0.0, 1.0, 501)[:, None]
    for start, end in zip(found.rests, found.rests[1:], strict=False):
        if found is not direct:
            joints = np.array(start) * (1 - share) + np.array(end) * share
            points = ends_with_part(kit.arm, joints, bars=kit.hand.carrying)
            points = on_floor(np.repeat(np.array([foot]), len(share), axis=0), points)
            assert gaps_m(points, bars=kit.hand.carrying, boxes=asked.boxes).min() >= found.gap_m
    assert found.gap_m > 0.0
    assert found.led in {words for words, _, _ in (*VIAS, *TUCKED)}


def test_only_an_arm_that_hangs_has_a_beam_over_it() -> None:
    """Without a beam the site stays the very same."""
    of = site()

    assert under_beam(replace(KIT, beam=None), of, PLAN) is of


def test_columns_and_the_beam_are_among_what_an_arm_keeps_clear_of() -> None:
    """The columns that stand beside the strip, and the beam as high over the foot as the carriage is: from the first to
    the last of them, over the line in which the carriage goes."""
    of = site()
    over = under_beam(KIT, of, PLAN)
    assert KIT.beam is not None
    names = [box.name for box in boxes_between(over, PLAN)]
    columns = over.obstacles[len(of.obstacles) :]
    (beam,) = over.above

    assert names.count("column") == len(columns) >= 2
    assert names.count("beam") == 1
    assert beam.middle_m[2] - beam.half_m[2] == pytest.approx(FEET["machine_1"][2] + KIT.beam.carriage_m)
    ends = sorted(column.x_m for column in columns)
    assert (beam.middle_m[0] - beam.half_m[0], beam.middle_m[0] + beam.half_m[0]) == pytest.approx((ends[0], ends[-1]))
    assert beam.middle_m[1] == FEET["machine_1"][1]
