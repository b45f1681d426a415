"""Where the answer turns: each figure alone, the nearest first, in the figure's own unit, on the page about money."""

import re
from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report.marks import marks_of
from millhand.report.pages import study_pages
from millhand.report.turning import turning_facts, turning_rows
from tests.report.fixture_study import ARM, study

TOP = f"decision.meets_hurdle.{ARM}"
WAGE, BACK = "people.wage", "decision.meets_hurdle.other.people.wage.turns_at"


def turned() -> Study:
    """The small study with figures at which its answer turns: the price nearer than the wage."""
    base = study()
    price = next(each.estimate.installed for each in base.results if each.concept.id == ARM and each.estimate)

    def fact(name: str, value: float, unit: str, source: str) -> Fact:
        return Fact(id=name, value=value, unit=unit, basis="computed", source="by hand", inputs=(("lever", source),))

    found = [
        fact(f"{TOP}.wage.turns_at", base.facts[WAGE].value / 2, base.facts[WAGE].unit, WAGE),
        fact(f"{TOP}.wage.change", -0.5, "1", WAGE),
        fact(f"{TOP}.price.turns_at", 150_000.0, "money", price),
        fact(f"{TOP}.price.change", 0.2, "1", price),
        fact(BACK, 1.0, base.facts[WAGE].unit, WAGE),
    ]
    return replace(base, facts={**base.facts, **{each.id: each for each in found}})


def plain(markup: str) -> str:
    """Words without their marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", markup)).strip()


def test_the_nearest_comes_first_and_other_concepts_stay_out() -> None:
    """By how far each lies from what is counted with."""
    found = turning_facts(turned().facts, ARM)

    assert [each.id for each in found] == [f"{TOP}.price.turns_at", f"{TOP}.wage.turns_at"]


def test_each_row_speaks_in_the_unit_of_its_figure() -> None:
    """A price by its name, a wage by its title, both leading to their facts."""
    one = turned()
    rows = turning_rows(one, marks_of(one))

    assert plain(rows[0].name) == "installed price"
    assert plain(rows[0].at) == "150 000 USD"
    assert plain(rows[1].counted).endswith("USD an hour")
    assert f'data-fact="{TOP}.wage.turns_at"' in rows[1].at


def test_the_page_about_money_has_turns_range_and_what_is_worth_knowing() -> None:
    """Beside each other; a study without such figures has no rows."""
    money = study_pages(turned(), text="{}")["money"]
    page = plain(money)

    assert turning_rows(study(), marks_of(study())) == ()
    assert "150 000 USD" in page
    assert "one in ten below" in page
    assert "Worth knowing first" in page
    assert 'href="sureness#sureness"' in money
