"""A target whose places are reached and joined by no way of the arm is refused, with how far the best way goes."""

import math
from dataclasses import replace

import numpy as np
import pytest

from millhand.model.fact import Fact
from millhand.model.layout import Layout, Reach
from millhand.model.walk import facts_in
from millhand.solvers.placing.serving import Tries
from millhand.solvers.placing.site import Doorway
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.reach import joint_room, reach, way_joined
from millhand.trace import Sheet
from tests.stages.feasibility.judged import TRACK
from tests.stages.shop import catalogue, concept, shop, timed

DOOR = Doorway(
    name="machine_1", x_m=0.0, y_m=0.0, faces=(0, -1), width_m=0.6, sill_m=0.8, lintel_m=1.5, depth_m=0.35,
    height_m=1.0, from_above=False,
)  # fmt: skip


def tries(arm: str, foot: tuple[float, float, float]) -> Tries:
    """All ways into the door from a foot that looks at the load position."""
    x, y, _ = foot
    feet = np.array([(*foot, math.atan2(0.35 - y, -x))])
    return Tries.of(catalogue().arms[arm], feet, DOOR.target, 0.3)


def test_a_flat_arm_reaches_and_cannot_hold_its_hand_so() -> None:
    """Its links get to every place on the way through a front door, and its hand only ever hangs down: none of the way
    is gone. A six-axis arm from the same side goes all of it; too far off the links are what lacks."""
    flat = tries("scara_10", (-0.4, -0.5, 0.9)).nearest_miss("machine_1")
    six = tries("fenced_20", (0.0, -0.8, 0.7))

    assert (flat.slack_m >= 0.0, flat.there, flat.joined) == (True, False, 0.0)
    assert flat.score < 0.0
    assert six.whole.any()
    assert tries("scara_10", (0.0, -3.0, 0.9)).nearest_miss("machine_1").joined == 1.0


def test_the_longest_piece_counts() -> None:
    """Of eight steps one way goes three and two in a row, another one four with a gap between: three of eight."""
    made = tries("scara_10", (-0.4, -0.5, 0.9))
    steady = np.zeros_like(made.steady)
    steady[0, [0, 1, 2, 5, 6]] = True
    steady[1, [0, 2, 4, 6]] = True

    assert replace(made, steady=steady).nearest_miss("machine_1").joined == 3 / 8


def told(name: str, value: float, unit: str) -> Fact:
    """A figure of a layout."""
    return Fact(id=f"test.{name}", value=value, unit=unit, basis="computed", source="test")


def test_it_is_refused_with_its_margin() -> None:
    """What reach and room at the joints let pass fails here: the whole way is asked for, three eighths of it are
    gone. Where every target has a way nothing is said."""
    of, sheet = shop(), Sheet()
    cell = concept(TRACK, of)
    slack, room, torn = told("slack", 0.2, "m"), told("room", 0.5, "rad"), told("joined", 0.375, "1")
    sheet.extend((*facts_in(of), *facts_in(cell), slack, room, torn))
    served = Reach(target="machine_2", slack=slack.id, room=room.id, joint=3)
    lost = Reach(target="machine_1", slack=slack.id, joined=torn.id)
    asked = Asked(
        inquiry=of, concept=cell, layout=Layout(concept=TRACK, spots=(), reach=(lost, served)),
        timing=timed(of, cell, sheet), sheet=sheet,
    )  # fmt: skip
    found = way_joined(asked)

    assert way_joined(replace(asked, layout=replace(asked.layout, reach=(served,)))) is None
    assert found is not None
    assert (found.holds, found.kills) == (False, True)
    assert sheet.value(found.margin) == pytest.approx((0.375 - 1.0) / 0.375)
    assert found.words.startswith(
        "The links of the arm would reach the load position of the first machine, but no way "
    )
    assert "[[test.joined|percent]]" in found.words
    for check in (reach, joint_room):
        other = check(asked)
        assert other is not None
        assert other.holds
