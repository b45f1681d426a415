"""Move tables as they may be written: a square, pairs for the loaded moves, or an axis with places on a track."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from millhand.formulas.motion import move_time_s
from millhand.intake.cell_fields import BAD, Reading, built, entries, pointer, record, value_of, which
from millhand.model.cell import Axis, MoveTable, Place, Seconds

Square = tuple[tuple[float | None, ...], ...]


def move_table(raw: Any, at: str, reading: Reading) -> Any:
    """A move table as it stands; an `axis` is expanded later, when the places are known."""
    if not isinstance(raw, dict):
        return record(MoveTable, raw, at, reading)
    loaded, axis = raw.get("loaded_s"), raw.get("axis")
    found = entries(
        MoveTable, {**raw, "loaded_s": None} if isinstance(loaded, dict) else raw, at, reading, names={}, extra=()
    )
    if axis is not None and raw.keys() & {"places", "empty_s"}:
        reading.bad(
            pointer(at, "axis"), "axis beside places or empty_s", "either axis, or places and empty_s", "axis_and_table"
        )
    elif axis is None and not raw.keys() >= {"places", "empty_s"}:
        missing = "places" if "places" not in raw else "empty_s"
        reading.bad(pointer(at, missing), "nothing", "places and empty_s, or axis", "missing_key")
    if isinstance(loaded, dict) and BAD not in found.values():
        places = found["axis"].places if found.get("axis") else found.get("places", ())
        found["loaded_s"] = from_pairs(loaded, places, pointer(at, "loaded_s"), reading)
    return built(MoveTable, found)


def from_pairs(pairs: Mapping[str, Any], places: tuple[str, ...], at: str, reading: Reading) -> Any:
    """Loaded moves written as "from to": seconds, as a square; a pair that is not named cannot be done."""
    square: list[list[float | None]] = [[0.0 if a == b else None for b in places] for a in places]
    good = True
    for key, raw in pairs.items():
        ends = key.split()
        seconds = value_of(Seconds | None, raw, pointer(at, key), reading, seconds=True)
        if len(ends) != 2 or not set(ends) <= set(places):
            wrong = next((end for end in ends if end not in places), "")
            write = f"two places of this table, such as '{' '.join(places[:2])}'{which(wrong, places) if wrong else ''}"
            reading.bad(pointer(at, key), key, write, "unknown_pair")
            good = False
        elif seconds is BAD:
            good = False
        else:
            square[places.index(ends[0])][places.index(ends[1])] = seconds
    return tuple(map(tuple, square)) if good else BAD


def expanded(table: MoveTable, places: Mapping[str, Place], at: str, reading: Reading) -> MoveTable:
    """The table with its axis written out: travel by distance along the track, and a settling time."""
    axis = table.axis
    if axis is None:
        return table
    at_m = [places[name].track_m if name in places else None for name in axis.places]
    for i, (name, metres) in enumerate(zip(axis.places, at_m, strict=True)):
        if metres is None:
            read, write = f"{name}, no track_m", "a place that has track_m"
            reading.bad(f"{at}/axis/places/{i}", read, write, "axis_place_off_track")
    empty_s = tuple(tuple(travel_time_s(axis, a, b) for b in at_m) for a in at_m)
    return replace(table, places=axis.places, empty_s=empty_s, axis=None)


def travel_time_s(axis: Axis, from_m: float | None, to_m: float | None) -> float | None:
    """Rest-to-rest time along the axis with its settling time [s]; 0 between places at one spot."""
    if from_m is None or to_m is None:
        return None
    distance_m = abs(to_m - from_m)
    if distance_m == 0:
        return 0.0
    return move_time_s(distance_m, speed_m_s=axis.speed_m_s, accel_m_s2=axis.accel_m_s2) + axis.settle_s
