"""What a simulation counted, as text that can be kept and read back; a run reads it back even when it was just made."""

import json
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from millhand.model.canonical import canonical
from millhand.model.performance import Alone, Figure, Output

FIGURES = ("parts_per_h", "good_per_h")
FIGURE_MAPS = ("duties", "duty_share", "counts", "by_part", "late_at")


def output_text(output: Output) -> str:
    """The canonical JSON of an output."""
    return canonical(output)


def output_of(text: str) -> Output:
    """The output in a text, its numbers with the 12 digits that were kept."""
    data: dict[str, Any] = json.loads(text)
    known = {field.name for field in fields(Output)}
    if set(data) != known:
        raise ValueError("kept by another version")
    for name in FIGURES:
        data[name] = _figure(data[name])
    for name in FIGURE_MAPS:
        data[name] = {key: _figure(each) for key, each in data[name].items()}
    data["left_out"] = tuple(data["left_out"])
    if data["alone"] is not None:
        data["alone"] = Alone(**(data["alone"] | {"parts": _figure(data["alone"]["parts"])}))
    if data["finished_s"] is not None:
        data["finished_s"] = _figure(data["finished_s"])
    return Output(**data)


def _figure(ends: Mapping[str, float]) -> Figure:
    """A mean with its interval."""
    return Figure(mean=ends["mean"], low=ends["low"], high=ends["high"])
