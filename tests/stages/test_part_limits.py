"""Up to which part a cell's checks still pass: the whole road with such a part stands just at the limit."""

from functools import cache

import pytest

from millhand.model.decision import PartLimit
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result
from millhand.road import planned_alone, visited
from millhand.stages.decision.desk import Desk
from millhand.stages.decision.part_limits import part_limits
from millhand.trace import Sheet
from tests.stages.short_road import catalogue, changed, example

CELL = "trays-pedestal-force_limited_12-parallel_double-scanner"


def inquiry() -> Inquiry:
    """One mill with one small part."""
    return visited(example("4_tiny_lots"))


def planned(asked: Inquiry) -> tuple[Result, Sheet]:
    """The cell on its road as far as its checks."""
    plan, facts, choices = planned_alone(asked, catalogue(), CELL)
    made = Result(
        concept=plan.concept, verdicts=plan.verdicts, layout=plan.layout, timing=plan.timing, estimate=plan.estimate
    )
    return made, Sheet((*facts.values(), *choices.values()))


@cache
def told() -> tuple[dict[tuple[str, str], PartLimit], Sheet]:
    """The limits of the cell by check and end."""
    result, sheet = planned(inquiry())
    limits = part_limits(Desk(inquiry=inquiry(), results=(result,), drivers=(), sheet=sheet), result)
    return {(each.check, each.end): each for each in limits}, sheet


def at_limit(limit: PartLimit, *, beyond: float = 1.0) -> tuple[Result, Sheet]:
    """The road of an inquiry whose part is just at the limit, or a little beyond."""
    _, sheet = told()
    times = beyond * sheet.value(limit.at[0]) / sheet.value(limit.present[0])
    part = inquiry().parts[0]
    moved: list[Fact] = [part.raw_mass_kg, part.finished_mass_kg]
    if limit.what == "size":
        moved = [side for size in (part.raw, part.finished) for side in (size.length_m, size.width_m, size.height_m)]
    return planned(changed(inquiry(), {fact.id: times * fact.value for fact in moved}))


@pytest.mark.parametrize("check", ["payload", "grip_force", "door_opening"])
def test_a_part_at_the_limit_is_just_taken(check: str) -> None:
    """Demand and limit of the check are the same then."""
    result, sheet = at_limit(told()[0][check, "most"])
    verdict = next(each for each in result.verdicts if each.check == check)

    assert sheet.value(verdict.demand) == pytest.approx(sheet.value(verdict.limit), rel=1e-9)


def test_the_presenter_has_a_place_for_the_largest_size_and_for_no_much_larger_one() -> None:
    """Just at the size one lies in a tray; a tenth more, and none does: the pattern of today's parts is kept, another
    one may take a little more."""
    places = [at_limit(told()[0]["pockets", "most"], beyond=beyond)[1] for beyond in (1.0, 1.1)]
    there, none = (sheet.value(f"concepts.{CELL}.feasibility.pockets") for sheet in places)

    assert there >= 1.0 > none


def test_one_set_of_fingers_takes_sizes_as_far_as_the_stroke_leaves() -> None:
    """Stroke less scatter and room to let go; what raw and finished part differ by is taken of it already."""
    limits, sheet = told()
    span = limits["grip_travel", "most"]
    raw, finished = (size.width_m.value for size in (inquiry().parts[0].raw, inquiry().parts[0].finished))

    stroke = sheet.value("catalogue.parallel_double.stroke_m")
    beside = sheet.value("catalogue.jaw_clearance_m") + inquiry().parts[0].raw_tolerance_m.value
    assert sheet.value(span.at[0]) == pytest.approx(stroke - beside)
    assert sheet.value(span.present[0]) == pytest.approx(0.0) or raw != finished


def test_a_set_of_fingers_has_its_price_in_the_inquirys_money() -> None:
    """The catalogue's price by the factor of the estimate."""
    _, sheet = told()
    fact = sheet[f"concepts.{CELL}.part_limits.finger_set"]

    assert dict(fact.inputs)["amount_money"] == "catalogue.finger_set.price"
    assert fact.value > 0.0


def test_a_way_without_an_arm_has_no_limits() -> None:
    """Nor has nothing."""
    desk = Desk(inquiry=inquiry(), results=(), drivers=(), sheet=told()[1])
    plan, *_ = planned_alone(inquiry(), catalogue(), "today")

    assert part_limits(desk, None) == ()
    assert part_limits(desk, Result(concept=plan.concept, verdicts=plan.verdicts)) == ()
