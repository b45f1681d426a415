"""What a hand meets in a machine and what a part is made of: read where it is told, assumed by kind where it is not."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")


def told(machine: str = "", part: str = "") -> Inquiry:
    """The dozen facts with more keys at the machine and at the part."""
    text = DOZEN.replace("    count: 2\n", f"    count: 2\n{machine}", 1)
    text = text.replace("    shape: prismatic\n", f"    shape: prismatic\n{part}", 1)
    return inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())


def test_what_is_told_stands_in_si_with_its_place() -> None:
    """Lengths and a force with their units, words, and the ids under which the study keeps them."""
    of = told(
        "    door_width: 24 in\n    door_height: 600 mm\n    catch: 1.5 mm\n"
        "    fluid: neat_oil\n    fire_settled: yes\n",
        "    material: magnesium\n    bears: 120 N\n",
    )
    inside, part = of.machines[0].inside, of.parts[0]

    assert [inside.door_width_m.value, inside.door_height_m.value, inside.catch_m.value] == pytest.approx(
        [0.6096, 0.6, 0.0015]
    )
    assert (inside.door_width_m.id, inside.door_width_m.basis) == ("machines.mill.door_width", "given")
    assert (inside.fluid.value, inside.fire_settled.value, part.material.value) == ("neat_oil", "yes", "magnesium")
    assert part.bears_n is not None
    assert (part.bears_n.value, part.bears_n.unit, part.bears_n.id) == (120.0, "N", "parts.bracket.bears")


def test_what_is_not_told_is_assumed_with_its_question_and_bears_stays_open() -> None:
    """Each with a range; only what a part bears is left to who knows it."""
    of = told()
    inside, part = of.machines[0].inside, of.parts[0]

    for fact in (inside.door_width_m, inside.door_height_m, inside.catch_m):
        assert (fact.basis, fact.low is None, fact.high is None) == ("assumed", False, False)
        assert fact.question
    for choice in (inside.fluid, inside.fire_settled, part.material):
        assert choice.basis == "assumed"
        assert choice.question
    assert (inside.fire_settled.value, part.bears_n) == ("no", None)


def test_a_bore_stands_in_the_raw_part() -> None:
    """None where nobody told it."""
    bore = told(part="    bore: 1 in\n").parts[0].raw.bore_m

    assert bore is not None
    assert (bore.value, bore.id, bore.basis) == (pytest.approx(0.0254), "parts.bracket.bore", "given")
    assert told().parts[0].raw.bore_m is None


def test_a_bore_as_wide_as_the_part_is_refused() -> None:
    """A part of 120 x 80 x 40 mm is 80 mm across."""
    with pytest.raises(InputErrors) as caught:
        told(part="    bore: 80 mm\n")

    (error,) = caught.value.errors
    assert str(error).endswith("read '80 mm'; write a bore smaller than the part across it, 80 mm.")


@pytest.mark.parametrize(
    ("machine", "key"),
    [
        ("    clamping: powered_chuck\n", "machines.*.catch@powered_chuck"),
        ("    clamping: hand_vise\n", "machines.*.catch@hand_vise"),
        ("    clamping: nest\n", "machines.*.catch"),
    ],
)
def test_the_catch_is_that_of_the_clamping(machine: str, key: str) -> None:
    """A chuck opens further than the chamfer of a nest leads in."""
    assert told(machine).machines[0].inside.catch_m.value == assumptions()[key].value


def test_a_word_that_is_none_of_the_set_is_refused_with_the_set() -> None:
    """As all words are."""
    with pytest.raises(InputErrors) as caught:
        told("    fluid: oil\n")

    assert "read 'oil'; write water, neat_oil or none" in str(caught.value)
