"""The form of an inquiry that lacks something: what would be assumed is shown all the same.

The rest is read with stand-ins for what is missing and without what is wrong. Only what comes straight out of the
assumptions is taken from that reading, so that no stand-in is ever shown.
"""

from collections.abc import Mapping
from pathlib import Path

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
    found = paper_of(text, folder, assumptions, ahead)
    if found.inquiry is not None:
        return found
    try:
        facts = facts_meanwhile(text, folder, assumptions, found)
    except Exception:  # a reading with stand-ins is a help only: what it trips over must not hide what was found
        return found
    return paper_of(text, folder, assumptions, ahead, facts) if facts else found


def facts_meanwhile(
    text: str, folder: Path, assumptions: Mapping[str, Assumption], found: Paper
) -> dict[str, Fact | Choice]:
    """What would be assumed, by path, out of a reading with stand-ins; nothing where that cannot be used either."""
    tried = found
    for _ in range(TRIES):
        if tried.inquiry is not None or not tried.sections:
            break
        text = stood_in(text, tried)
        tried = paper_of(text, folder, assumptions)
    return {fact.id: fact for fact in facts_of(tried.inquiry) if is_own(fact)} if tried.inquiry is not None else {}


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
        return text_at(known, "machines.0.name") or STAND_INS["name"]
    if key == "raw":
        return RAW.get(text_at(known, f"{each.path.rpartition('.')[0]}.shape"), "60 x 60 x 60 mm")
    return STAND_INS.get(key, each.entry.example if isinstance(each.entry, Text) else "1")


def text_at(known: Mapping[str, Field], path: str) -> str:
    """What was typed at a path; '' where the form has no such field."""
    each = known.get(path)
    return each.text if each is not None else ""
