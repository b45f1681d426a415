"""Stopwatch readings that an element of an inquiry names: read, marked, summed up, fitted, and the normal time."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from statistics import fmean, stdev
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.formulas import REGISTER
from millhand.formulas.fitting import shape_of, triangular_mode_s
from millhand.formulas.statistics import mean_half_width
from millhand.formulas.timestudy import allowance_on_work, inner_fences_s, normal_time_s
from millhand.intake.form_work import READINGS
from millhand.intake.inquiry_evidence import file_trouble
from millhand.intake.inquiry_groups import Spot, entries_at, spot_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.readings_table import Column, column_named, columns_of
from millhand.intake.table_file import Cell
from millhand.intake.text import read_quantity
from millhand.intake.yaml_tree import Scalar
from millhand.model.fact import Fact
from millhand.model.part import Readings
from millhand.model.span import Span

UNIT_S = {"s": 1.0, "min": 60.0, "cmin": 0.6}
FEWEST = 2  # readings without which there is no spread
P10_TO_P90 = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Files:
    """The folder of an inquiry, and what was read of its files of readings; None: it cannot be used, and was told."""

    folder: Path
    read: dict[tuple[str, str], tuple[Column, ...] | None] = field(default_factory=dict)


def readings_of(element: Spot, name: str, files: Files, opened: Opened) -> Readings | None:
    """The readings of one element; None where it names none, or they cannot be used, which is noted."""
    spot = spot_of(READINGS, element, opened)
    if spot.table is None:
        return None
    own = entries_at(READINGS.entries, spot, opened)
    if own["allowance"] is None:
        _without_allowance(spot, own, opened)
    columns = _columns(spot, own, files, opened)
    column = _column(spot, columns, own.pop("column") or name, opened) if columns is not None else None
    if column is None or own["unit"] is None:
        return None
    timed = [(cell.row, seconds) for cell in column.cells if (seconds := _seconds(cell, own["unit"].value, opened))]
    if len(timed) < len(column.cells):
        return None
    if len(timed) < FEWEST:
        read = "one reading" if timed else "no readings"
        opened.bad(column.where, read, f"at least {FEWEST} readings below {column.head!r}", "readings_few")
        return None
    own.pop("sheet")
    return _summed(spot, name, column, timed, own)


def _without_allowance(spot: Spot, own: dict[str, Any], opened: Opened) -> None:
    """That of the people counts, whose convention is theirs: a convention alone says nothing."""
    node = child(spot.table, "allowance_of")
    if node is not None:
        opened.bad_node(node, "the allowance itself beside it, or nothing", "readings_no_allowance")
    own["allowance_of"] = None


def normal_time(readings: Readings, spot: Spot) -> Fact:
    """The normal time of an element: the mean of its readings at a pace that can be kept up."""
    pairs = {"observed_s": readings.mean_s, "rating": readings.rating}
    return computed(spot.place.down("time").id, "normal_time_s", normal_time_s, pairs)


def work_allowance(readings: Readings | None, spot: Spot) -> Fact | None:
    """The element's own allowance as a share of work time; None where it has none of its own."""
    if readings is None or readings.allowance is None or readings.allowance_of is None:
        return None
    if readings.allowance_of.value == "work":
        return readings.allowance
    at = spot.place.down("readings").down("work_allowance_share").id
    return computed(at, "allowance_on_work", allowance_on_work, {"allowance_of_day": readings.allowance})


def computed(fact_id: str, name: str, function: Callable[..., float], pairs: Mapping[str, Fact]) -> Fact:
    """A registered formula of given facts, with the range that each input alone leads to, summed as squares."""
    middle = {key: fact.value for key, fact in pairs.items()}
    value = function(**middle)
    down = up = 0.0
    for key, fact in pairs.items():
        for end in (fact.low, fact.high):
            moved = function(**middle | {key: end}) - value if end is not None else 0.0
            down, up = down + min(0.0, moved) ** 2, up + max(0.0, moved) ** 2
    ranged = down > 0.0 or up > 0.0
    return Fact(
        id=fact_id, value=value, unit=REGISTER[name].unit, basis="computed", source=REGISTER[name].source,
        low=value - math.sqrt(down) if ranged else None, high=value + math.sqrt(up) if ranged else None,
        shape="triangular" if ranged else "point", formula=name,
        inputs=tuple((key, fact.id) for key, fact in pairs.items()), outside=REGISTER[name].outside(middle),
    )  # fmt: skip


