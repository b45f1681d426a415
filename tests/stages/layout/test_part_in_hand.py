"""The part in the hand: as large as the inquiry tells it, and straight ways that begin clear of it."""

import math

import pytest

from millhand.model.inquiry import Inquiry
from millhand.solvers.placing.site import Kit
from millhand.stages.layout.ground import Ground
from millhand.stages.layout.site import front_m, half_across_m, kit_of, part_m
from millhand.trace import Sheet
from tests.stages.shop import catalogue, concept, shop
from tests.stages.short_road import changed

CELL = "drawers-pedestal-fenced_20-parallel_double-fence"


def ground(of: Inquiry) -> Ground:
    """One concept's floor plan."""
    return Ground(sheet=Sheet(), inquiry=of, concept=concept(CELL, of), catalogue=catalogue())


def kit(of: Inquiry) -> Kit:
    """What it puts on the floor."""
    return kit_of(ground(of))


def test_a_block_reaches_to_its_corner_and_a_cylinder_to_its_rim() -> None:
    """Half of the longest line through each: of 3, 4 and 12 half of 13, of 3 across and 4 long half of 5."""
    part = shop().parts[0]
    size = (
        changed(shop(), {part.raw.length_m.id: 4.0, part.raw.width_m.id: 3.0, part.raw.height_m.id: 12.0}).parts[0].raw
    )

    assert half_across_m(size, False) == 6.5
    assert half_across_m(size, True) == 2.5


def test_the_larger_of_raw_and_finished_counts() -> None:
    """Of the shop's part the raw one; where the finished one is longer, that."""
    of = shop()
    part = of.parts[0]
    raw = math.hypot(*(each.value for each in (part.raw.length_m, part.raw.width_m, part.raw.height_m))) / 2.0
    longer = changed(of, {part.finished.length_m.id: 10.0 * part.raw.length_m.value})

    assert part_m(ground(of)) == pytest.approx(raw)
    assert part_m(ground(longer)) > 5.0 * part.raw.length_m.value
    assert kit(of).hand.part_m == part_m(ground(of))


@pytest.mark.parametrize("times", [0.3, 3.0])
def test_a_straight_way_begins_where_the_part_keeps_what_is_asked_for(times: float) -> None:
    """A small part: as far out as usual; a large one: its half, the clearance, and what a gap may be told too small."""
    of = shop()
    part = of.parts[0]
    sized = changed(
        of,
        {
            fact.id: times * fact.value
            for size in (part.raw, part.finished)
            for fact in (size.length_m, size.width_m, size.height_m)
        },
    )
    own = ground(sized)
    asked = own.figure("arm_clearance_m").value

    assert front_m(own) >= max(0.1, part_m(own) + asked)
    assert front_m(own) == pytest.approx(max(0.1, part_m(own) + asked + 0.0051))
