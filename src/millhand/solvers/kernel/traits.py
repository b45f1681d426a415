"""What a cell has some of: each trait that it has costs time in the loop, and most cells have few."""

from collections.abc import Iterator

from millhand.solvers.kernel.codes import (
    BUSY,
    DROP,
    ENDS_CHANGE,
    ENDS_NOTHING,
    ENDS_WEAR,
    HOLDS_ARM,
    HOLDS_STATION,
    PROCESS,
    STORE,
)
from millhand.solvers.kernel.layout import Compiled


def traits_of(c: Compiled) -> tuple[str, ...]:
    """The traits of the cell, by name (events/traits.py says what each means)."""
    return tuple(_found(c))


def _found(c: Compiled) -> Iterator[str]:
    """One after the other."""
    s, a, n = c.stations, c.attendants, c.size.stations
    has = {
        "rails": bool(c.ways.keep),
        "cycles": any(c.ways.ops),
        "windows": max(c.steps.stay_max, default=-1) >= 0,
        "batches": max(s.batch, default=1) > 1,
        "self_moving": any(s.self_in) or any(s.self_out),
        "uses": bool(c.steps.uses_at),
        "lots": c.size.parts > 1 or any(c.lots.of_station) or _changes(c),
        "gates": any(each > 0 for each in c.lots.turnaround) or any(each >= 0 for each in c.lots.twin),
        "slowing": any(each >= 0 for each in a.slow) or any(each != 1.0 for each in a.pace) or any(c.duties.zone_slow),
        "warming": any(each >= 0 for each in s.warm_after),
        "wear": bool(c.troubles.wear_owner),
        "halts": _halts(c),
        "hours": any(each >= 0 for each in s.calendar),
        "stores": STORE in s.kind,
        "endless": any(each >= 0 for each in c.lots.endless),
        "stocks": any(stock_stands(c, at) for at in range(n)),
        "unlike": any(g >= 0 and g != at // n for at, g in enumerate(c.steps.lies)),
        "moments": any(on != BUSY for on in c.troubles.on),
    }
    assert n or not any(has.values())
    yield from (name for name, true in has.items() if true)


def stock_stands(c: Compiled, at: int) -> bool:
    """True for a supply, store, outfeed or gate with stops, wear or hours of its own."""
    s = c.stations
    at = c.lots.twin.index(at) if at in c.lots.twin else at
    troubles = s.fault_to[at] > s.fault_from[at] or s.wear_to[at] > s.wear_from[at] or s.calendar[at] >= 0
    return s.kind[at] != PROCESS and troubles


def _changes(c: Compiled) -> bool:
    """True where some station has to be changed over."""
    return any(slot >= 0 for at in c.lots.change_slot for slot in at)


def _halts(c: Compiled) -> bool:
    """True where an attendant may fail or be stopped, or something but its own faults and wear may stop a station."""
    n = c.size.stations
    return (
        any(owner >= n for owner in (*c.troubles.owner, *c.troubles.wear_owner))
        or bool(c.troubles.stop)
        or bool(c.duties.zone_attendant)
        or HOLDS_ARM in c.duties.holds
        or DROP in c.calendars.at_end
        or any(
            kind == ENDS_CHANGE
            or (kind in (ENDS_NOTHING, ENDS_WEAR) and owner >= 0 and c.duties.holds[d] == HOLDS_STATION)
            for kind, owner, d in zip(c.slots.kind, c.slots.owner, c.slots.duty, strict=True)
        )
    )
