"""What the records say about their own fields: types, limits, and which numbers are durations."""

import typing
from collections.abc import Mapping
from functools import cache
from typing import Annotated, Any

from millhand.model.cell import AttendantWear, Calendar
from millhand.model.station import Wear


@cache
def hints(record: Any) -> Mapping[str, Any]:
    """The types of a record's fields, limits included."""
    return typing.get_type_hints(record, include_extras=True)


def limits_of(hint: Any) -> tuple[Any, ...]:
    """The limits in a field's type, wherever None may stand beside it."""
    if typing.get_origin(hint) is Annotated:
        return typing.get_args(hint)[1:]
    inner = [limits_of(argument) for argument in typing.get_args(hint)]
    return next((limits for limits in inner if limits), ())


@cache
def field_limits(record: Any, name: str) -> tuple[Any, ...]:
    """The limits of one field of a record's type."""
    return limits_of(hints(record)[name])


@cache
def is_duration(name: str) -> bool:
    """Whether a field's name says seconds (a speed ends on _m_s, the grid itself is none)."""
    return name.endswith("_s") and not name.endswith("_m_s") and name != "grid_s"


def holds_durations(record: Any, name: str) -> bool:
    """Whether this field of this record is a duration, or a list or table of durations."""
    if isinstance(record, Calendar):
        return True
    if isinstance(record, Wear | AttendantWear) and name == "limit":
        return record.unit == "busy_s"
    return is_duration(name)
