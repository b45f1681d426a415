"""Timed elements: readings needed, standard times in both conventions, and their spread in the cell of today."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path
from statistics import NormalDist, fmean, pvariance

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.inquiry import read_inquiry
from millhand.model.inquiry import Inquiry
from millhand.model.part import Readings
from millhand.model.span import Span
from millhand.model.study import Study
from millhand.model.walk import facts_in
from millhand.report.comparison import today_of
from millhand.solvers.sampling.span_draw import span_value
from millhand.stages.cells.work_spans import STEPS, load_values
from millhand.stages.measured import measured
from millhand.trace import Sheet
from tests.agreement.test_people_time import done
from tests.checks import prints_as

pytestmark = pytest.mark.xdist_group("by_hand")  # their studies are worked out once a process

LATHES = Path(__file__).resolve().parents[2] / "examples" / "2_three_lathes" / "inquiry.yaml"


@cache
def lathes() -> Inquiry:
    """The example whose elements were timed."""
    return read_inquiry(LATHES, assumptions())


@cache
def today() -> Study:
    """Its day as it is, without any cell."""
    return done("2_three_lathes")


def readings(inquiry: Inquiry, name: str) -> Readings:
    """The readings of one element."""
    found = next(element.readings for element in inquiry.today.elements if element.name == name)
    assert found is not None
    return found


def changed(name: str, **figures: float) -> Inquiry:
    """The example with other figures of one element's readings."""
    inquiry = lathes()
    own = readings(inquiry, name)
    new = replace(own, **{key: replace(getattr(own, key), value=value) for key, value in figures.items()})
    elements = [replace(e, readings=new) if e.name == name else e for e in inquiry.today.elements]
    return replace(inquiry, today=replace(inquiry.today, elements=tuple(elements)))


def figure(inquiry: Inquiry, name: str, field: str) -> float:
    """One figure of the stage for one element."""
    sheet = Sheet(facts_in(inquiry))
    (found,) = [each for each in measured(inquiry, sheet) if each.element == name]
    return sheet.value(getattr(found, field))


def test_readings_needed_come_out_as_printed() -> None:
    """niebel2014: 25 readings, mean 0.30 min, deviation 0.09 min, within 5 % at 95 %: 153.36, so 154; from memory."""
    inquiry = changed("load_and_start", readings=25.0, mean_s=18.0, deviation_s=5.4, precision=0.05, confidence=0.95)
    sheet = Sheet(facts_in(inquiry))
    measured(inquiry, sheet)

    exact = sheet.value("today.elements.load_and_start.readings.exact_number")
    assert prints_as((2.064 / sheet.value("today.elements.load_and_start.readings.quantile")) ** 2 * exact, "153.36")
    assert figure(inquiry, "load_and_start", "needed") == 154.0


def test_standard_times_are_those_of_each_convention() -> None:
    """13 % of the day for one element; the people's 12 % of work for another."""
    for element in lathes().today.elements:
        normal = element.time_s.value
        wanted = normal / 0.87 if element.allowance is not None else normal * (1.0 + lathes().people.allowance.value)
        assert figure(lathes(), element.name, "standard") == pytest.approx(wanted, rel=1e-12)


def test_the_load_of_the_cell_is_the_sum_of_the_standard_times() -> None:
    """Outside elements in the exchange; inside ones, each over its n loads, where the part is put."""
    found = today()
    for side, at in (("outside", "exchange"), ("inside", "other")):
        total = math.fsum(
            figure(lathes(), element.name, "standard") / element.every_n.value
            for element in lathes().today.elements
            if element.side.value == side
        )
        name = {"exchange": "outside_by_hand", "other": "inside_by_hand"}[at]
        operation = lathes().parts[0].operations[0].name
        assert found.facts[f"concepts.today.timing.{operation}.{name}"].value == pytest.approx(total, rel=1e-12)


def spans(found: Study) -> dict[str, Span]:
    """The holds of today's cell by place and visit."""
    result = today_of(found)
    assert result is not None
    assert result.cell is not None
    return {
        f"{row.at[0]} {name}": visit.hold_s
        for row in result.cell.handling
        for name in ("pick", "place", "swap")
        if (visit := getattr(row, name)) is not None
    }


def test_the_cell_of_today_draws_from_what_was_timed() -> None:
    """Its mean is the fact's own; half an exchange is half of each value."""
    found = spans(today())
    operation = lathes().parts[0].operations[0].name
    exchange = today().facts[f"concepts.today.timing.{operation}.outside_by_hand"].value
    swap = found["machine_1 swap"]

    assert swap.dist == "empirical"
    assert swap.mean_s == pytest.approx(exchange, rel=1e-12)
    assert found["machine_1 pick"].values_s == pytest.approx([value / 2.0 for value in swap.values_s or ()])
    assert found["done place"].dist == "empirical"


def test_the_spread_of_a_load_is_that_of_its_elements() -> None:
    """Independent elements: variances add, to what a hundred equally likely values can hold."""
    values = load_values(lathes(), "outside", at=["turning"])
    wanted = 0.0
    for element in lathes().today.elements:
        if element.side.value == "outside" and element.readings is not None and element.allowance is not None:
            drawn = [span_value(element.readings.fit, (i + 0.5) / 10_000) for i in range(10_000)]
            wanted += pvariance(drawn) * (element.readings.rating.value * (1.0 + element.allowance.value)) ** 2

    assert len(values) == STEPS
    assert pvariance(values) == pytest.approx(wanted, rel=0.03)


def test_two_alike_normal_elements_add_as_normal_ones_do() -> None:
    """A nearly normal lognormal twice: the quantiles of the sum are those of the normal with twice the variance."""
    fit = Span(dist="lognormal", mean_s=20.0, cv=0.02)
    inquiry = lathes()
    alike = [
        replace(
            e,
            readings=replace(readings(inquiry, e.name), fit=fit),
            time_s=replace(e.time_s, value=20.0),
            allowance=None,
        )
        for e in inquiry.today.elements
        if e.side.value == "outside"
    ]
    people = replace(inquiry.people, allowance=replace(inquiry.people.allowance, value=0.0))
    values = load_values(
        replace(inquiry, people=people, today=replace(inquiry.today, elements=tuple(alike))), "outside", at=["turning"]
    )
    normal = NormalDist(40.0, 0.4 * math.sqrt(2.0))

    assert fmean(values) == pytest.approx(40.0, rel=1e-12)
    for step in (10, 30, 50, 70, 90):
        assert values[step] == pytest.approx(normal.inv_cdf((step + 0.5) / STEPS), abs=0.02)


def test_what_nobody_timed_stays_constant() -> None:
    """Without readings the cell holds the numbers that it always held."""
    inquiry = lathes()
    untimed = [replace(element, readings=None) for element in inquiry.today.elements]

    still = replace(inquiry, today=replace(inquiry.today, elements=tuple(untimed)))

    assert load_values(still, "outside", at=["turning"]) == ()
