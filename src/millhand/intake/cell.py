"""Cell files: JSON of the format millhand-cell/1 to a Cell, with every error at once and in words."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.intake.cell_check import check_cell
from millhand.intake.cell_fields import Reading, pointer, record, which
from millhand.intake.cell_forms import SPECIAL
from millhand.intake.cell_moves import expanded
from millhand.intake.cell_text import json_file
from millhand.intake.upgrade.cell import CELL_UPGRADES
from millhand.intake.upgrade.chain import upgraded
from millhand.model.cell import Cell
from millhand.model.gridded import gridded


def read_cell(path: Path) -> Cell:
    """The cell in a file; InputErrors with every error at once where it cannot be used."""
    return cell_from(json_file(path), where=f"{path.name}#")


def cell_from(data: Mapping[str, Any], where: str = "") -> Cell:
    """The cell in a JSON object; `where` stands before the pointer of every error."""
    newest = upgraded(data, family="millhand-cell", steps=CELL_UPGRADES)
    if isinstance(newest, InputError):
        raise InputErrors(placed([newest], where))
    reading = Reading(special=SPECIAL)
    cell = record(Cell, with_like(newest, reading), "", reading)
    if isinstance(cell, Cell):
        moves = {name: expanded(t, cell.places, pointer("/moves", name), reading) for name, t in cell.moves.items()}
        cell = gridded(replace(cell, moves=moves))
    if not isinstance(cell, Cell) or any(error.code != "unknown_key" for error in reading.errors):
        raise InputErrors(placed(once(reading.errors, newest), where))
    errors = once([*reading.errors, *check_cell(cell)], newest)
    if errors:
        raise InputErrors(placed(errors, where))
    return cell


def placed(errors: Iterable[InputError], where: str) -> tuple[InputError, ...]:
    """The errors with the file's name before their pointers."""
    return tuple(replace(error, where=f"{where}{error.where}") for error in errors)


def once(errors: Iterable[InputError], data: Mapping[str, Any]) -> list[InputError]:
    """The errors without those that `like` copied: what is wrong in a copied field is said where it is written."""
    stations = data.get("stations")
    own = stations if isinstance(stations, dict) else {}
    return [error for error in errors if written_there(error.where.split("/"), own)]


def written_there(way: list[str], stations: Mapping[str, Any]) -> bool:
    """Whether a pointer, split at its slashes, leads to a field that the station itself writes."""
    if len(way) < 4 or way[1] != "stations":
        return True
    raw = stations.get(way[2])
    return not isinstance(raw, dict) or way[3] in raw or not isinstance(raw.get("like"), str)


def with_like(data: dict[str, Any], reading: Reading) -> dict[str, Any]:
    """The object with `like` of its stations carried out: the other's fields, own ones win."""
    stations = data.get("stations")
    if not isinstance(stations, dict):
        return data
    return {**data, "stations": {name: merged(name, stations, reading) for name in stations}}


def merged(name: str, stations: Mapping[str, Any], reading: Reading) -> Any:
    """One raw station with the fields of the one that it is like, and of that one's like, and so on."""
    own, seen = stations[name], [name]
    if not isinstance(own, dict):
        return own
    whole = {key: value for key, value in own.items() if key != "like"}
    other = own.get("like")
    while other is not None:
        at = f"{pointer('/stations', name)}/like"
        if not isinstance(other, str) or not isinstance(stations.get(other), dict):
            others = [each for each in stations if each != name]
            reading.bad(at, other, f"the id of a station{which(str(other), others)}", "unknown_like")
            break
        if other in seen:
            if other == name and name == min(seen, key=list(stations).index):
                write = "a station that is not like itself in the end"
                reading.bad(at, " -> ".join([*seen, other]), write, "like_circle")
            break
        seen.append(other)
        whole = {key: value for key, value in stations[other].items() if key != "like"} | whole
        other = stations[other].get("like")
    return whole
