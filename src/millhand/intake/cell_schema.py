"""The JSON Schema of a cell file, made from the records' own types and limits."""

import dataclasses
import types
import typing
from collections.abc import Callable, Mapping
from typing import Annotated, Any, Literal

from annotated_types import Ge, Gt, Le

from millhand.intake.cell_check_names import ID, MAPS
from millhand.intake.cell_check_numbers import PARAMETERS
from millhand.intake.cell_fields import LARGEST, LONGEST_TEXT, keys_of, required
from millhand.model.cell import CELL_FORMAT, Attendant, Cell, MoveTable, Place, Step
from millhand.model.duty import Trigger
from millhand.model.handling import Element
from millhand.model.limits import hints
from millhand.model.span import Span
from millhand.model.station import Station
from millhand.model.written import CAPACITY, NAMES

Schema = dict[str, Any]
ID_PATTERN = f"^{ID.pattern}$"
BOUNDS = {Ge: ("minimum", "ge"), Gt: ("exclusiveMinimum", "gt"), Le: ("maximum", "le")}


def cell_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the file form of a cell: shapes and limits; the rest is the checker's."""
    schema: Schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"{CELL_FORMAT}: stations served by attendants",
        **object_schema(Cell),
    }
    schema["properties"]["format"] = {"const": CELL_FORMAT}
    schema["required"] = ["format", *schema["required"]]
    for section in MAPS:
        schema["properties"][section]["propertyNames"] = {"pattern": ID_PATTERN}
    kinds = sorted({*record_kinds(Cell)} - {Cell, Place}, key=lambda kind: kind.__name__)
    schema["$defs"] = {kind.__name__: definition(kind) for kind in kinds}
    return schema


def record_kinds(kind: Any) -> typing.Iterator[type]:
    """Every record that can stand inside this one."""
    if isinstance(kind, type) and dataclasses.is_dataclass(kind):
        record: type = kind
        yield record
        for hint in hints(record).values():
            yield from record_kinds(hint)
    for argument in typing.get_args(kind):
        yield from record_kinds(argument)


def definition(kind: type) -> Schema:
    """The schema of one record, described by the first line of its docstring."""
    made = SPECIAL[kind]() if kind in SPECIAL else object_schema(kind)
    return {"description": (kind.__doc__ or "").partition("\n")[0], **made}


def object_schema(kind: type, names: Mapping[str, str] | None = None) -> Schema:
    """A record as an object: its keys, which of them must be there, no others."""
    own = names if names is not None else NAMES.get(kind, {})
    keys = keys_of(kind, own)
    properties = {key: of(hints(kind)[name]) for key, name in keys.items()}
    needed = [key for key, name in keys.items() if required(kind, name)]
    return {"type": "object", "properties": properties, "required": needed, "additionalProperties": False}


def of(hint: Any) -> Schema:
    """The schema of a field's type."""
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return {"anyOf": [of(a) for a in arguments if a is not type(None)] + [{"type": "null"}]}
    if origin is Annotated:
        bounds = (BOUNDS[type(limit)] + (limit,) for limit in arguments[1:])
        return of(arguments[0]) | {word: getattr(limit, name) for word, name, limit in bounds}
    if origin is Literal:
        return {"enum": list(arguments)}
    if origin is tuple:
        return list_schema(arguments)
    if origin is not None and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": of(arguments[1])}
    if hint is Place:
        return object_schema(Place)
    if dataclasses.is_dataclass(hint):
        return {"$ref": f"#/$defs/{typing.cast(type, hint).__name__}"}
    return plain(hint)


def list_schema(arguments: tuple[Any, ...]) -> Schema:
    """A list of one kind of thing, or of exactly so many."""
    if arguments[-1] is Ellipsis:
        return {"type": "array", "items": of(arguments[0])}
    size = len(arguments)
    return {"type": "array", "prefixItems": [of(a) for a in arguments], "minItems": size, "maxItems": size}


