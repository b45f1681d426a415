"""Rules and changes by hand: every word that they use exists."""

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.intake.form_part import MATERIALS
from millhand.model.catalogue import HandChange, OptionRule, Rule

CATALOGUE = read_catalogue()
KINDS = {"mill", "lathe", "moulding", "press", "grinder", "other"}
YES_NO = {"yes", "no"}
EFFECTS = {
    "outside", "inside", "walk", "process", "setup", "breaks_lost", "moved", "machines_per_operator",
    "machines_per_helper", "parts_per_load", "bound",
}  # fmt: skip
FROM_ONE = {"machines_per_operator", "machines_per_helper", "parts_per_load"}
SHARES = {"breaks_lost", "moved"}
# The words that rules may ask for: those of an inquiry as its form has them, and those of the choices.
KNOWN = {
    "kind": KINDS,
    "shape": {"prismatic", "round", "flat", "other"},
    "slender": YES_NO,
    "bar": {"thick", "usual"},
    "material": set(MATERIALS),
    "bore": {"none", "yes"},
    "light": YES_NO,
    "condition": {"sawn", "cast", "forged", "machined", "moulded", "blank"},
    "film": {"dry", "oily", "hot"},
    "arrives": {"ordered", "pallet", "loose"},
    "leaves": {"ordered", "box"},
    "delicate": YES_NO,
    "machines": {"one", "several"},
    "must_move": YES_NO,
    "from_above": YES_NO,
    "extra": {"none", "bar_feeder", "pallet_changer"},
    "clamping": {"hand", "powered", "nest", "mould"},
    "door": {"hand", "powered", "none"},
    "spare_machines": YES_NO,
    "operators": {"one", "several"},
    "operations": {"one", "several"},
    "sides": {"one", "two_vises", "lot_by_lot"},
    "per_load": {"one", "several"},
    "long": YES_NO,
    "lots": {"one", "several"},
    "changes": {"often", "seldom"},
    "breaks": YES_NO,
    "own_machines": YES_NO,
    "break_cover": {"none", "each_other", "relief"},
    "shifts": {"one", "several"},
    "late_heads": {"one", "several"},
    "feeds": YES_NO,
    "inserts": YES_NO,
    "degating": YES_NO,
    "gauging": YES_NO,
    "to_move": YES_NO,
    "for_helper": {"nothing", "too_much", "fits"},
    "arm_class": {"force_limited", "fenced"},
    "arm_form": {"six_axes", "flat", "ram"},
    "arm_size": {"ample", "too_large", "hopeless", "right"},
    "jaws": {"parallel", "centric", "vacuum", "inside", "magnet", "adaptive"},
    "hands": {"one", "two"},
    "row": {"short", "long"},
    "asks": {"often", "seldom"},
    "change": {change.id for change in CATALOGUE.hand_changes},
} | {
    kind: {each.id for each in CATALOGUE.components.values() if each.kind == kind}
    for kind in ("presenter", "outfeed", "mount", "arm", "gripper", "safeguarding", "sharing")
}
KNOWN["sharing"] |= {"one_arm"}
KNOWN["works"] = {"none", "some"}
KNOWN |= {f"{each.id}_by": {"arm"} for each in CATALOGUE.components.values() if each.kind == "work"}


@pytest.mark.parametrize("rule", CATALOGUE.rules, ids=lambda rule: rule.id)
def test_a_rule_asks_for_words_that_exist(rule: Rule) -> None:
    """A misspelt key or value would never fit, and the rule would be dead."""
    assert rule.words
    for key, values in rule.when.items():
        assert set(values) <= KNOWN[key], key


@pytest.mark.parametrize("option", CATALOGUE.options, ids=lambda option: option.id)
def test_an_option_is_a_component_and_asks_for_words_that_exist(option: OptionRule) -> None:
    """It has a price, a reason, and words of its element where it takes time."""
    component = CATALOGUE.components[option.id]

    assert (component.kind, option.per in ("machine", "cell")) == ("extra", True)
    assert option.words
    assert "price" in component.figures
    assert ("each_s" in component.figures) == ("element" in component.words)
    for key, values in option.when.items():
        assert set(values) <= KNOWN[key], key


@pytest.mark.parametrize("change", CATALOGUE.hand_changes, ids=lambda change: change.id)
def test_a_change_by_hand_has_effects_a_price_and_its_machines(change: HandChange) -> None:
    """Something changes; effects are known, with a range, or whole numbers; what is assumed has its question."""
    assert set(change.kinds) <= KINDS
    assert change.effects.keys() <= EFFECTS
    assert change.effects or change.hours
    assert change.question.endswith("?")
    assert change.per in ("machine", "family", "once")
    assert change.price.unit == CATALOGUE.currency
    assert ("moved" in change.effects) == bool(change.steps)
    for effect, fact in change.effects.items():
        low, high = (fact.value if end is None else end for end in (fact.low, fact.high))
        assert fact.low is not None or fact.value == round(fact.value)
        assert 0.0 <= low <= fact.value <= high
        assert effect not in SHARES or high <= 1.0
        assert effect not in FROM_ONE or low >= 1.0
        assert fact.question == change.question


def test_there_is_a_change_for_every_kind_of_machine() -> None:
    """Whoever asks gets something cheap to compare a cell with."""
    for kind in KINDS:
        assert any(kind in change.kinds for change in CATALOGUE.hand_changes), kind
