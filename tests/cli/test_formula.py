"""`millhand formula`: the list, the explanation, the value, and the words for what cannot be used."""

import json

import pytest
from click.testing import CliRunner, Result

from millhand.cli.main import group
from millhand.formulas import REGISTER


def run(*words: str) -> Result:
    """The command with these words."""
    return CliRunner().invoke(group, ["formula", *words])


def test_the_list_has_every_formula_once() -> None:
    """Each registered name with its unit, below its subject."""
    lines = run().output.splitlines()

    names = [line.split()[0] for line in lines if line.startswith("  ")]
    assert sorted(names) == sorted(REGISTER)
    assert "worker machine" in lines


def test_an_explanation_gives_units_range_source_and_caution() -> None:
    """What a reader needs before he uses a figure."""
    text = run("contact_speed_m_s").output

    assert "contact_speed_m_s [m/s]" in text
    assert "  moving_kg [kg], valid from 0 up" in text
    assert "source: isots15066, annex A, tables A.2 and A.3" in text
    assert "caution: An aid for concept work." in text


def test_values_take_units_and_short_names() -> None:
    """750 mm are 0.75 m; what was understood stands beside the result."""
    result = run("move_time_s", "distance=750mm", "speed_m_s=60 m/min", "accel=2.5 m/s2")

    assert result.exit_code == 0
    assert result.output == (
        "distance_m = 0.75 m\nspeed_m_s = 1 m/s\naccel_m_s2 = 2.5 m/s2\nmove_time_s = 1.15 s\n"
        "source: siciliano2009, sec. 4.2.1\n"
    )


def test_several_numbers_stand_between_commas() -> None:
    """A row of flows, below zero too."""
    assert "simple_payback_y = 2.1 y\n" in run("simple_payback_y", "flows=-85,35,45,50").output


def test_words_and_yes_or_no_are_taken() -> None:
    """A table's word, and a statement."""
    assert "opening_distance_m = 0.12 m\n" in run("opening_distance_m", "opening=15 mm", "shape=slot").output
    assert (
        "covered = no\nseparation_2010_two_hand_m = 0.65 m\n"
        in run("separation_2010_two_hand_m", "stopping=250 ms", "covered=no").output
    )


def test_percent_money_and_time_per_minute_are_turned_into_the_formulas_units() -> None:
    """Shares may be written in percent, amounts with a currency, rates by the hour."""
    assert "loaded_wage_per_h = 33 money/h\n" in run("loaded_wage_per_h", "wage=25 USD/h", "on_cost_share=32 %").output
    assert (
        "work_min = 8 min\nadjusted_frequency_per_min = 5.33333333 1/min\n"
        in run("adjusted_frequency_per_min", "lifts=600 /h", "work=480 s").output
    )


def test_json_holds_full_digits_and_a_reason_instead_of_infinity() -> None:
    """Machines get the inputs, the value or null with the reason, and the source."""
    found = json.loads(run("simple_payback_y", "flows=-100,5,5", "--json").output)
    known = json.loads(run("annuity_factor", "rate=0.08", "years=10", "--json").output)

    assert (found["value"], found["why_none"]) == (None, "none: no finite value meets it")
    assert known["value"] == pytest.approx(6.71008139894, abs=1e-11)
    assert {each["name"] for each in json.loads(run("--json").output)} == set(REGISTER)


def test_a_value_outside_the_valid_range_is_flagged() -> None:
    """It is computed, and the reader is told."""
    text = run("wright_interference", "machines=4", "run_to_service=20").output

    assert "outside what the formula is valid for: machines = 4, valid from 7 up\n" in text


@pytest.mark.parametrize(
    ("words", "trouble"),
    [
        (
            ["move_time_s", "distance=5kg", "speed=1", "accel=1"],
            "formula move_time_s: distance_m: read '5kg'; write a position, such as 3.2 m or -400 mm.",
        ),
        (
            ["move_time_s", "spedd=3", "distance=1", "accel=1 g"],
            "formula move_time_s: read 'spedd=3'; write name=value with one of distance_m, speed_m_s, accel_m_s2.\n"
            "formula move_time_s: read 'nothing'; write speed_m_s=... [m/s].\n"
            "formula move_time_s: accel_m_s2: read '1 g'; write a number in m/s2.",
        ),
        (
            ["annuity_factor", "rate=0.1", "rate=0.2", "years=3"],
            "formula annuity_factor: read 'rate=0.2'; write rate once.",
        ),
        (
            ["separation_2010_curtain_m", "stopping=0.2", "resolution=50mm"],
            "formula separation_2010_curtain_m: read 'stopping=0.2 resolution=50mm'; write values that the formula "
            "covers: a curtain coarser than 40 mm needs separation_2010_coarse_curtain_m.",
        ),
        (
            ["contact_speed_m_s", "region=knee", "moving=20", "payload=3"],
            "formula contact_speed_m_s: read 'region=knee moving=20 payload=3'; write a word that the formula's table "
            "knows, not 'knee'.",
        ),
        (
            ["readings_needed", "deviation=2.1", "error=0", "quantile=2"],
            "formula readings_needed: read 'deviation=2.1 error=0 quantile=2'; write values for which the formula is "
            "defined; 'millhand formula NAME' says which.",
        ),
        (
            ["separation_2010_two_hand_m", "stopping=0.2", "covered=perhaps"],
            "formula separation_2010_two_hand_m: covered: read 'perhaps'; write yes or no.",
        ),
    ],
)
def test_what_cannot_be_used_is_named_with_its_cure(words: list[str], trouble: str) -> None:
    """Exit 2; everything that is wrong at once, each with what to write."""
    result = run(*words)

    assert result.exit_code == 2
    assert result.stderr == trouble + "\n"


def test_an_unknown_name_is_answered_with_the_nearest() -> None:
    """A slip of the pen is cured by the words; nothing near asks for the list."""
    near, far = run("move_tim"), run("zzzz")

    assert near.exit_code == far.exit_code == 2
    assert near.stderr.startswith("formula: read 'move_tim'; write a name of the list, such as move_time_s")
    assert far.stderr == "formula: read 'zzzz'; write a name that 'millhand formula' lists.\n"
