"""The form of an inquiry that lacks something: what would be assumed is shown all the same.

The rest is read with stand-ins for what is missing and without what is wrong. Only what comes straight out of the
assumptions is taken from that reading, so that no stand-in is ever shown.
"""

from collections.abc import Mapping
from pathlib import Path

from millhand.errors import InputError
from millhand.intake.fields import Ahead, Field, Paper, paper_of
from millhand.intake.form import Text
from millhand.intake.inquiry_facts import FROM_FILE
from millhand.intake.inquiry_gaps import facts_of
from millhand.intake.yaml_edit import quoted
from millhand.intake.yaml_put import with_value
from millhand.model.fact import Assumption, Choice, Fact

TRIES = 3  # without what is wrong something else may be missing
# Such that they contradict nothing that may be typed beside them.
STAND_INS = {
    "name": "one", "wage": "24 USD/h", "operators": "1", "shifts": "1 x 8 h", "kind": "other", "count": "50",
    "shape": "prismatic", "raw_mass": "1 kg", "lot_size": "1", "orders_per_y": "100000000", "time": "1 s",
    "parts_per_shift": "0.01",
}  # fmt: skip
RAW = {"round": "60 dia x 60 mm"}
SHARE = "a share of"  # begins the note of what is assumed as a share of another figure


def paper_meanwhile(text: str, folder: Path, assumptions: Mapping[str, Assumption], ahead: Ahead) -> Paper:
    """The form of a text; while it cannot be read, with what would be assumed."""
    found = tried = paper_of(text, folder, assumptions, ahead)
    filled = text
    for _ in range(TRIES):
        if tried.inquiry is not None or not tried.sections:
            break
        try:
            filled = stood_in(filled, tried)
        except InputError:
            return found
        tried = paper_of(filled, folder, assumptions)
    if found.inquiry is not None or tried.inquiry is None:
        return found
    facts = {fact.id: fact for fact in facts_of(tried.inquiry) if is_own(fact)}
    return paper_of(text, folder, assumptions, ahead, facts)


def is_own(fact: Fact | Choice) -> bool:
    """Whether a fact is that of a row of the assumptions, whatever else the inquiry says."""
    return fact.basis == "assumed" and fact.source.startswith(FROM_FILE) and not (fact.note or "").startswith(SHARE)


def stood_in(text: str, paper: Paper) -> str:
    """The text with something in each place that must be filled, and nothing where something is wrong."""
    fields = list(paper.all_fields())
    known = {each.path: each for each in fields}
    for each in fields:
        if each.errors:
            text = with_value(text, each.path, "")
        elif each.needed:
            text = with_value(text, each.path, quoted(stand_in(each, known)))
    return text


def stand_in(each: Field, known: Mapping[str, Field]) -> str:
    """What may stand in a field for the time being."""
    key = each.path.rpartition(".")[2]
    if key == "machine":
        return known["machines.0.name"].text
    if key == "raw":
        return RAW.get(known[f"{each.path.rpartition('.')[0]}.shape"].text, "60 x 60 x 60 mm")
    return STAND_INS.get(key, each.entry.example if isinstance(each.entry, Text) else "1")
