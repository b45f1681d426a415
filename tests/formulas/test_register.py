"""The register: units by names, limits in words, what lies outside."""

import math

import pytest

from millhand.formulas import REGISTER
from millhand.formulas.register import Formula, formula, limits_words, unit_of


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("move_time_s", "s"),
        ("speed_m_s", "m/s"),
        ("loaded_wage_money_per_h", "money/h"),
        ("floor_area_m2", "m2"),
        ("simple_payback_y", "y"),
        ("usable_share", "1"),
        ("machines", "1"),
    ],
)
def test_a_name_ends_on_its_unit(name: str, unit: str) -> None:
    """The longest ending counts; a plain word has no unit."""
    assert unit_of(name) == unit


def test_what_lies_outside_is_said_with_value_and_limits() -> None:
    """Both ends belong to the range; text and missing inputs are left alone."""
    formula = REGISTER["wright_interference"]

    assert formula.outside({"machines": 6, "run_to_service": 20.0}) == ("machines = 6, valid from 7 up",)
    assert formula.outside({"machines": 7, "run_to_service": 0.0}) == ("run_to_service = 0, valid above 0",)
    assert formula.outside({"machines": 7}) == ()


def test_limits_in_words() -> None:
    """Open ends are said as such."""
    assert limits_words(0.0, 1.0) == "valid from 0 to 1"
    assert limits_words(math.ulp(0.0), math.inf) == "valid above 0"


@pytest.mark.parametrize("formula", REGISTER.values(), ids=REGISTER)
def test_every_parameter_after_the_first_is_named(formula: Formula) -> None:
    """No two numbers can change places unseen."""
    code = formula.function.__code__

    assert code.co_argcount <= 1
    assert formula.words.endswith((".", "]", "]."))


HARMFUL = (
    "beam", "contact", "derating", "endurance", "flange", "friction", "grip", "jaws", "lifting",
    "lifting_frequency", "lifting_tasks", "pushing", "separation", "stand", "track", "unattended", "vacuum",
)  # fmt: skip


@pytest.mark.parametrize("formula", REGISTER.values(), ids=REGISTER)
def test_a_figure_that_could_hurt_carries_its_caution(formula: Formula) -> None:
    """Distances, speeds near people, lifting, gripping and running alone defer to those who may decide."""
    if formula.function.__module__.rpartition(".")[2] in HARMFUL:
        assert "aid for concept work" in formula.caution
        assert any(word in formula.caution for word in ("risk assessment", "competent persons")), formula.name


def test_two_formulas_of_one_name_are_refused() -> None:
    """The one that is there already is named, and stays."""

    def move_time_s(distance_m: float) -> float:
        return distance_m

    kept = REGISTER["move_time_s"]
    told = rf"{__name__}: move_time_s is a formula of millhand\.formulas\.motion already; call that one"
    with pytest.raises(ValueError, match=told):
        formula(source="own_computation, a test")(move_time_s)

    assert REGISTER["move_time_s"] is kept
