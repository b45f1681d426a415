"""What no change by hand may do: less outside work never costs output, nor do breaks one after the other."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.intake.cell_check import check_cell
from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Figure
from millhand.model.walk import facts_in
from millhand.road import HOURS
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.kernel.replications import simulate
from millhand.stages.concepts import concepts
from millhand.trace import Sheet
from tests.any_inquiry import any_inquiry, text_of
from tests.stages.jobs import plan_of
from tests.stages.short_road import catalogue, changed, example
from tests.study_checks import asked

EXAMPLES = ("1_two_mills", "2_three_lathes", "3_moulding", "4_tiny_lots", "5_two_vises")
REPLICATIONS = 20


def today(inquiry: Inquiry) -> Cell:
    """Today's cell."""
    made = plan_of(inquiry, "today").plan.cell
    assert made is not None
    return made


def counted(cell: Cell) -> Figure:
    """Parts an hour, simulated."""
    return simulate(cell, hours=HOURS, replications=REPLICATIONS, seed=1).parts_per_h


def shorter(inquiry: Inquiry, factor: float) -> Inquiry:
    """Every outside element takes so much of its time; the machining time stays, however it was told."""
    times = {
        each.time_s.id: each.time_s.value * factor for each in inquiry.today.elements if each.side.value == "outside"
    }
    return changed(inquiry, times)


def no_less(after: Figure, before: Figure) -> bool:
    """In the mean: what the runs scatter is all that it may fall short by."""
    return after.mean >= before.mean - (before.high - before.low) / 2.0


@settings(max_examples=10)
@given(factor=st.floats(0.05, 1.0), name=st.sampled_from(EXAMPLES))
def test_less_outside_work_never_lowers_the_bound(factor: float, name: str) -> None:
    """Whatever the shop."""
    assert rate_bound_per_h(today(shorter(example(name), factor))) >= rate_bound_per_h(today(example(name))) - 1e-9


@pytest.mark.parametrize("factor", [0.2, 0.6, 0.9])
@pytest.mark.parametrize("name", EXAMPLES)
def test_less_outside_work_never_lowers_the_output_in_the_mean(name: str, factor: float) -> None:
    """Simulated with stops, breaks and tools; how operators meet the machines may turn out worse in one week only."""
    assert no_less(counted(today(shorter(example(name), factor))), counted(today(example(name))))


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_changes_that_only_shorten_outside_work_never_lower_the_output(name: str) -> None:
    """Those of the catalogue that apply, at their likely effect."""
    only = {each.id for each in catalogue().hand_changes if each.effects.keys() == {"outside"}}
    offered = [each.id for each in concepts(example(name), catalogue()) if each.change in only]
    before = counted(today(example(name)))

    for each in offered:
        made = plan_of(example(name), each).plan.cell
        assert made is not None
        assert no_less(counted(made), before), each


@pytest.mark.parametrize(("heads", "machines", "walk_s"), [(2.0, 2.0, 6.0), (2.0, 4.0, 6.0), (3.0, 3.0, 30.0)])
def test_staggered_breaks_never_lower_the_output(heads: float, machines: float, walk_s: float) -> None:
    """Each with machines of his own or all with all: while one pauses, another loads."""
    facts = {"people.operators": heads, "machines.mill.count": machines, "today.walk": walk_s}
    facts["people.machines_per_operator"] = machines / heads
    inquiry = changed(example("1_two_mills"), facts)
    made = plan_of(inquiry, "by_hand-staggered_breaks").plan.cell
    assert made is not None

    before, after = counted(today(inquiry)), counted(made)
    assert no_less(after, before)
    assert after.mean > before.mean  # in these shops machines stood in the breaks


@pytest.mark.parametrize("number", range(1000, 1012))
def test_whatever_is_asked_each_cell_is_valid_and_its_facts_have_origins(number: int) -> None:
    """Nothing that a check of cell files refuses; every number's fact stands in the sheet and leads to its sources."""
    inquiry = asked(text_of(any_inquiry(number)))
    for each in concepts(inquiry, catalogue()):
        if each.kind != "by_hand":
            continue
        sheet = Sheet((*facts_in(inquiry), *facts_in(catalogue())))
        made = plan_of(inquiry, each.id, sheet).plan.cell
        assert made is not None
        assert not check_cell(made)
        assert all(origin.fact in sheet for origin in made.origins.values())
        assert not [fact.id for fact in sheet if rootless(fact, sheet)]


def rootless(fact: Fact, sheet: Sheet) -> bool:
    """A computed fact without source or with inputs that are nowhere."""
    return not fact.source or any(source not in sheet for _, source in fact.inputs)


def test_a_fall_in_output_would_be_seen() -> None:
    """The tests' own eyes: ten times the outside work makes fewer parts."""
    slower = changed(
        example("1_two_mills"),
        {each.time_s.id: each.time_s.value * 10.0 for each in example("1_two_mills").today.elements},
    )
    assert not no_less(counted(today(slower)), counted(today(example("1_two_mills"))))
