"""Ranges of load position and door reach the margins of reach, room and gap, with the place of the cell held.

The second way: the shop pins arm and trays, so that the cell stands where it stood, and the measure is given exactly on
either side of the value at which the check is told to turn. The whole road is then gone again.
"""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from tests.stages.feasibility.judged import Judged, judged
from tests.stages.test_turning_reach import CELL, one_mill, pin

ARM_Y, TRAYS_Y = -1.2, -2.3
RANGED = {"load_depth": (0.45, 0.3, 0.9), "door_height": (0.8, 0.5, 1.0)}  # likely, lowest, highest
STEP = 0.008  # two of the steps by which a turning value is known
VERDICTS = ("reach", "joint_room", "arm_gap")


def measure(name: str, value: float, low: float | None = None, high: float | None = None) -> Fact:
    """A measure of the mill, exact where no range is told."""
    return Fact(
        id=f"machines.mill_3.{name}", value=value, unit="m", basis="assumed", source="test", low=low, high=high,
        shape="point" if low is None else "triangular", question=f"How much is {name.replace('_', ' ')}?",
    )  # fmt: skip


def mill(depth: Fact, height: Fact) -> Inquiry:
    """One mill before an arm and trays that are pinned; all else of it is exact."""
    of = one_mill()
    made: Machine = of.machines[0]
    inside = replace(made.inside, door_width_m=measure("door_width", 0.8), door_height_m=height)
    made = replace(made, load_depth_m=depth, load_height_m=measure("load_height", 1.05), inside=inside)
    pinned = (pin("arm", 0.0, ARM_Y), pin("presenter", 0.0, TRAYS_Y, "east"))
    return replace(of, machines=(made,), pinned=pinned)


@cache
def with_range(name: str) -> Judged:
    """The cell with one of the two measures told by its range."""
    facts = {key: measure(key, *(RANGED[key] if key == name else RANGED[key][:1])) for key in RANGED}
    return judged(CELL, mill(facts["load_depth"], facts["door_height"]))


def at(name: str, value: float) -> Judged:
    """The same with that measure given exactly."""
    facts = {key: measure(key, value if key == name else RANGED[key][0]) for key in RANGED}
    return judged(CELL, mill(facts["load_depth"], facts["door_height"]))


@pytest.mark.parametrize(("name", "check", "side"), [("load_depth", "reach", 1.0), ("door_height", "arm_gap", -1.0)])
def test_a_check_turns_where_it_is_told_to(name: str, check: str, side: float) -> None:
    """Just before the value the check holds, just beyond it fails; the sentence says so and asks."""
    found = with_range(name)
    turn = next(each for each in found.layout.turns if each.check == check)
    value = found.sheet.value(turn.at)

    assert found.verdicts[check].holds
    assert found.verdicts[check].depends == (f"machines.mill_3.{name}",)
    assert at(name, value - side * STEP).verdicts[check].holds
    assert not at(name, value + side * STEP).verdicts[check].holds
    assert f"Ask first: How much is {name.replace('_', ' ')}?" in found.sentence(check)
    assert ("above" if side > 0.0 else "below") in found.sentence(check)


def test_the_margin_runs_to_what_the_end_of_the_range_gives() -> None:
    """One uncertain measure: the margin's low end is the margin at its far end, worked out from the start."""
    found, there = with_range("load_depth"), at("load_depth", RANGED["load_depth"][2])
    margin, far = (each.sheet[each.verdicts["reach"].margin] for each in (found, there))

    assert margin.low == pytest.approx(far.value, abs=1e-6)
    assert margin.low < 0.0 < margin.value


def test_what_is_exact_moves_nothing() -> None:
    """With every measure exact, slack and room at the machine carry no range and nothing depends on them."""
    exact = at("load_depth", RANGED["load_depth"][0])
    mine = next(each for each in exact.layout.reach if each.target == "machine_1")

    assert exact.layout.turns == ()
    assert [exact.sheet[each].low for each in (mine.slack, mine.room, mine.gap)] == [None, None, None]
    assert not any(exact.verdicts[check].depends for check in VERDICTS)


def test_a_check_that_fails_says_from_where_it_would_hold() -> None:
    """A load position taken to be too deep, and a range in which it is near enough: the verdict fails and asks."""
    deep = measure("load_depth", 0.88, 0.6, 0.95)
    found = judged(CELL, mill(deep, measure("door_height", 0.8)))
    sentence = found.sentence("reach")

    assert not found.verdicts["reach"].holds
    assert "it would hold" in sentence
    assert found.verdicts["reach"].depends == ("machines.mill_3.load_depth",)
