"""The JSON Schema of study.json, read off the records themselves, so that the two cannot differ."""

import dataclasses
import types
import typing
from collections.abc import Mapping
from typing import Any, Literal, Union

from annotated_types import Ge, Gt, Le, Lt

from millhand.model.cell import Cell
from millhand.model.fact import Choice, Fact
from millhand.model.study import STUDY_FORMAT, Study

LIMITS = {Ge: ("minimum", "ge"), Gt: ("exclusiveMinimum", "gt"), Le: ("maximum", "le"), Lt: ("exclusiveMaximum", "lt")}
SCALARS: Mapping[Any, dict[str, Any]] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    float: {"type": "number"},
    types.NoneType: {"type": "null"},
}
# Keys that files of this number lack where they were written before: record, and the names of its keys.
ADDED_LATER: Mapping[str, str] = {
    "Study": "acceptance part_mix copy maps",
    "Acceptance": "both_chance shifts",
    "Decision": "tradeoff introduction orders part_limits offers",
    "PartMix": "needed_sets",
    "Performance": "waits phases",
    "Result": "phases",
    "Estimate": "past prices_of",
    "Inquiry": "part_list only correlations concepts",
    "Operation": "passes phases",
    "Machine": "shared",
    "Concept": "sharing wish pinned",
    "Dropped": "wish",
    "Funnel": "left_out added",
    "People": "freed other_cells",
    "PeopleTime": "busy cells post",
    "Reach": "joined",
    "Distance": "end",
    "Safeguarding": "answers",
    "SafetyAnswers": "hazards open general",
    "SafetyFunction": "assumed",
    "Brought": "write until",
    "HazardAt": "until",
    "Question": "until",
    "ByHand": "mass_kg asks",
    "Wishes": "floor_load_pa aisle_m by_arm floor_sides",
    "Layout": "outline",
    "Today": "tool_change_s",
}
ADDED = frozenset(f"{record}.{name}" for record, names in ADDED_LATER.items() for name in names.split())
FACT_ID = {"$ref": "#/$defs/fact_id"}
CHOICE_ID = {"$ref": "#/$defs/choice_id"}
CELL = {
    "type": "object",
    "properties": {
        "hash": {"type": "string", "pattern": "^[0-9a-f]{16}$"},
        "file": {"type": "string", "pattern": "^cells/[^/]+\\.json$"},
    },
    "required": ["hash", "file"],
    "additionalProperties": False,
}


def study_schema() -> dict[str, Any]:
    """Draft 2020-12. Every key is named and none may be added; an absent thing is null.

    None may be left out either, but those that came after the first files of this number.
    """
    defs: dict[str, Any] = {
        "fact_id": {"type": "string", "minLength": 1, "description": "A key of facts."},
        "choice_id": {"type": "string", "minLength": 1, "description": "A key of choices."},
        "cell": CELL,
    }
    top = record_schema(Study, defs)
    for name, record in (("facts", Fact), ("choices", Choice)):
        defs[record.__name__] = record_schema(record, defs)
        top["properties"][name] = {"type": "object", "additionalProperties": {"$ref": f"#/$defs/{record.__name__}"}}
    top["properties"]["format"] = {"const": STUDY_FORMAT}
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": STUDY_FORMAT, "title": STUDY_FORMAT}
    return {**head, **top, "$defs": {name: defs[name] for name in sorted(defs)}}


def record_schema(record: type, defs: dict[str, Any]) -> dict[str, Any]:
    """An object with exactly the record's fields."""
    hints = typing.get_type_hints(record, include_extras=True)
    names = [field.name for field in dataclasses.fields(record)]
    return {
        "description": (record.__doc__ or "").partition("\n")[0],
        "type": "object",
        "properties": {name: hint_schema(hints[name], defs) for name in names},
        "required": [name for name in names if f"{record.__name__}.{name}" not in ADDED],
        "additionalProperties": False,
    }


def hint_schema(hint: Any, defs: dict[str, Any]) -> dict[str, Any]:
    """What a field's type allows."""
    if hint in SCALARS:
        return dict(SCALARS[hint])
    if hint in (Fact, Choice, Cell):
        return {Fact: FACT_ID, Choice: CHOICE_ID, Cell: {"$ref": "#/$defs/cell"}}[hint]
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        if hint.__name__ not in defs:
            defs[hint.__name__] = {}  # a record inside itself finds its place
            defs[hint.__name__] = record_schema(hint, defs)
        return {"$ref": f"#/$defs/{hint.__name__}"}
    return composed_schema(hint, defs)


def composed_schema(hint: Any, defs: dict[str, Any]) -> dict[str, Any]:
    """What a type made of other types allows."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Annotated:
        return hint_schema(inner[0], defs) | limits_schema(inner[1:])
    if origin is Literal:
        return {"enum": list(inner)}
    if origin in (Union, types.UnionType):
        return {"anyOf": [hint_schema(each, defs) for each in inner]}
    if origin is tuple:
        return tuple_schema(inner, defs)
    if origin in (Mapping, dict) or (origin is not None and issubclass(origin, Mapping)):
        return {"type": "object", "additionalProperties": hint_schema(inner[1], defs)}
    raise TypeError(f"{hint} has no place in a study")


def tuple_schema(inner: tuple[Any, ...], defs: dict[str, Any]) -> dict[str, Any]:
    """A list of alike things, or one of a fixed length."""
    if len(inner) == 2 and inner[1] is ...:
        return {"type": "array", "items": hint_schema(inner[0], defs)}
    return {
        "type": "array",
        "prefixItems": [hint_schema(each, defs) for each in inner],
        "items": False,
        "minItems": len(inner),
    }


def limits_schema(limits: tuple[Any, ...]) -> dict[str, Any]:
    """The limits of a field in the schema's words."""
    return {LIMITS[type(limit)][0]: getattr(limit, LIMITS[type(limit)][1]) for limit in limits if type(limit) in LIMITS}
