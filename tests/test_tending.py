"""Where parts are lost and the ways to tend: down to what is shipped, and in the order that they must come."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.intake.inquiry import read_inquiry
from millhand.model.inquiry import Inquiry
from millhand.model.study import Study
from millhand.model.tending import Tending
from millhand.stages.tending import ways, without
from millhand.study import study
from millhand.tending import with_tending
from tests.agreement.test_people_time import done as studied
from tests.few_draws import FEW_DRAWS
from tests.stages.jobs import told

pytestmark = pytest.mark.xdist_group("by_hand")  # their studies are worked out once a process

TOP = Path(__file__).resolve().parents[1]
EXAMPLES = ("1_two_mills", "2_three_lathes", "3_moulding", "4_tiny_lots", "5_two_vises")
FOUR_MILLS = "tests/golden/inquiry_1_people.yaml"


@cache
def read(path: str) -> Inquiry:
    """An inquiry of the checkout."""
    return read_inquiry(TOP / path, assumptions())


@cache
def done(path: str) -> Study:
    """A study of an inquiry, of an example the one that is there, with where parts are lost."""
    own, name = replace(read_catalogue(), components={}, hand_changes=()), Path(path).parent.name
    found = studied(name) if name in EXAMPLES else study(read(path), own, asked=FEW_DRAWS)
    return with_tending(found, read(path), own)


def page(path: str) -> Tending:
    """The record of it."""
    tending = done(path).tending
    assert tending is not None
    return tending


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_losses_lead_from_the_machines_to_what_is_shipped(name: str) -> None:
    """Parts off the machines less every loss that follows are the parts of a shift that the shop says it ships."""
    made, path = done(f"examples/{name}/inquiry.yaml"), page(f"examples/{name}/inquiry.yaml")
    left = made.facts[path.made].value - sum(made.facts[row.parts].value for row in path.losses if not row.simulated)

    assert left == pytest.approx(made.inquiry.today.parts_per_shift.value, rel=1e-6)


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_cause_that_there_is_has_a_row_with_its_time(name: str) -> None:
    """Breaks, handover, absence, stops, tools, breakdowns: none of them lies in what nothing explains."""
    rows = {row.cause: row for row in page(f"examples/{name}/inquiry.yaml").losses}

    assert {"breaks", "handover", "absence", "stops", "wear", "long_stops", "scrap", "unexplained"} <= set(rows)
    assert all(row.hours for cause, row in rows.items() if cause not in ("scrap", "unexplained"))
    assert "away" not in rows


def test_the_times_are_those_of_the_inquiry() -> None:
    """Two operators: an hour of breaks, 16 min of handovers less absence, 2.7 % of 16 h and 6 % of what is left."""
    facts = done(FOUR_MILLS).facts
    hours = {row.cause: facts[row.hours].value for row in page(FOUR_MILLS).losses if row.hours}

    assert hours["breaks"] == pytest.approx(1.0)
    assert hours["handover"] == pytest.approx(16.0 / 60.0, rel=0.05)
    assert hours["absence"] == pytest.approx(0.09 * 0.3 * 16.0, rel=0.15)
    assert hours["away"] == pytest.approx(0.06 * (1.0 - 0.09 * 0.3) * 15.0)


def test_helping_each_other_and_covering_breaks_make_more() -> None:
    """In this order, each with less waiting of machines; today's way is the first row and the second best by hand."""
    facts, rows = done(FOUR_MILLS).facts, {(row.tend, row.break_cover): row for row in page(FOUR_MILLS).ways}
    order = [("own", "none"), ("together", "none"), ("together", "each_other")]
    parts, waits = ([facts[getattr(rows[each], name)].value for each in order] for name in ("parts", "waiting_share"))

    assert parts == sorted(parts)
    assert waits == sorted(waits, reverse=True)
    assert [row.today for row in page(FOUR_MILLS).ways].index(True) == 0
    assert rows["together", "each_other"].today
    assert facts[rows["own", "none"].parts].value < facts[rows["own", "relief"].parts].value


def test_one_operator_has_nobody_to_help() -> None:
    """Then only who covers the breaks is asked; with neither breaks nor colleagues there is no other way."""
    one = read("examples/1_two_mills/inquiry.yaml")
    bare = replace(one, shifts=tuple(replace(shift, breaks=()) for shift in one.shifts))

    assert [each.people.break_cover.value for each in ways(one)] == ["none", "relief"]
    assert len(ways(bare)) == 1


def test_what_is_not_there_is_not_taken_out() -> None:
    """Breaks that are covered, no handover, absence that is replaced: stops and tools are left."""
    one = read("examples/1_two_mills/inquiry.yaml")
    smooth = told(one, {"people.handover": 0.0, "people.unreplaced": 0.0, "people.break_cover": "relief"})

    assert [cause for cause, _ in without(one)] == ["breaks", "handover", "absence", "stops", "wear"]
    assert [cause for cause, _ in without(smooth)] == ["stops", "wear"]
