"""A raw mass against raw size and material: asked from either side of both limits, and never of what nobody wrote."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions, solid_densities
from millhand.catalogue.figures import figures
from millhand.intake.inquiry import read_inquiry
from millhand.intake.solid_odd import OVER, UNDER, odd_solid, solid_m3
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.part import Part
from tests.intake.test_contradictions import with_changes

SOLID = solid_densities(figures([]).values())
WHOLE_KG = 0.12 * 0.08 * 0.04 * 7850.0  # the block of the usual file, in steel


def asked(inquiry: Inquiry) -> list[str]:
    """Which questions come up."""
    return [each.code for each in odd_solid(inquiry, SOLID)]


def with_part(mass_kg: float = WHOLE_KG, **words: str) -> Inquiry:
    """The usual file with a raw mass and other words for its part."""
    inquiry = with_changes()
    part = inquiry.parts[0]
    heavy = replace(part.raw_mass_kg, value=mass_kg, low=None, high=None, shape="point", basis="given")
    sides = {"length_m": 0.12, "width_m": 0.08, "height_m": 0.04}
    sized = replace(part.raw, **{
        key: replace(getattr(part.raw, key), value=value, basis="given") for key, value in sides.items()
    })  # fmt: skip
    chosen = {key: replace(getattr(part, key), value=value, basis="given") for key, value in words.items()}
    made = replace(
        part,
        raw_mass_kg=heavy,
        raw=sized,
        **{"condition": replace(part.condition, value="sawn", basis="given"), **chosen},
    )
    return replace(inquiry, parts=(made,))


@pytest.mark.parametrize(
    ("condition", "share", "codes"),
    [
        ("sawn", OVER * 1.001, ["heavier_than_solid"]), ("sawn", OVER * 0.999, []), ("sawn", 0.8, ["lighter_than_cut"]),
        ("sawn", UNDER["sawn"] * 1.001, []), ("sawn", UNDER["sawn"] * 0.999, ["lighter_than_cut"]), ("blank", 0.8, []),
        ("blank", UNDER["blank"] * 1.001, []), ("blank", UNDER["blank"] * 0.999, ["lighter_than_cut"]),
    ],
)  # fmt: skip
def test_a_mass_is_asked_about_beyond_either_limit(condition: str, share: float, codes: list[str]) -> None:
    """On both sides of each; what is sawn off a bar or block is solid, what is cut out of sheet has an outline."""
    assert asked(with_part(share * WHOLE_KG, condition=condition)) == codes


@pytest.mark.parametrize("condition", ["cast", "forged", "moulded"])
def test_what_is_not_cut_from_stock_may_be_light(condition: str) -> None:
    """A casting has hollows; heavier than the solid piece it cannot be either."""
    assert asked(with_part(0.2 * WHOLE_KG, condition=condition)) == []
    assert asked(with_part(1.2 * WHOLE_KG, condition=condition)) == ["heavier_than_solid"]


def test_what_nobody_wrote_accuses_nobody() -> None:
    """An assumed mass or size, and a material of unknown density, ask nothing."""
    inquiry = with_part(0.1 * WHOLE_KG)
    part = inquiry.parts[0]
    weightless = replace(part, raw_mass_kg=replace(part.raw_mass_kg, basis="assumed"))
    sizeless = replace(part, raw=replace(part.raw, height_m=replace(part.raw.height_m, basis="assumed")))

    assert asked(inquiry) == ["lighter_than_cut"]
    for each in (weightless, sizeless):
        assert asked(replace(inquiry, parts=(each,))) == []
    assert asked(with_part(0.1 * WHOLE_KG, material="other")) == []


@pytest.mark.parametrize(("share", "codes"), [(0.8, []), (0.41, []), (0.39, ["lighter_than_cut"])])
def test_a_piece_that_is_only_assumed_to_be_sawn_has_the_wider_limit(share: float, codes: list[str]) -> None:
    """Nobody said that it is solid."""
    inquiry = with_part(share * WHOLE_KG)
    part = inquiry.parts[0]
    unsaid = replace(part, condition=replace(part.condition, basis="assumed"))

    assert asked(replace(inquiry, parts=(unsaid,))) == codes


def test_the_words_give_both_masses_the_share_and_what_to_ask() -> None:
    """An assumed material is said to be so, as another one would explain it."""
    (odd,) = odd_solid(with_part(1.0), SOLID)

    assert "1 kg is given" in odd.words
    assert "would weigh 3.01 kg if it were solid: 33% of that" in odd.words
    assert "A sawn piece is solid: is it another material, or a profile, hollow or drilled already?" in odd.words
    assert odd.words.endswith("write that as raw_mass and raw.")
    assert not odd.clash


def test_a_round_piece_is_a_cylinder_less_its_bore() -> None:
    """By the closed form."""
    part: Part = with_part(shape="round").parts[0]
    bore = Fact(id="b", value=0.02, unit="m", basis="given", source="x")

    assert solid_m3(part) == pytest.approx(math.pi / 4 * 0.08**2 * 0.12)
    hollow = replace(part, raw=replace(part.raw, bore_m=bore))
    assert solid_m3(hollow) == pytest.approx(math.pi / 4 * (0.08**2 - 0.02**2) * 0.12)


def test_densities_are_those_of_the_catalogue() -> None:
    """By the words of the materials; what is called other has none."""
    assert SOLID["steel"] == 7850.0
    assert "other" not in SOLID
    assert {f"parts.*.mesh.density@{word}" for word in SOLID} <= assumptions().keys()


SHOWN = [*sorted(Path("examples").glob("*/inquiry.yaml")), Path("tests/data/long.yaml")]


@pytest.mark.parametrize("path", SHOWN, ids=str)
def test_no_example_has_a_mass_that_its_size_contradicts(path: Path) -> None:
    """What we show as an inquiry agrees in itself."""
    assert asked(read_inquiry(path, assumptions())) == []