def _columns(spot: Spot, own: Mapping[str, Any], files: Files, opened: Opened) -> tuple[Column, ...] | None:
    """The columns of the file that is named, read once however many elements name it."""
    key, node = (own["file"], own["sheet"]), child(spot.table, "file")
    if not own["file"] or node is None:
        return None
    if key not in files.read:
        files.read[key] = None
        trouble = file_trouble(own["file"], files.folder)
        if trouble is not None:
            opened.bad_node(node, trouble[0], trouble[1].replace("evidence", "readings"))
            return None
        try:
            files.read[key] = columns_of(files.folder / own["file"], sheet=own["sheet"], comma=opened.manner.comma)
        except InputErrors as found:
            opened.errors.extend(found.errors)
    return files.read[key]


def _column(spot: Spot, columns: tuple[Column, ...], head: str, opened: Opened) -> Column | None:
    """The column of the element, told where it is not there."""
    column = column_named(columns, head)
    if isinstance(column, InputError):
        node = child(spot.table, "column")
        where = column.where or (node.where if isinstance(node, Scalar) else spot.where)
        opened.errors.append(replace(column, where=where))
        return None
    return column


def _seconds(cell: Cell, unit: str, opened: Opened) -> float | None:
    """One reading in seconds; None, and noted, where it is no time above zero."""
    write = f"a plain number of {unit}, above 0 and at most a day; nothing where it was not timed"
    try:
        number = cell.value if isinstance(cell.value, float) else _number(cell.value, opened)
    except InputError as error:
        opened.bad(
            cell.where, error.read, write if error.code != "ambiguous_number" else error.write, "readings_number"
        )
        return None
    if not 0.0 < number * UNIT_S[unit] <= 86_400.0:
        opened.bad(cell.where, f"{number:g}", write, "readings_number")
        return None
    return number * UNIT_S[unit]


def _number(text: str, opened: Opened) -> float:
    """A plain number without a range."""
    found = read_quantity(text, "number", opened.manner)
    if found.low is not None:
        raise InputError("", text, "one number", "readings_number")
    return found.value


def _summed(
    spot: Spot, name: str, column: Column, timed: list[tuple[int, float]], own: dict[str, Any]
) -> Readings | None:
    """The record with mean, spread, marks and fit; None where one of the options could not be read."""
    if any(own[key] is None for key in ("rating", "precision", "confidence")):
        return None
    rows, values = tuple(row for row, _ in timed), tuple(value for _, value in timed)
    low, high = inner_fences_s(values)
    where = f"{own['file']}, column {column.head}, rows {rows[0]} to {rows[-1]}"
    marked = tuple(row for row, value in timed if not low <= value <= high)
    half, mean = mean_half_width(values, confidence=P10_TO_P90), fmean(values)

    def measured(key: str, value: float, words: str, *, unit: str = "s", width: float = 0.0) -> Fact:
        return Fact(
            id=spot.place.down(key).id, value=value, unit=unit, basis="measured", source=where,
            low=max(value - width, min(values)) if width else None, high=value + width if width else None,
            shape="triangular" if width else "point", title=f"{words} ({name.replace('_', ' ')})",
        )  # fmt: skip

    return Readings(
        **own, column=column.head, rows=rows, values_s=values,
        marked=marked, out_of_line=measured("out_of_line", float(len(marked)), "readings out of line", unit="1"),
        readings=measured("readings", float(len(values)), "readings", unit="1"),
        mean_s=measured("mean", mean, "mean of the readings", width=half),
        deviation_s=measured("deviation", stdev(values), "standard deviation of the readings"),
        fit=fit_of(values),
    )  # fmt: skip


def fit_of(values: tuple[float, ...]) -> Span:
    """The distribution that a draw of these readings follows; its mean is theirs."""
    mean, shape = fmean(values), shape_of(values)
    if shape == "lognormal":
        return Span(dist="lognormal", mean_s=mean, cv=stdev(values) / mean)
    if shape == "triangular":
        mode = triangular_mode_s(values)
        return Span(dist="triangular", mean_s=mean, low_s=min(values), mode_s=mode, high_s=max(values))
    return Span(dist="empirical", mean_s=mean, values_s=values) if shape == "empirical" else Span(mean_s=mean)