def plain(hint: Any) -> Schema:
    """Text, true and false, numbers."""
    if hint is str:
        return {"type": "string", "minLength": 1, "maxLength": LONGEST_TEXT}
    if hint is bool:
        return {"type": "boolean"}
    return {"type": "integer" if hint is int else "number", "minimum": -LARGEST, "maximum": LARGEST}


def span_schema() -> Schema:
    """A bare number, or one of the distributions with its own parameters."""
    fields = {name: of(hint) for name, hint in hints(Span).items()}
    forms: list[Schema] = [of(hints(Span)["mean_s"])]
    for dist, own in PARAMETERS.items():
        properties = {"dist": {"const": dist}, "mean_s": fields["mean_s"]}
        properties |= {name: without_null(fields[name]) for name in own}
        forms.append(
            {
                "type": "object",
                "properties": properties,
                "required": ["dist", "mean_s", *own],
                "additionalProperties": False,
            }
        )
    return {"anyOf": forms}


def without_null(schema: Schema) -> Schema:
    """The schema of a value that must be there."""
    return typing.cast(Schema, schema["anyOf"][0])


def station_schema() -> Schema:
    """A station, or one that is like another; capacity is written unless one part at a time is meant."""
    schema = object_schema(Station)
    schema["properties"]["like"] = {"type": "string"}
    plain_kinds = {"properties": {"kind": {"enum": sorted(CAPACITY)}}}
    schema["anyOf"] = [
        {"required": ["like"]},
        {**plain_kinds, "required": ["kind"]},
        {"required": ["kind", "capacity"]},
    ]
    schema["required"] = []
    return schema


def attendant_schema() -> Schema:
    """An attendant; `moves` is one table or two."""
    schema = object_schema(Attendant)
    text = plain(str)
    both = {"type": "object", "properties": {"full": text, "slow": text}, "required": ["full"]}
    schema["properties"]["moves"] = {"anyOf": [text, {**both, "additionalProperties": False}, {"type": "null"}]}
    return schema


def trigger_schema() -> Schema:
    """A trigger; `every` is a number of parts or a span."""
    parts = object_schema(Trigger, {**NAMES[Trigger], "every": ""})
    parts["properties"]["kind"] = {"const": "parts"}
    others = object_schema(Trigger, {"every_n": ""})
    others["properties"]["kind"] = {"enum": [k for k in typing.get_args(hints(Trigger)["kind"]) if k != "parts"]}
    return {"anyOf": [parts, others]}


def step_schema() -> Schema:
    """A step; `time_s` is one span or one per station."""
    schema = object_schema(Step, {"times_s": ""})
    each = {"type": "object", "additionalProperties": {"$ref": "#/$defs/Span"}}
    schema["properties"]["time_s"] = {"anyOf": [*schema["properties"]["time_s"]["anyOf"], each]}
    return schema


def element_schema() -> Schema:
    """An element, written as a list of three."""
    items = [of(hints(Element)[name]) for name in ("name", "time_s", "side")]
    return {"type": "array", "prefixItems": items, "minItems": 3, "maxItems": 3}


def move_table_schema() -> Schema:
    """A table: places and a square, or an axis; loaded moves as a square or in pairs."""
    schema = object_schema(MoveTable)
    seconds = of(hints(MoveTable)["empty_s"])["items"]["items"]
    pairs = {"type": "object", "additionalProperties": seconds}
    schema["properties"]["loaded_s"] = {"anyOf": [*schema["properties"]["loaded_s"]["anyOf"], pairs]}
    schema["anyOf"] = [{"required": ["places", "empty_s"]}, {"required": ["axis"]}]
    return schema


SPECIAL: Mapping[type, Callable[[], Schema]] = {
    Span: span_schema,
    Station: station_schema,
    Attendant: attendant_schema,
    Trigger: trigger_schema,
    Step: step_schema,
    Element: element_schema,
    MoveTable: move_table_schema,
}
