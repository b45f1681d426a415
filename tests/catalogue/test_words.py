"""Rules and changes by hand: every word that they use exists."""

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import HandChange, Rule

CATALOGUE = read_catalogue()
KINDS = {"mill", "lathe", "moulding", "press", "other"}
YES_NO = {"yes", "no"}
EFFECTS = {"outside", "inside", "walk", "breaks_lost", "machines_per_operator"}
# The words that rules may ask for: those of an inquiry as its form has them, and those of the choices.
KNOWN = {
    "kind": KINDS,
    "shape": {"prismatic", "round", "flat", "other"},
    "slender": YES_NO,
    "condition": {"sawn", "cast", "forged", "machined", "moulded", "blank"},
    "film": {"dry", "oily", "hot"},
    "arrives": {"ordered", "pallet", "loose"},
    "leaves": {"ordered", "box"},
    "delicate": YES_NO,
    "machines": {"one", "several"},
    "must_move": YES_NO,
    "extra": {"none", "bar_feeder", "pallet_changer"},
    "clamping": {"hand", "powered", "nest", "mould"},
    "door": {"hand", "powered", "none"},
    "spare_machines": YES_NO,
    "operators": {"one", "several"},
    "arm_class": {"force_limited", "fenced"},
    "arm_size": {"too_large", "hopeless", "right"},
    "jaws": {"parallel", "centric", "vacuum"},
    "hands": {"one", "two"},
    "change": {change.id for change in CATALOGUE.hand_changes},
} | {
    kind: {each.id for each in CATALOGUE.components.values() if each.kind == kind}
    for kind in ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding")
}


@pytest.mark.parametrize("rule", CATALOGUE.rules, ids=lambda rule: rule.id)
def test_a_rule_asks_for_words_that_exist(rule: Rule) -> None:
    """A misspelt key or value would never fit, and the rule would be dead."""
    assert rule.words
    for key, values in rule.when.items():
        assert set(values) <= KNOWN[key], key


@pytest.mark.parametrize("change", CATALOGUE.hand_changes, ids=lambda change: change.id)
def test_a_change_by_hand_has_effects_a_price_and_its_machines(change: HandChange) -> None:
    """Effects are known factors with a range; a share of breaks stays below one; machines only grow."""
    assert set(change.kinds) <= KINDS
    assert change.effects.keys() <= EFFECTS
    assert change.effects
    assert change.per in ("machine", "once")
    assert change.price.unit == CATALOGUE.currency
    for effect, fact in change.effects.items():
        assert fact.low is not None
        assert fact.high is not None
        assert 0.0 <= fact.low <= fact.value <= fact.high
        assert effect != "breaks_lost" or fact.high <= 1.0
        assert effect != "machines_per_operator" or fact.low >= 1.0


def test_there_is_a_change_for_every_kind_of_machine() -> None:
    """Whoever asks gets something cheap to compare a cell with."""
    for kind in KINDS:
        assert any(kind in change.kinds for change in CATALOGUE.hand_changes), kind
