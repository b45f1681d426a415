"""How near an arm comes to gates and to where people stand, by hand: one flat arm that stands still, stretched out."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from millhand.model.fact import Fact
from millhand.solvers.placing.fencing import Fence
from millhand.solvers.placing.serving import Hand
from millhand.solvers.placing.site import Rect
from millhand.solvers.pose.clearance import Bars
from millhand.stages.layout import people
from millhand.trace import Sheet
from millhand.trace import found as written
from tests.solvers.pose.arms_of_all_kinds import FLAT_UPWARDS

REACH, THICK = 0.55, 0.05  # of its two links along x from a foot at nought, and of the tool that stands on their end
NEAR = 0.01  # what a swept gap may be told too small
STRIP = Rect(name="presenter", x_m=0.0, y_m=-2.0, width_m=1.2, depth_m=0.6)


def gaps(fence: Fence | None, monkeypatch: pytest.MonkeyPatch, *, works: bool = True) -> dict[str, float]:
    """What is told with one strip beside the presenter, and an outfeed beside which no side is free."""
    found = Sheet()
    hand = Hand(tool_m=0.1, bars=Bars(radii_m=(0.04,) * 4, tool_m=0.1, tool_radius_m=THICK), part_m=0.12)
    still = SimpleNamespace(name="machine_1", way=np.zeros((2, 4)))
    plan = SimpleNamespace(feet={"machine_1": (0.0, 0.0, 0.0, 0.0)}, served=(), works=works)
    stage: Any = SimpleNamespace(
        kit=SimpleNamespace(arm=FLAT_UPWARDS, hand=hand), site=None, plan=plan,
        ground=SimpleNamespace(sheet=found),
        fact=lambda name, value, unit, source: written(
            found, Fact(id=name, value=value, unit=unit, basis="computed", source=source)
        ),
    )  # fmt: skip
    stood = [
        SimpleNamespace(stood=SimpleNamespace(rect=STRIP), rect=STRIP),
        SimpleNamespace(
            stood=SimpleNamespace(rect=Rect(name="outfeed", x_m=0, y_m=0, width_m=1, depth_m=1)), rect=None
        ),
    ]
    monkeypatch.setattr(people, "strips", lambda *_: stood)
    free: Any = SimpleNamespace(plan=plan, stops={"machine_1": still}, ways={})
    people.gaps_to_people(stage, free, fence)
    return {name: each.value for name, each in found.facts.items()}


@pytest.mark.parametrize("gate_x_m", [1.0, 6.0])
def test_gaps_are_those_by_hand_and_none_ends_at_two_metres(gate_x_m: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """To the gate straight on what the arm's reach and the tool leave; to the strip south, from its north edge; the
    part in a fact of its own. A stretch of fence that is nearer than the gate does not count."""
    gate = (gate_x_m, -0.5, gate_x_m, 0.5)
    found = gaps(Fence(pieces=((0.7, -0.5, 0.7, 0.5),), gates=(gate,)), monkeypatch)

    held = {f"people_gap.{place}.held" for place in ("gates", "presenter")}
    assert set(found) == held | {"people_gap.gates", "people_gap.presenter", "people_gap.part"}
    assert found["people_gap.gates"] == pytest.approx(gate_x_m - REACH - THICK, abs=NEAR)
    assert found["people_gap.presenter"] == pytest.approx(2.0 - 0.3 - THICK, abs=NEAR)
    assert found["people_gap.part"] == 0.12
    for place in ("gates", "presenter"):
        assert found[f"people_gap.{place}.held"] == pytest.approx(found[f"people_gap.{place}"] - 0.12)


def test_without_a_fence_or_a_way_nothing_is_told_and_without_a_gate_nothing_of_gates(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """There a gap would be of nothing."""
    pieces = ((0.7, -0.5, 0.7, 0.5),)

    assert gaps(None, monkeypatch) == {}
    assert gaps(Fence(pieces=pieces, gates=()), monkeypatch, works=False) == {}
    assert "people_gap.gates" not in gaps(Fence(pieces=pieces, gates=()), monkeypatch)


def test_the_edges_of_a_rectangle_are_its_four_sides() -> None:
    """South, north, west, east, from corner to corner."""
    west, south, east, north = -0.6, -2.3, 0.6, -1.7
    expected = [(west, south, east, south), (west, north, east, north), (west, south, west, north),
                (east, south, east, north)]  # fmt: skip

    assert [pytest.approx(each) for each in people.edges(STRIP)] == expected
