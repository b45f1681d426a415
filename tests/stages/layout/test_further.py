"""A fence that keeps the distances behind it, as facts: floor and metres follow it, and a floor given may hold it back."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.fact import Fact
from millhand.model.layout import Layout
from millhand.stages.feasibility.over_fence import over_fence
from millhand.stages.layout import layout
from millhand.trace import Sheet
from tests.stages.feasibility.judged import asked_of
from tests.stages.layout.test_people import CELLS
from tests.stages.shop import catalogue, concept, shop

MINE = "trays-pedestal-fenced_60-parallel_double-fence"


@cache
def laid(concept_id: str, floor_m2: float | None = None) -> tuple[Layout, Sheet]:
    """One concept's layout where so much floor is given, and its facts."""
    of, sheet = shop(), Sheet()
    if floor_m2 is not None:
        floor = Fact(id="wishes.floor", value=floor_m2, unit="m2", basis="given")
        of = replace(of, wishes=replace(of.wishes, floor_m2=floor))
    return layout(of, concept(concept_id, of), catalogue(), sheet), sheet


def figure(concept_id: str, name: str, floor_m2: float | None = None) -> float:
    """One fact of a layout, nothing where it has none."""
    name, (_, sheet) = f"concepts.{concept_id}.layout.{name}", laid(concept_id, floor_m2)
    return sheet.value(name) if name in sheet else 0.0


@pytest.mark.parametrize("concept_id", CELLS)
def test_the_fence_keeps_what_is_asked_for_and_floor_follows_it(concept_id: str) -> None:
    """The gap with the part taken off is no less than the longest distance; the floor is the rectangle of the drawn
    piece less what is left outside, and the metres beyond the margin are those of the drawn stretches."""
    found, sheet = laid(concept_id)
    assert found.drawn is not None
    whole = next(each for each in found.drawn.pieces if each.name == "fence")
    area = sheet.value(whole.width_m) * sheet.value(whole.depth_m)
    drawn = sum(
        abs(sheet.value(each.x_m) - sheet.value(each.to_x_m)) + abs(sheet.value(each.y_m) - sheet.value(each.to_y_m))
        for each in found.drawn.fence
    )

    assert sheet.value(found.fence_gap) >= figure(concept_id, "fence.asked") == 0.6
    assert sheet.value(found.floor_area) == pytest.approx(area - figure(concept_id, "fence.outside"))
    assert figure(concept_id, "fence.more") > 0.0
    assert figure(concept_id, "fence.length") == pytest.approx(drawn)


def test_a_floor_that_holds_the_near_fence_alone_keeps_it_there() -> None:
    """As much as a fence by its margin takes: the longest distance does not fit, so that less is kept, and the verdict
    on the floor holds; without a floor given it stands further out and takes more."""
    free = figure(MINE, "floor_area")
    given = free - 0.2
    found, sheet = laid(MINE, given)

    assert figure(MINE, "floor_area", given) <= given < free
    assert sheet.value(found.fence_gap) < 0.6 <= laid(MINE)[1].value(laid(MINE)[0].fence_gap)
    assert sheet.value(found.fence_gap) >= 0.5  # the next shorter of what is asked for


def test_nobody_reaches_over_the_fence_as_it_is_drawn() -> None:
    """The check holds for the cell that is laid out, without a hand-made gap."""
    found = over_fence(asked_of(MINE))

    assert found is not None
    assert found.holds
