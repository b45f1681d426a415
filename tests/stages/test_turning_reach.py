"""A drawer that stands too far off, a foot that is pinned: reach turns to no by what geometry says, and back again."""

import math
from dataclasses import replace

import pytest

from millhand.model.fact import Choice, Fact
from millhand.model.floor import Block, Pinned
from millhand.model.inquiry import Inquiry
from tests.stages.feasibility.judged import Judged, judged
from tests.stages.shop import shop

CELL = "trays-pedestal-fenced_20-parallel_double-fence"
# The links of the arm in this cell, from the table: shoulder before its axis and above its foot, both arms, flange.
AHEAD, UP, UPPER, ELBOW, FOREARM, FLANGE = 0.15, 0.5, 0.78, 0.14, 0.81, 0.11
FOOT, HAND, TRAY, FINGERS, EDGE = 0.7, 0.2, 0.9, 0.04, 0.1
# The way down begins where the part, to its furthest corner, keeps 30 mm and what a gap may be told too small.
RAW = [fact.value for size in (shop().parts[0].raw,) for fact in (size.length_m, size.width_m, size.height_m)]
ABOVE = max(0.1, math.hypot(*RAW) / 2.0 + 0.03 + 0.0051)
REACH = 1.75
ARM_Y = -1.3


def given(fact_id: str, value: float) -> Fact:
    """A length that somebody gave."""
    return Fact(id=fact_id, value=value, unit="m", basis="given", source="test")


def pin(what: str, x: float, y: float, turned: str | None = None) -> Pinned:
    """A piece at a place."""
    word = Choice(id=f"pinned.{what}.what", value=what, options=(what,), basis="given", source="test")
    way = None
    if turned is not None:
        way = Choice(id=f"pinned.{what}.turned", value=turned, options=(turned,), basis="given", source="test")
    return Pinned(what=word, x_m=given(f"pinned.{what}.x", x), y_m=given(f"pinned.{what}.y", y), turned=way)


def one_mill() -> Inquiry:
    """The shop with one mill."""
    of = shop()
    return replace(of, machines=(replace(of.machines[0], count=replace(of.machines[0].count, value=1.0)),))


def at(away: float) -> Judged:
    """The cell with its trays so far south of the arm, their length across."""
    return judged(
        CELL, replace(one_mill(), pinned=(pin("arm", 0.0, ARM_Y), pin("presenter", 0.0, ARM_Y - away, "east")))
    )


def left(away: float) -> float:
    """What the two arms have left at the furthest corner of both trays side by side, by their triangle."""
    far = math.hypot(2 * 0.8 / 2 - EDGE, away + 0.6 / 2 - EDGE) - AHEAD
    spans = (math.hypot(far, TRAY + FINGERS + rise + HAND + FLANGE - (FOOT + UP)) for rise in (0.0, ABOVE))
    return UPPER + math.hypot(ELBOW, FOREARM) - max(spans)


def limit_of_reach() -> float:
    """How far off the trays may stand, by halving."""
    near, far = 0.6, 3.0
    for _ in range(60):
        middle = (near + far) / 2.0
        near, far = (middle, far) if left(middle) > 0.0 else (near, middle)
    return near


def test_trays_five_centimetres_too_far_turn_the_reach() -> None:
    """Just within reach it holds; five centimetres on it ends the cell, by as much as the triangle says."""
    edge = limit_of_reach()
    well, ill = at(edge - 0.001), at(edge + 0.05)

    assert well.verdicts["reach"].holds
    assert (ill.verdicts["reach"].holds, ill.verdicts["reach"].kills) == (False, True)
    assert ill.sheet.value(ill.verdicts["reach"].margin) == pytest.approx(left(edge + 0.05) / REACH, abs=1e-6)
    assert -0.05 / REACH < left(edge + 0.05) / REACH < 0.0
    assert "a part in the presenter" in ill.sentence("reach").lower()


def test_only_reach_turns_with_the_distance() -> None:
    """Payload, grip, placing and the rest do not know where trays stand."""
    edge = limit_of_reach()
    well, ill = at(edge - 0.001), at(edge + 0.05)
    turned = {check for check, each in ill.verdicts.items() if well.verdicts[check].holds and not each.holds}

    assert turned == {"reach"}


def test_a_block_before_the_machine_moves_the_foot_and_its_removal_brings_it_back() -> None:
    """As a fitter would expect: with the block the foot stands elsewhere, without it where it stood."""
    free = judged(CELL, one_mill())
    arm = next(each for each in free.layout.spots if each.name == "arm")
    x, y = free.sheet.value(arm.x_m), free.sheet.value(arm.y_m)
    block = Block(
        name="column", x_m=given("obstacles.column.x", x), y_m=given("obstacles.column.y", y),
        width_m=given("obstacles.column.width", 0.4), depth_m=given("obstacles.column.depth", 0.4),
        height_m=given("obstacles.column.height", 3.0),
    )  # fmt: skip

    blocked = judged(CELL, replace(one_mill(), obstacles=(block,)))
    again = judged(CELL, one_mill())

    moved = next(each for each in blocked.layout.spots if each.name == "arm")
    back = next(each for each in again.layout.spots if each.name == "arm")
    assert max(abs(blocked.sheet.value(moved.x_m) - x), abs(blocked.sheet.value(moved.y_m) - y)) >= 0.5
    assert (again.sheet.value(back.x_m), again.sheet.value(back.y_m)) == (x, y)
