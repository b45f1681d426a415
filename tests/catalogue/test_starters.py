"""Each starter is a whole one: words, an inquiry that can be used, no figure that is said to be given, and a cell that
the rules let through and that works with them."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.starters import FOLDER, inquiry_of_starter, starters
from millhand.catalogue.wished import refuse_unknown_names
from millhand.intake.cell import read_cell
from millhand.intake.inquiry import read_inquiry
from millhand.intake.inquiry_gaps import facts_of, questions
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.road import planned_alone
from millhand.solvers.cycle.best import best_cycle
from millhand.stages.concepts import concepts

NAMES = tuple(starters())
# What a starter is for is said, not assumed: the kind of machine, how parts arrive and leave, what a time counts.
MEANT = (
    "kind", "shape", "condition", "arrives", "leaves", "delicate", "time_is", "side", "must_move", "count", "spacing",
)  # fmt: skip


@cache
def inquiry(name: str) -> Inquiry:
    """The inquiry of a starter."""
    return read_inquiry(inquiry_of_starter(name), assumptions())


def cells(name: str) -> Iterator[Concept]:
    """The cells that its study looks at."""
    return (each for each in concepts(inquiry(name), read_catalogue()) if each.kind == "cell")


def test_there_are_a_dozen_each_with_a_file() -> None:
    """No file without a starter, no starter without a file."""
    assert len(NAMES) == 12
    assert sorted(path.stem for path in FOLDER.iterdir()) == sorted(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_starter_says_when_it_fits_and_when_not(name: str) -> None:
    """Two reasons and more for either, each a different one; a title that no other has."""
    starter = starters()[name]

    assert len(set(starter.fits)) >= 2
    assert len(set(starter.fits_not)) >= 2
    assert [each.title for each in starters().values()].count(starter.title) == 1


@pytest.mark.parametrize("name", NAMES)
def test_no_figure_of_a_starter_is_said_to_be_given(name: str) -> None:
    """Whatever number or word its file holds is assumed, with a question; only what it is for stands as it is."""
    own = [fact for fact in facts_of(inquiry(name)) if fact.source.startswith(f"{name}.yaml:")]
    said = {fact.id for fact in own if fact.basis != "assumed"}
    ranged = [fact for fact in own if isinstance(fact, Fact) and fact.low is not None]

    assert {each for each in said if each.rpartition(".")[2] not in MEANT} == set()
    assert all(fact.question for fact in own if fact.basis == "assumed")
    assert len(ranged) >= 6
    assert any(question.kills for question in questions(inquiry(name), assumptions()))


@pytest.mark.parametrize("name", NAMES)
def test_a_starter_looks_first_at_its_own_cell(name: str) -> None:
    """Its concept is among the few cells of its study; every name that it keeps to is one of the catalogue."""
    found = [each.id for each in cells(name)]
    refuse_unknown_names(inquiry(name), read_catalogue().components)

    assert starters()[name].concept in found
    assert len(found) <= 6
    assert inquiry(name).only is not None


@pytest.mark.parametrize("name", NAMES)
def test_the_cell_of_a_starter_works_with_its_figures(name: str) -> None:
    """It is placed and drawn, no check kills it, and it has a cell and a price."""
    plan = planned_alone(inquiry(name), read_catalogue(), starters()[name].concept)[0]

    assert [each.check for each in plan.verdicts if each.kills and not each.holds] == []
    assert plan.layout.drawn is not None
    assert plan.cell is not None
    assert plan.estimate is not None


def test_the_whole_of_two_arms_back_to_back_is_a_cell_file() -> None:
    """Two mills for each arm, and a period by hand: milling, and all for which a mill stands between two parts, where
    its arm is never late. Four parts leave in it."""
    named = "examples/cells/two_arms_back_to_back.json"
    found = best_cycle(read_cell(Path(named)))
    stands = 3 + 11.5 + 3.2 + 4 + 6 + 3.2 + 11.5 + 8

    assert named in starters()["two_arms_back_to_back"].lacks
    assert found.period_steps * found.grid_s == pytest.approx(360 + stands)
    assert (found.parts_per_period, found.proven) == (4, True)
