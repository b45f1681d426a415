"""One list says what is in the price and what is not: all that other sections name, by the lines of the estimate."""

import re
import tomllib
from dataclasses import replace
from importlib.resources import files
from typing import Any

from millhand.model.estimate import PriceLine
from millhand.report.proposal.records import Joined, Say, Table, Term
from millhand.report.proposal.scope import WHEN, scope, things
from millhand.report.tongue import LANGUAGES, tongue
from tests.report.proposal.test_safety import usual
from tests.report.proposal.test_sections_agree import fact, fenced
from tests.report.proposal.told_proposal import base

OF_PRICE = re.compile(r"(?:not |only )?in the price\b")
NO_THING = {
    "price.within",
    "cost.margin",
    "ask.each",
    "come.in_price",
    "come.own_in_price",
    "terms.held",
}  # of all lines
LISTS = ("excluded.",)
BY_HAND = "the upper end of the mass assumed for such a change"  # of a change by hand, whose estimate says it


def rows(made: Any) -> dict[str, str]:
    """Each thing of the list by its key or words, and whether it is in."""
    table = next(each for each in made.blocks if isinstance(each, Table))
    return {row[0].key if isinstance(row[0], Say) else row[0].text: row[1].key for row in table.rows}


def until_texts() -> list[str]:
    """What the lists of hazards, steps and questions say of the price."""
    found: list[str] = []

    def walk(value: object) -> None:
        """Every text in a table."""
        if isinstance(value, str):
            found.append(value)
        for each in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            walk(each)

    for name in ("safety.toml", "safeguarding.toml"):
        walk(tomllib.loads((files("millhand.catalogue") / "data" / name).read_text(encoding="utf-8")))
    return [each for each in found if OF_PRICE.search(each)]


def test_whatever_a_section_says_of_the_price_stands_in_the_list() -> None:
    """Each text that calls something in or out of the price is named by a row of the list, and each name is a text."""
    said = {each for thing in things() for each in thing.get("said", ())}
    texts = tongue("en").texts
    own = {key for key, text in texts.items() if OF_PRICE.search(text) and not key.startswith(LISTS)}

    assert own - NO_THING <= said
    for text in until_texts():
        assert any(each in text for each in said) or text.startswith(BY_HAND), text
    for each in said:
        assert each in texts or any(each in text for text in until_texts()), each


def test_every_thing_has_words_and_a_condition_that_is_known() -> None:
    """In each language; whoever settles it too."""
    for language in LANGUAGES:
        for thing in things():
            assert tongue(language).text(f"excluded.t_{thing['name']}")
            assert tongue(language).text(f"excluded.who_{thing['who']}")
    assert {one for thing in things() for one in thing.get("when", ())} <= set(WHEN)


def test_a_thing_is_in_when_a_line_of_it_costs_something() -> None:
    """The lifting aid: out in the fixture, in with its line, out again where that line is for nothing."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.estimate is not None
    estimate = ground.subject.estimate

    def with_line(amount: float) -> dict[str, str]:
        """The list once there is such a line."""
        line = PriceLine(id="tray_lift", words="lift", group="equipment", amount=fact("test.lift", amount, "money"))
        made = replace(ground.subject, estimate=replace(estimate, lines=(*estimate.lines, line)))  # type: ignore[type-var]
        return rows(scope(replace(ground, subject=made, facts={**ground.facts, "test.lift": line.amount})))

    told = rows(scope(ground))
    assert told["excluded.t_lifting_aid"] == "excluded.out"
    assert with_line(900.0)["excluded.t_lifting_aid"] == "excluded.in"
    assert with_line(0.0)["excluded.t_lifting_aid"] == "excluded.out"
    assert set(estimate.excluded) <= set(told)


def test_what_a_line_of_hours_does_not_name_is_to_be_confirmed() -> None:
    """Cabinet and programs stand behind hours of engineering, whose words promise neither; a guard is in."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.estimate is not None
    estimate = ground.subject.estimate
    amount = fact("test.hours", 900.0, "money")
    lines = tuple(
        PriceLine(id=each, words=each, group="work", amount=amount) for each in ("work_design", "work_programming")
    )
    made = replace(ground.subject, estimate=replace(estimate, lines=(*estimate.lines, *lines)))
    states = rows(scope(replace(ground, subject=made, facts={**ground.facts, amount.id: amount})))

    assert states["excluded.t_panels"] == states["excluded.t_families"] == "excluded.confirm"
    assert "excluded.in" in states.values()


def test_what_a_cell_does_not_have_is_not_in_its_list() -> None:
    """A fence further out only where the fence is missed; a lock of a gate only where there is one."""
    missed, open_side = rows(scope(fenced(0.01))), rows(scope(usual()))

    assert missed["excluded.t_fence_out"] == "excluded.out"
    assert "excluded.t_fence_out" not in open_side
    assert "excluded.t_platform" not in open_side


def test_a_line_is_named_by_its_words() -> None:
    """What is in says by which line."""
    made = scope(base("long"))
    assert made is not None
    table = next(each for each in made.blocks if isinstance(each, Table))
    held = [row[2] for row in table.rows if isinstance(row[1], Say) and row[1].key == "excluded.in"]
    lines = base("long").subject.estimate.lines  # type: ignore[union-attr]
    words = {each.words for each in lines}

    assert held
    assert all(isinstance(each, Joined) and {one.text for one in each.items if isinstance(one, Term)} <= words
               for each in held)  # fmt: skip
