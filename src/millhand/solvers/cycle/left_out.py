"""What a steady cycle leaves out of a cell, in words for the reader."""

import dataclasses
from collections.abc import Iterator
from typing import Any

from millhand.model.cell import Cell
from millhand.model.mix import is_near_only, part_set
from millhand.model.span import Span
from millhand.solvers.cycle.pieces import parts_until_short, pieces_used

EARLY = "what comes behind has less to do than in the cycle, so more parts may leave than it says"


def left_out_words(cell: Cell) -> tuple[str, ...]:
    """Everything the cell says that the cycle does not contain; its mean load enters the load bound where it can."""
    return (
        *station_words(cell),
        *attendant_words(cell),
        *route_words(cell),
        *piece_words(cell),
        *duty_words(cell),
        *rest_words(cell),
    )


def station_words(cell: Cell) -> Iterator[str]:
    """Stops, wear, warm-up and hours of stations."""
    for name, station in cell.stations.items():
        bound = "" if station.kind in ("supply", "sink", "gate") else ": {} mean load is in the bound"
        if station.faults:
            yield f"stops of {name}{bound.format('their')}"
        if any(not fault.keeps_part for fault in station.faults):
            yield f"parts that stops of {name} spoil: {EARLY}"
        if station.wear:
            yield f"wear of {name}{bound.format('its')}"
        if station.calendar or station.warm_up:
            yield f"hours and warm-up of {name}"
        if station.refill:
            yield f"refills of {name}: their mean load is in the bound"


def attendant_words(cell: Cell) -> Iterator[str]:
    """Hours, stops and wear of attendants."""
    for name, attendant in cell.attendants.items():
        if attendant.calendar:
            yield f"hours and breaks of {name}"
        if attendant.faults or attendant.wear:
            yield f"stops and wear of {name}: their mean load is in the bound"


def route_words(cell: Cell) -> Iterator[str]:
    """Yield, and steps that not every part visits."""
    for name, part in cell.parts.items():
        if any(step.good < 1 for step in part.route):
            also = ", also those that a check takes out; " + EARLY if any(step.on_bad for step in part.route) else ""
            yield f"bad parts among {name}: the cycle counts every part{also}"
        for step in part.route:
            if step.every > 1:
                at = " or ".join(step.at)
                yield f"{at}, visited by one {name} in {step.every}: its mean load is in the bound"


def piece_words(cell: Cell) -> Iterator[str]:
    """Pieces that are used up besides the parts."""
    for stock in dict.fromkeys(stock for _, _, stock, _ in pieces_used(cell)):
        last = parts_until_short(cell, stock) if cell.goal == "rate" else None
        until = "" if last is None else f"; nobody refills them, and those at the start last for {last} parts"
        yield f"pieces used up from {stock}: taken to be there{until}"


def duty_words(cell: Cell) -> Iterator[str]:
    """Duties that come each so many parts or by the clock."""
    for name, duty in cell.duties.items():
        if duty.trigger.kind in ("parts", "clock"):
            yield f"duty {name}: its mean load is in the bound"
        if duty.trigger.kind == "changeover":
            yield f"changeover duty {name}"


def rest_words(cell: Cell) -> Iterator[str]:
    """Zones, missed picks, spreads, and a mix that is no small ratio."""
    if cell.goal == "rate" and is_near_only(cell.parts):
        mix = " : ".join(map(str, part_set(cell.parts).values()))
        yield f"the mix to the last digit: counted as {mix} of {', '.join(cell.parts)}"
    if any(how == "slow" for zone in cell.zones.values() for how in zone.slows.values()):
        yield "slow running while a person is in a zone"
    if any(row.miss for row in cell.handling):
        yield "missed picks: their mean load is in the bound"
    if any(True for _ in spreads(cell.parts)) or any(True for _ in spreads(cell.handling)):
        yield "spreads of process and handling times: means are used"


def spreads(value: Any) -> Iterator[Span]:
    """The spans inside a value that are more than a number."""
    if isinstance(value, Span):
        if value.dist != "constant":
            yield value
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from spreads(getattr(value, field.name))
    elif isinstance(value, dict):
        for item in value.values():
            yield from spreads(item)
    elif isinstance(value, tuple):
        for item in value:
            yield from spreads(item)
