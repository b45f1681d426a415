"""What an operator meets at machines that are no mills, as the pages show it: lines, cautions, ratios."""

import json
from dataclasses import replace
from functools import cache

import pytest
from click.testing import CliRunner

from millhand.catalogue.components import read_catalogue
from millhand.cli.main import group
from millhand.formulas import REGISTER
from millhand.model.study import Study
from millhand.report.between_visits import caution, lines
from millhand.report.html import report_html
from millhand.report.study_json import all_facts, study_as_json
from millhand.study import study
from tests.agreement.test_kinds_of_machines import KINDS, inquiry
from tests.few_draws import FEW_DRAWS
from tests.study_checks import wrong_page


@cache
def done(name: str) -> Study:
    """Today and the ways by hand of one kind."""
    return study(inquiry(name), replace(read_catalogue(), components={}), asked=FEW_DRAWS)


@cache
def page(name: str) -> str:
    """What `millhand today` prints of it, on one line."""
    return " ".join(CliRunner().invoke(group, ["today", str(KINDS / f"{name}.yaml")]).stdout.split())


@pytest.mark.xdist_group("kinds")
@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("bar", ["gauge 30 s runs 22 parts", "cycles from one visit to the next 44", "needs nobody for 37 min"]),
        ("press", ["share of the cycle that holds the hands 50 %", "the hands are held for 1 s", "competent people"]),
        ("insert", ["degate 5 s runs each part", "a finished part may stay for 25 s", "taken out in time"]),
    ],
)
def test_today_says_what_was_told_of_the_machine(name: str, words: list[str]) -> None:
    """The figures with what follows from them; where hands are held, the caution beside it."""
    for each in words:
        assert each in page(name)


@pytest.mark.xdist_group("kinds")
@pytest.mark.parametrize("name", ["press", "bar"])
def test_the_report_says_it_too_and_every_digit_leads_somewhere(name: str) -> None:
    """The same lines on the page, each figure marked with its fact; the caution stands where hands are held."""
    found = lines(done(name), all_facts(done(name)))
    shown = report_html(done(name))

    assert found
    assert all(f'data-fact="{line.fact}"' in shown for line in found)
    assert (REGISTER["hands_bound_s"].caution in shown) == (name == "press")
    assert bool(caution(found)) == (name == "press")
    assert wrong_page(shown, json.loads(study_as_json(done(name)))) == []


@pytest.mark.xdist_group("kinds")
def test_parts_that_came_out_late_are_scrap_in_every_figure() -> None:
    """The share taken out in time lies in the quality ratio, and so in the product of all."""
    made = done("insert")
    today = next(result for result in made.results if result.concept.kind == "today")
    assert today.performance is not None
    (use,) = today.performance.uses
    in_time = made.facts["concepts.today.performance.in_time"].value
    facts = {key: fact.value for key, fact in made.facts.items()}

    assert 0.5 < in_time < 1.0
    assert facts[use.quality] == pytest.approx(facts["parts.grip.moulding.good"] * in_time, rel=1e-9)
    assert facts[use.oee] == pytest.approx(facts[use.availability] * facts[use.effectiveness] * facts[use.quality])


@pytest.mark.xdist_group("kinds")
@pytest.mark.parametrize(
    ("name", "ideal_s"), [("insert", 20.0), ("press", 2.0), ("bar", 2225.0 / 44), ("grinder", 27.0)]
)
def test_the_ratios_multiply_up_to_what_is_shipped(name: str, ideal_s: float) -> None:
    """Good parts shipped times the machine's time a part, over its hours of the shift; held hands count as run."""
    made = done(name)
    today = next(result for result in made.results if result.concept.kind == "today")
    assert today.performance is not None
    (use,) = today.performance.uses
    machines, there_s = inquiry(name).machines[0].count.value, made.facts["shifts.covered_h"].value / 5.0 * 3600.0
    shipped = inquiry(name).today.parts_per_shift.value

    assert made.facts[use.oee].value == pytest.approx(shipped * ideal_s / (machines * there_s), rel=0.02)
