"""How many such cells one person could look after: from calls counted by hand to the sentence about it."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.formulas.shared_people import cells_for_one
from millhand.model.canonical import content_hash
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Figure, Output, PeopleTime
from millhand.model.study import Result
from millhand.model.walk import facts_in
from millhand.report.shared_people import shared_words
from millhand.report.view import sentence_parts
from millhand.stages.performance.hours import hours
from millhand.stages.performance.shared import Scope
from millhand.stages.performance.shared_people import POST, shared
from millhand.trace import Sheet, found
from tests.stages.short_road import Walked, catalogue, example, walked

CELL = "trays-pedestal-fenced_20-parallel_single-fence"
NOBODY = PeopleTime(there=None, a_shift={}, a_part={})


@cache
def road() -> Walked:
    """A cell of the first example at its load bound."""
    return walked(example("1_two_mills"), CELL)


def figure(value: float) -> Figure:
    """A mean that is known."""
    return Figure(mean=value, low=value, high=value)


def counted(duties: dict[str, tuple[float, float]]) -> Output:
    """What a simulation counted: calls an hour, and the share of the time that somebody works at them."""
    return Output(
        cell="c", seed=1, replications=1, horizon_s=604_800.0, parts_per_h=figure(10.0), good_per_h=figure(10.0),
        duties={name: figure(calls) for name, (calls, _) in duties.items()},
        duty_share={name: figure(share) for name, (_, share) in duties.items()}, attended_share=0.5,
    )  # fmt: skip


def scope(output: Output | None, of: Inquiry | None = None) -> Scope:
    """The cell with that output, on a sheet of its own."""
    made, of = road(), of or example("1_two_mills")
    assert made.plan.cell is not None
    sheet = Sheet((*made.sheet.facts.values(), *made.sheet.choices.values()))
    sheet.extend(facts_in(of))
    return Scope(
        inquiry=of, concept=made.plan.concept, timing=made.plan.timing, cell=made.plan.cell,
        cell_hash=content_hash(made.plan.cell), schedule=None, output=output, hours=hours(of, sheet),
        figures=catalogue().figures, sheet=sheet,
    )  # fmt: skip


def work(about: Scope, share: float) -> Fact:
    """So much of a post's hours."""
    value = share * about.of(POST).value
    return found(about.sheet, Fact(id="work", value=value, unit="h/y", basis="given", source="test"))


def with_others(count: float) -> Inquiry:
    """The inquiry that tells of other cells."""
    of = example("1_two_mills")
    other = Fact(id="people.other_cells", value=count, unit="1", basis="given", source="test")
    return replace(of, people=replace(of.people, other_cells=other))


def told(people: PeopleTime, about: Scope) -> str:
    """The sentences about it as a reader sees them."""
    made = road()
    result = Result(concept=made.plan.concept, verdicts=(), performance=replace(made.performance, people=people))
    if people.post is not None:
        found(
            about.sheet,
            Fact(id=f"concepts.{CELL}.case.shared_wages", value=1.0, unit="money/y", basis="given", source="t"),
        )
    words = shared_words(result, about.sheet.facts)
    return "".join(each.text for each in sentence_parts(words, about.sheet.facts)).replace("\u202f", " ")


def test_calls_and_work_give_the_cells_of_one_person() -> None:
    """2 calls an hour of 90 s, people there half of the time; handover and absence are no calls."""
    about = scope(
        counted({"clear": (1.0, 0.02), "refill": (1.0, 0.03), "handover_1": (0.2, 0.2), "absence_1": (0.1, 0.1)})
    )
    people = shared(about, NOBODY, work(about, 0.11))
    assert people.busy is not None
    assert people.cells is not None
    takes = about.of(f"concepts.{CELL}.performance.call_takes").value

    assert takes == pytest.approx(90.0)
    assert about.of(people.busy).value == pytest.approx(0.11)
    assert about.of(people.cells).value == cells_for_one(
        90.0, calls_per_h=2.0, there_share=0.5, busy_share=0.11, most_busy_share=0.8, most_waiting_share=0.03
    )
    assert 1.0 < about.of(people.cells).value < 7.0
    assert people.post is None
    assert "one person could look after is" in told(people, about)


def test_without_a_simulation_or_calls_there_is_no_such_figure() -> None:
    """The load bound counts no calls."""
    for output in (None, counted({}), counted({"handover_1": (0.2, 0.2)})):
        about = scope(output)
        assert shared(about, NOBODY, work(about, 0.1)) is NOBODY


def test_a_cell_that_fills_a_person_leaves_him_for_no_other() -> None:
    """More work than may be planned for one person."""
    about = scope(counted({"clear": (1.0, 0.02)}))
    people = shared(about, NOBODY, work(about, 0.85))
    assert people.cells is not None

    assert about.of(people.cells).value == 0.0
    assert "more than one person can look after" in told(people, about)


def test_other_cells_take_their_share_of_the_post() -> None:
    """Two others: a third of the post, as long as one person can look after three."""
    about = scope(counted({"clear": (0.5, 0.01)}), with_others(2.0))
    people = shared(about, NOBODY, work(about, 0.1))
    assert people.post is not None

    assert about.of(people.post).value == pytest.approx(about.of(POST).value / 3.0)
    assert "the case counts the work alone" in told(people, about)
