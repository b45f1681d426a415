"""Figures that go together, as an inquiry tells them, and what it may not say of them."""

from pathlib import Path

import numpy as np
import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.formulas.correlation import largest_share, matrix, normal_correlation, triangle
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in
from millhand.stages.spread import Together, told_together

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")


def told(*pairs: str) -> Inquiry:
    """The dozen facts with these pairs."""
    text = f"{DOZEN}\ncorrelations:\n" + "".join(f"  - {{{pair}}}\n" for pair in pairs)
    return inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())


def words(*pairs: str) -> list[str]:
    """What these pairs are answered with, without their places."""
    with pytest.raises(InputErrors) as caught:
        told(*pairs)
    assert all(error.where.startswith("i.yaml:") for error in caught.value.errors)
    return [str(error).partition(": read ")[2] for error in caught.value.errors]


def test_pairs_are_read_with_their_rank() -> None:
    """Two paths and a number from -1 to 1; a figure of the catalogue is looked up later."""
    found = told(
        "of: money.wage_growth, with: money.escalation, rank: 0.6",
        "of: people.on_cost, with: catalogue.fault_share_per_part, rank: -0.25",
    ).correlations

    assert [(each.of, each.other, each.rank.value) for each in found] == [
        ("money.wage_growth", "money.escalation", 0.6), ("people.on_cost", "catalogue.fault_share_per_part", -0.25),
    ]  # fmt: skip
    assert found[0].rank.id == "correlations.1.rank"


def test_an_inquiry_without_pairs_has_none() -> None:
    """As all inquiries before."""
    assert inquiry_of(tree_of(DOZEN.encode(), "i.yaml"), Path(), assumptions()).correlations == ()


def test_names_that_cannot_go_together_are_told_with_their_cure() -> None:
    """No such figure, one that is exact, one with itself, a pair twice."""
    assert words("of: money.wage_growht, with: money.escalation, rank: 0.6") == [
        "'money.wage_growht'; write the path of a figure (did you mean 'money.wage_growth'?)."
    ]
    assert words("of: people.wage, with: money.escalation, rank: 0.6") == [
        "'people.wage without a range'; write a range for people.wage, such as 28 USD/h (25 to 31), or no correlation "
        "of it: it is exact."
    ]
    assert words("of: money.escalation, with: money.escalation, rank: 0.6") == [
        "'money.escalation with itself'; write the paths of two figures."
    ]
    assert words("of: money.wage_growth, with: money.escalation, rank: 0.6",
                 "of: money.escalation, with: money.wage_growth, rank: 0.5") == [
        "'money.escalation with money.wage_growth again'; write one rank for two figures."
    ]  # fmt: skip


def test_a_rank_is_a_number_from_minus_one_to_one() -> None:
    """Anything beyond is refused where it stands."""
    assert len(words("of: money.wage_growth, with: money.escalation, rank: 1.2")) == 1
    assert "1.2" in words("of: money.wage_growth, with: money.escalation, rank: 1.2")[0]
    assert len(words("of: money.wage_growth, with: money.escalation")) == 1


def test_ranks_that_contradict_each_other_are_refused_with_ranks_that_do_not() -> None:
    """What goes with the same figure goes together too."""
    found = words("of: money.wage_growth, with: money.escalation, rank: 0.9",
                  "of: money.escalation, with: people.on_cost, rank: 0.9")  # fmt: skip

    assert found == [
        "'correlations of money.escalation, money.wage_growth, people.on_cost'; write ranks that figures can have at "
        "once: a rank for each pair of these, or each rank times 0.75; what goes with the same figure goes together "
        "too."
    ]
    told("of: money.wage_growth, with: money.escalation, rank: 0.675",
         "of: money.escalation, with: people.on_cost, rank: 0.675")  # fmt: skip


def test_names_of_the_catalogue_are_held_against_it() -> None:
    """What it does not know, or has as exact, ends the study with words."""
    inquiry = told("of: money.escalation, with: catalogue.no_such, rank: 0.5")
    facts = {fact.id: fact for fact in facts_in(inquiry) if isinstance(fact, Fact)}
    known = Fact(id="catalogue.no_such", value=1.0, low=0.5, high=2.0, unit="1", basis="assumed", source="made up")

    with pytest.raises(InputErrors) as caught:
        told_together(inquiry.correlations, facts)
    assert str(caught.value.errors[0]).endswith(
        "read 'catalogue.no_such'; write the path of a figure of the catalogue that has a range."
    )
    assert told_together(inquiry.correlations, facts | {known.id: known}) == (
        Together("money.escalation", "catalogue.no_such", 0.5),
    )


@pytest.mark.parametrize("seed", range(20))
def test_what_numbers_can_have_is_what_the_eigenvalues_of_a_library_say(seed: int) -> None:
    """A triangle is found where no eigenvalue is below nought, and gives the matrix back."""
    chance = np.random.default_rng(seed)
    names = tuple("abcd")
    pairs = {(one, other): float(chance.uniform(-0.9, 0.9)) for one, other in zip("aabbcc", "bccdda", strict=True)}
    wanted = np.array(matrix(names, pairs))
    found = triangle(wanted.tolist())

    assert (found is not None) == (np.linalg.eigvalsh(wanted).min() >= 0.0)
    if found is not None:
        assert np.array(found) @ np.array(found).T == pytest.approx(wanted, abs=1e-9)
    else:
        least = matrix(names, pairs, times=largest_share(names, pairs))
        assert np.linalg.eigvalsh(np.array(least)).min() >= -1e-9


def test_ranks_of_one_are_those_of_the_very_same_figure() -> None:
    """The ends of the range can be had; ranks between are those of normal numbers."""
    assert np.array(triangle(matrix(("a", "b"), {("a", "b"): 1.0}))) == pytest.approx(
        np.array([[1.0, 0.0], [1.0, 0.0]]), abs=1e-7
    )
    assert 6.0 / np.pi * np.arcsin(normal_correlation(0.4) / 2.0) == pytest.approx(0.4)
