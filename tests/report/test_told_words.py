"""What the faces' own modules say is told in German: every sentence of them, and every caution that a page may show."""

import re

import pytest

from millhand.report import by_hand, cycle, measured, missed, people_words, placed, servicing, shared_people, two_ways
from millhand.report import tending_words as tending
from millhand.report.drawing import LAYERS
from millhand.report.tongue import tongue

MODULES = (by_hand, cycle, measured, missed, people_words, placed, servicing, shared_people, tending, two_ways)
NO_WORDS = {
    "IN_STEP", "OUTSIDE", "LAYERS", "BY_HAND", "WAITS", "FORMS", "SIGNS", "UNSAID", "USE_HEADS",
}  # fmt: skip  # pieces of other sentences, what is looked at by itself, names, heads of the terminal
LINE_ONLY = {LAYERS["words"], LAYERS["frame"]}  # layers without a line in any legend


def said() -> set[str]:
    """Every text of the modules: constants, and what their tables hold."""
    found: set[str] = set(LAYERS.values()) - LINE_ONLY
    for module in MODULES:
        for name, value in vars(module).items():
            if not name.isupper() or name in NO_WORDS:
                continue
            texts = value.values() if isinstance(value, dict) else [value]
            found |= {one for each in texts for one in (each if isinstance(each, tuple) else [each])
                      if isinstance(one, str)}  # fmt: skip
    return {each for each in found if re.search("[a-z]{3}", each)}


def test_there_is_much_to_tell() -> None:
    """Sentences, heads, legends: the list is made from the modules, not by hand."""
    assert len(said()) > 80
    assert {cycle.CAUTION, placed.FENCE_RULE, tending.LOSS_RULE, servicing.ALIKE} < said()


@pytest.mark.parametrize("text", sorted(said()))
def test_it_has_its_german(text: str) -> None:
    """Whatever a module says, in words that are not its own."""
    own = tongue("de")

    assert own.found(text) not in (None, text)
    assert len(re.findall(r"\d", own.term(text))) == len(re.findall(r"\d", text))
