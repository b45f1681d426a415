"""A cell with every duration on its grid: rounded half up, once."""

import dataclasses
from collections.abc import Mapping
from typing import Any, TypeVar

from millhand.model.cell import AttendantFault, Cell
from millhand.model.grid import on_grid_s
from millhand.model.limits import holds_durations
from millhand.model.span import Span
from millhand.model.station import Fault

R = TypeVar("R")


def gridded(cell: Cell) -> Cell:
    """The cell with its durations moved to whole grid steps; twice is the same as once.

    The parameters of a distribution stay as they are (its draws are rounded), and so does what is counted in loads.
    """
    return record_on_grid(cell, cell.grid_s)


def record_on_grid(record: R, grid_s: float) -> R:
    """One record with its own durations and those of the records inside it on the grid."""
    names = [each.name for each in dataclasses.fields(record)]  # type: ignore[arg-type]
    return dataclasses.replace(record, **{name: field_on_grid(record, name, grid_s) for name in names})  # type: ignore[type-var]


def field_on_grid(record: Any, name: str, grid_s: float) -> Any:
    """The value of one field, durations on the grid."""
    return placed_on_grid(record, name, getattr(record, name), grid_s)


def placed_on_grid(record: Any, name: str, value: Any, grid_s: float) -> Any:
    """A value for one field of a record, durations on the grid."""
    if isinstance(record, Fault | AttendantFault) and name == "every" and record.on == "load":
        return value
    return value_on_grid(value, grid_s, duration=holds_durations(record, name))


def value_on_grid(value: Any, grid_s: float, *, duration: bool) -> Any:
    """A number, span, list, map or record with its durations on the grid."""
    if isinstance(value, Span):
        return (
            dataclasses.replace(value, mean_s=on_grid_s(value.mean_s, grid_s=grid_s))
            if value.dist == "constant"
            else value
        )
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return record_on_grid(value, grid_s)
    if isinstance(value, tuple):
        return tuple(value_on_grid(item, grid_s, duration=duration) for item in value)
    if isinstance(value, Mapping):
        return {key: value_on_grid(item, grid_s, duration=duration) for key, item in value.items()}
    return on_grid_s(value, grid_s=grid_s) if duration and isinstance(value, float) else value
