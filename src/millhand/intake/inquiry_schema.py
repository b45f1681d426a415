"""The JSON Schema of an inquiry, made from the description of its form, for editors and checkers.

The schema holds shapes: keys, words, what looks like a quantity. Units, limits and contradictions are the reader's.
"""

from collections.abc import Iterator
from typing import Any

from millhand.intake.form import Entry, Group, Number, Several, Text, Word
from millhand.intake.form_part import PARTS
from millhand.intake.form_shop import ANSWERED, JUDGED, SHIFTS
from millhand.intake.form_work import ELEMENTS, INQUIRY
from millhand.intake.inquiry_facts import SHAPES, WRITTEN_BASES
from millhand.intake.units import DIMENSIONS
from millhand.model.inquiry import INQUIRY_FORMAT

SCHEMA_ID = "urn:millhand:inquiry:1"
SHORT_SHIFTS = r"^\s*(?:assumed\s+)?[0-9].*$"


def inquiry_schema() -> dict[str, Any]:
    """The schema of the format millhand-inquiry/1 (draft 2020-12)."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        "title": INQUIRY_FORMAT,
        "description": "An inquiry about robot loading. Numbers carry their unit, ranges stand in brackets.",
        **table(INQUIRY.entries),
        "$defs": {"text": TEXT, "plain": PLAIN, "beside": BESIDE, "yes_no": YES_NO},
    }


TEXT = {"type": "string", "pattern": "[0-9]", "description": "a number with its unit, such as 45 s (30 s to 70 s)"}
PLAIN = {"anyOf": [{"type": "number"}, {"$ref": "#/$defs/text"}]}
ANY = {"type": ["string", "number", "boolean"]}
YES_NO = {"anyOf": [{"enum": ["yes", "no", "assumed yes", "assumed no"]}, {"type": "boolean"}]}
BESIDE = {
    "type": "object",
    "required": ["value"],
    "properties": {
        "value": {},
        "low": {"$ref": "#/$defs/plain"},
        "high": {"$ref": "#/$defs/plain"},
        "basis": {"enum": list(WRITTEN_BASES)},
        "shape": {"enum": list(SHAPES)},
        "source": {"type": "string"},
        "evidence": {"type": "string"},
        "note": {"type": "string"},
    },
    "additionalProperties": False,
}  # fmt: skip


def table(entries: tuple[Entry, ...]) -> dict[str, Any]:
    """An object with exactly these keys."""
    found: dict[str, Any] = {"type": "object", "properties": dict(properties(entries)), "additionalProperties": False}
    needed = [entry.key for entry in entries if entry.gap == "ask"]
    return found | ({"required": needed} if needed else {})


def properties(entries: tuple[Entry, ...]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Each key with the schema of its value and the words about it."""
    for entry in entries:
        yield entry.key, {"description": entry.help} | shape(entry)


def shape(entry: Entry) -> dict[str, Any]:
    """The schema of one entry's value."""
    if isinstance(entry, Number):
        kind = DIMENSIONS[entry.dimension]
        plain = "" in kind.units or entry.bare or kind.bare
        bare = {"$ref": "#/$defs/plain"} if plain else {"$ref": "#/$defs/text"}
        return {"anyOf": [bare, {"$ref": "#/$defs/beside"}]}
    if isinstance(entry, Word):
        return {"anyOf": [word(entry), {"$ref": "#/$defs/beside"}]}
    if isinstance(entry, Text):
        text = {"type": "string", "pattern": f"^(?:{entry.pattern})$"}
        return {"anyOf": [text, {"type": "array", "items": text}]} if entry.many else text
    if entry is ANSWERED:
        return {"type": "object", "additionalProperties": {"anyOf": [ANY, {"$ref": "#/$defs/beside"}]}}
    if isinstance(entry, Group):
        return one_of_short({"type": "string"}, table(entry.entries), entry.short)
    return several(entry)


def word(entry: Word) -> dict[str, Any]:
    """The words that may stand, each also as an assumed one; yes and no also as an editor's true and false."""
    if entry.options == ("yes", "no"):
        return {"$ref": "#/$defs/yes_no"}
    assumed = (f"assumed {each}" for each in entry.options)
    return {"enum": [*entry.options, *(("unknown",) if entry.unknown else ()), *assumed]}


def several(entry: Several) -> dict[str, Any]:
    """A list of tables, or its short form; judgements may also be a map by path."""
    items: dict[str, Any] = {"type": "array", "items": table(entry.entries)}
    if entry is ELEMENTS:
        items["items"] |= {"oneOf": [{"required": ["time"]}, {"required": ["readings"]}]}
    if entry is PARTS:
        items["items"]["required"] = [key for key in items["items"]["required"] if key not in ("raw", "raw_mass")]
        items["items"] |= {"anyOf": [{"required": ["raw", "raw_mass"]}, {"required": ["mesh", "mesh_unit"]}]}
    if entry is JUDGED:
        value = {"value": {}, "reason": {"type": "string"}}
        one = {"type": "object", "properties": value, "required": list(value), "additionalProperties": False}
        listed = {"path": {"type": "string"}} | value
        row = {"type": "object", "properties": listed, "required": list(listed), "additionalProperties": False}
        return {"anyOf": [{"type": "object", "additionalProperties": one}, {"type": "array", "items": row}]}
    short = {"type": "string", "pattern": SHORT_SHIFTS} if entry is SHIFTS else {"type": "string", "pattern": "[0-9]"}
    return one_of_short(short, items, entry.short)


def one_of_short(short: dict[str, Any], long: dict[str, Any], example: str) -> dict[str, Any]:
    """The long form, and the short one beside it where there is one."""
    return {"anyOf": [short | {"examples": [example]}, long]} if example else long
