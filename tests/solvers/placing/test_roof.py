"""A machine that is open above: the way down, what is left of its roof, a loader whose slides bring the hand there."""

import math
from dataclasses import replace

import numpy as np
import pytest

from millhand.catalogue.components import read_catalogue
from millhand.solvers.placing.around import within_reach
from millhand.solvers.placing.serving import FRONT_M, Hand, served
from millhand.solvers.placing.site import HIGH_M, Doorway, Kit, Rect, Site, Stand, boxes_round
from millhand.solvers.pose.clearance import Bars
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import forward

LOADER = read_catalogue().arms["gantry_30"]
BARS = Bars(radii_m=(0.07, 0.07, 0.06, 0.06), tool_m=0.15, tool_radius_m=0.05)
HAND = Hand(tool_m=0.2, bars=BARS)
MACHINE = Rect(name="machine_1", x_m=0.0, y_m=1.1, width_m=2.4, depth_m=2.2)
FRONT = Doorway(
    name="machine_1", x_m=0.0, y_m=0.0, faces=(0, -1), width_m=0.6, sill_m=0.7, lintel_m=1.5, depth_m=0.5, height_m=1.0,
    from_above=False,
)  # fmt: skip
ROOF = replace(FRONT, roof=True)


def test_the_way_down_begins_over_the_roof() -> None:
    """Straight down on the load position; through the front it begins before the door."""
    assert ROOF.target.directions == ((0.0, 0.0, -1.0),)
    assert ROOF.target.point_m == FRONT.target.point_m == (0.0, 0.5, 1.0)
    assert ROOF.way_m == pytest.approx(HIGH_M + FRONT_M - 1.0)
    assert ROOF.target.back_m == (ROOF.way_m, 0.0)
    assert ROOF.target.out is None
    assert FRONT.way_m == pytest.approx(0.5 + FRONT_M)


def test_what_is_left_of_the_roof_is_the_machine_without_the_hatch() -> None:
    """Four blocks that do not overlap, as high as the front, with a square of the door's width between them."""
    blocks = ROOF.frame(MACHINE)
    area = sum(4.0 * each.half_m[0] * each.half_m[1] for each in blocks)

    assert {each.name for each in blocks} == {"rim of the roof"}
    assert area == pytest.approx(2.4 * 2.2 - 0.6**2)
    assert {each.middle_m[2] + each.half_m[2] for each in blocks} == {HIGH_M}
    for each in blocks:
        away = [abs(each.middle_m[0]) - each.half_m[0], abs(each.middle_m[1] - 0.5) - each.half_m[1]]
        assert max(away) == pytest.approx(0.3)


def test_a_ram_goes_down_through_the_hatch_with_half_its_width_to_spare() -> None:
    """From right over it: half of 0.6 m less the 70 mm of the ram; from 0.2 m aside, that is lost."""
    site = Site(doorways=(ROOF,), machines=(MACHINE,))
    boxes = boxes_round(site, ROOF, ())
    over, aside = (served(LOADER, (x, 0.5, 0.38, 0.0), target=ROOF.target, hand=HAND, boxes=boxes) for x in (0.0, -0.2))

    assert over.there
    assert over.gap_m == pytest.approx(0.6 / 2.0 - 0.07, abs=1e-4)
    assert over.beside == "rim of the roof"
    assert aside.gap_m < over.gap_m


def test_the_slack_of_slides_is_the_room_of_the_one_with_least() -> None:
    """Inside their ranges how far it is to the nearer end; outside, below nothing by how much."""
    inside = np.array([[1.1, 0.2, 3.0, 0.0], [1.7, 0.55, 3.0, 0.0], [2.5, 0.0, 3.0, 0.0]])
    held = inverse(LOADER, forward(LOADER, inside))

    assert held.slack_m[:, 0] == pytest.approx([0.1, 0.05, -0.1], abs=1e-5)
    assert held.there.all()
    assert held.fits[:, 0].tolist() == [True, True, False]


@pytest.mark.parametrize("heading", [0.0, math.pi / 2.0])
def test_where_a_stand_may_be_is_asked_of_the_slides(heading: float) -> None:
    """A point at 0.9 m is above the lowest of the ram from 0.35 m downwards; a long stand is too wide across."""
    joints = (*LOADER.joints[:2], replace(LOADER.joints[2], low=-1.0, high=1.0), LOADER.joints[3])
    kit = Kit(
        arm=replace(LOADER, joints=joints), hand=HAND, foot_height_m=0.3, foot_m=(0.7, 0.7), on_track=True,
        heading_rad=heading,
    )  # fmt: skip

    def stand(*picks: tuple[float, float, float]) -> Stand:
        return Stand(name="presenter", length_m=1.8, width_m=0.8, high_m=0.85, solid_m=0.8, picks=picks)

    one, wide = stand((0.0, 0.0, 0.9)), stand((-1.1, -0.7, 0.9), (1.1, 0.7, 0.9))

    assert within_reach(kit, one, 0.34)
    assert not within_reach(kit, one, 0.36)
    assert not within_reach(kit, wide, 0.34)
    assert kit.looks((0.0, 0.0), (1.0, 1.0)) == heading


def test_any_other_arm_looks_where_it_works() -> None:
    """At the point, from where the foot is."""
    kit = Kit(arm=read_catalogue().arms["fenced_20"], hand=HAND, foot_height_m=0.7, foot_m=(0.6, 0.6))

    assert not kit.on_beam
    assert kit.looks((1.0, 1.0), (1.0, 3.0)) == pytest.approx(math.pi / 2.0)
