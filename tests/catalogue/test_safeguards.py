"""Safeguarding as data: every word exists, every choice has its price and its judgement, every task its hazards."""

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Guard, GuardRule, Hazard
from millhand.model.safety import OpenRule
from tests.catalogue.test_words import KNOWN, YES_NO

CATALOGUE = read_catalogue()
SAFEGUARDS = CATALOGUE.safeguards
MORE = KNOWN | {
    "choice": {guard.id for guard in SAFEGUARDS.choices}, "people_pass": YES_NO, "alone": YES_NO,
    "moves": YES_NO, "takes": {change.takes for change in CATALOGUE.hand_changes},
    "fills": {change.fills or "none" for change in CATALOGUE.hand_changes},
}  # fmt: skip
RULES = (*SAFEGUARDS.misfits, *SAFEGUARDS.contact, *SAFEGUARDS.machine)
TASKS = {"loading", "clearing a fault", "refill", "teaching", "cleaning", "changeover"}
NEVER = ("safe ", "safely", "compliant", "compliance")


@pytest.mark.parametrize("rule", [*RULES, *SAFEGUARDS.hazards, *SAFEGUARDS.safety.open], ids=lambda each: each.id)
def test_a_row_asks_for_words_that_exist(rule: GuardRule | Hazard | OpenRule) -> None:
    """Each word that a row names can be asked for, and can have those values."""
    for key, values in rule.when.items():
        assert set(values) <= MORE[key], key


@pytest.mark.parametrize("guard", SAFEGUARDS.choices, ids=lambda each: each.id)
def test_a_choice_has_a_price_a_margin_and_its_judgement(guard: Guard) -> None:
    """Severity, frequency and avoidance are 1 or 2, each with its words and a question."""
    figures = CATALOGUE.components[guard.component].figures

    assert {"price", "margin_m"} <= set(figures)
    assert set(guard.judged) == {"severity", "frequency", "avoidance"} == set(guard.reasons)
    for fact in guard.judged.values():
        assert fact.value in (1.0, 2.0)
        assert fact.question
        assert fact.note


def test_every_task_has_a_hazard_whatever_the_cell() -> None:
    """No task of the list is empty for a cell of which nothing special is known."""
    assert {each.task for each in SAFEGUARDS.hazards} >= TASKS
    assert {each.task for each in SAFEGUARDS.hazards if not each.when} >= TASKS - {"changeover"}


def test_what_rules_contact_out_is_asked_about() -> None:
    """Each obstacle, and each change of the machine's own guarding, has its question."""
    assert all(rule.question for rule in (*SAFEGUARDS.contact, *SAFEGUARDS.machine))
    assert all(each.until for each in (*SAFEGUARDS.machine, *SAFEGUARDS.hazards))
    assert any(rule.kills for rule in SAFEGUARDS.contact)
    assert not all(rule.kills for rule in SAFEGUARDS.contact)


def test_nothing_is_called_harmless() -> None:
    """The words describe and ask; none says that a cell is without risk or meets a rule."""
    words = [rule.words for rule in RULES] + [guard.function for guard in SAFEGUARDS.choices]
    words += [text for each in SAFEGUARDS.hazards for text in (each.hazard, each.ask, each.until)]
    words += [rule.until for rule in SAFEGUARDS.machine]

    assert not [text for text in words if any(word in f"{text} ".lower() for word in NEVER)]
