"""The two records of the event loop: the compiled cell, which never changes, and the run, which does.

How they are laid out
---------------------
Each is one numpy record, a plain structure in memory. A field is a column, and the letter before its name says whose
number indexes it:

    s_ station   a_ attendant   v_ visit (4 * row + pick, place or swap)   r_ row of handling   o_ option
    g_ step of a route   p_ part type   q_ piece under way   f_ fault   u_ wear (what is used up)
    d_ duty   l_ slot for calls   n_ span of time   y_ stream of chance   e_ calendar   x_ trigger by parts

Fields ending in _from and _to give, for each thing, its slice of the column named like them: the sources of attendant a
are source[source_from[a]] up to, not including, source[source_to[a]]. -1 stands for none, never or unlimited.

How long the columns are, and what the cell has any of at all, is the *shape*. The loop is compiled once for each shape,
so all lengths and places in memory are fixed then, and what no cell of the shape has is left out. Cells are fitted into
the least of few shapes (SHAPES). What they do not fill is never looked at, because the loop counts to the cell's own
numbers; only the list of what is due is read whole: its empty places hold a time that never comes.

Times are whole grid steps. `due` holds for each slot of events its next time with the slot's number below it:
attendants, clocks of duties, stations, faults, calendars, which is the order of ties. `soon` is the least of stations,
`rare` that of clocks, faults and calendars.
"""

from collections.abc import Iterable
from typing import Any, NamedTuple

import numpy as np

from millhand.errors import NotYet
from millhand.solvers.kernel.codes import (
    A_IDLE,
    ATTENDANT_STATES,
    AWAY,
    AWAY_ROOM,
    COUNTS,
    CYCLE_BINS,
    EMPTY,
    GONE_ROOM,
    IDLE,
    LOG_ROOM,
    NEVER,
    NO_MODE,
    PROCESS,
    S_STARVED,
    SLOT_BITS,
    STATION_STATES,
)
from millhand.solvers.kernel.columns import columns_of
from millhand.solvers.kernel.fields import CELL, RUN, TRAITS, Field
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.traits import traits_of

LONGEST = 1 << 48  # grid steps of one duration


class Lengths(NamedTuple):
    """How long the columns are: one number for each noun, and a few for the lists between them."""

    stations: int
    attendants: int
    places: int
    parts: int
    steps: int
    slots: int
    hands: int
    room: int
    duties: int
    clocks: int
    faults: int
    wears: int
    calendars: int
    hours: int
    spans: int
    streams: int
    rows: int
    lists: int
    tables: int
    values: int


class Shape(NamedTuple):
    """What the loop is compiled for: lengths, and what a cell may have some of (events/traits.py)."""

    lengths: Lengths
    traits: tuple[str, ...]

    def holds(self, other: "Shape") -> bool:
        """True where a cell that needs the other one fits in."""
        fits = all(has >= wants for has, wants in zip(self.lengths, other.lengths, strict=True))
        return fits and set(self.traits) >= set(other.traits)


SMALL = Lengths(8, 3, 12, 1, 10, 24, 2, 48, 8, 4, 8, 16, 4, 48, 128, 48, 24, 64, 8, 128)
LARGE = Lengths(16, 6, 24, 6, 40, 64, 4, 256, 16, 8, 16, 40, 8, 128, 320, 96, 96, 256, 8, 256)
LARGEST = Lengths(48, 16, 64, 24, 192, 256, 8, 20000, 64, 32, 64, 160, 24, 512, 4096, 512, 800, 4096, 16, 4096)
TENDING = ("wear", "halts", "hours", "slowing", "warming", "moments")
ANY = (*TRAITS, "log")
SHAPES = (Shape(SMALL, ()), Shape(SMALL, TENDING), Shape(LARGE, ANY), Shape(LARGEST, ANY))
"""Few on purpose, since each takes a quarter of a minute to compile: a plain small cell, machine tending as most
inquiries have it, anything, and whatever else the format can say."""


def lengths(fields: Iterable[Field], shape: Shape) -> list[tuple[str, str, tuple[int, ...]]]:
    """What numpy wants to know of each field: name, kind of number, lengths."""
    n = shape.lengths
    extra = {
        "states": len(STATION_STATES),
        "doings": len(ATTENDANT_STATES),
        "counts": len(COUNTS),
        "visits": 4 * n.rows,
        "owners": n.stations + n.attendants,
        "events": n.attendants + n.clocks + n.stations + n.faults + n.calendars,
        "pieces": n.room,
        "log": LOG_ROOM if "log" in shape.traits else 0,
        **{f"has_{name}": int(name in shape.traits) for name in TRAITS},
        "turns": n.lists if "cycles" in shape.traits else 0,
        "gone": GONE_ROOM if "cycles" in shape.traits else 0,
        "away": AWAY_ROOM,
        "five": 5,
        "six": 6,
        "bins": CYCLE_BINS,
        "edges": CYCLE_BINS + 1,
    }
    known = {**n._asdict(), **extra}
    return [(name, kind, tuple(known[d] for d in dims.split())) for name, kind, dims in fields]


def cell_type(shape: Shape) -> "np.dtype[Any]":
    """The type of a cell's record."""
    return np.dtype(lengths(CELL, shape), align=True)


def run_type(shape: Shape) -> "np.dtype[Any]":
    """The type of a run's record."""
    return np.dtype(lengths(RUN, shape), align=True)


def shape_of(c: Compiled, *, logging: bool = False) -> Shape:
    """The least shape that the cell fits into; a cell beyond the largest is refused."""
    need = Shape(needs(c), (*traits_of(c), *(("log",) if logging else ())))
    for shape in SHAPES:
        if shape.holds(need):
            return shape
    short = [
        f"{wants} {name}, at most {has}"
        for name, has, wants in zip(Lengths._fields, LARGEST, need.lengths, strict=True)
        if wants > has
    ]
    raise NotYet(f"so large a cell ({'; '.join(short)})")


def needs(c: Compiled) -> Lengths:
    """How long the columns must be at least."""
    columns = columns_of(c)
    listed = {name for name, _, dims in CELL if dims in ("lists", "turns")}
    return Lengths(
        stations=c.size.stations,
        attendants=c.size.attendants,
        places=c.size.places,
        parts=max(c.size.parts, c.lots.families),
        steps=c.size.steps,
        slots=c.size.slots,
        hands=c.size.hands,
        room=c.size.room + 1,
        duties=len(c.duty_names),
        clocks=len(c.triggers.clock_duty),
        faults=len(c.troubles.owner),
        wears=len(c.troubles.wear_owner),
        calendars=len(c.calendars.period),
        hours=len(c.calendars.start),
        spans=len(c.spans.fixed),
        streams=len(c.spans.streams),
        rows=len(c.work.miss_p),
        lists=max(len(columns[name]) for name in listed),
        tables=len(c.ways.times) // max(1, c.size.places**2),
        values=len(c.spans.value),
    )


def packed(c: Compiled, shape: Shape) -> Any:
    """The cell as one record of the shape."""
    record = np.zeros(1, cell_type(shape))
    for name, values in columns_of(c).items():
        fill(record, name, values)
    return record.view(np.recarray)[0]


def fill(record: Any, name: str, values: Any) -> None:
    """Write a column, shorter than its room or as long; a time that no run can reach is cut to the longest."""
    column = record[name][0]
    if not column.shape:
        record[name] = values
        return
    array = np.asarray(values, dtype=np.float64 if column.dtype.kind == "f" else np.int64)
    if array.size:
        column[tuple(slice(0, n) for n in array.shape)] = (
            array if array.dtype.kind == "f" else np.minimum(array, LONGEST)
        )


def started(c: Any, shape: Shape, *, seed: int) -> Any:
    """A run's record at time 0: empty machines, full presenters as the cell says, everybody at home."""
    run = np.zeros(1, run_type(shape))
    _set(run, c, shape, seed=seed)
    return run


def _set(run: Any, c: Any, shape: Shape, *, seed: int) -> None:
    """Everything that is not 0 at time 0."""
    run["seed"] = seed % (1 << 64)
    run["rare"] = run["soon"] = NEVER << SLOT_BITS
    run["due"] = (NEVER << SLOT_BITS) | np.arange(run["due"].shape[1])
    run["s_state"], run["s_end"] = S_STARVED, NEVER
    run["s_family"] = run["s_next_family"] = run["s_set_down"] = -1
    run["s_stock"][0, : c.stations] = c.start[: c.stations]
    run["lot_now"], run["lot_left"] = c.lot_from, c.lot_size
    run["free"] = np.arange(shape.lengths.room)[::-1]
    run["free_count"] = shape.lengths.room
    run["q_maker"] = run["q_settled"] = run["q_came"] = run["a_came"] = -1
    run["g_until"] = c.g_every
    run["a_mode"], run["a_state"], run["a_on"] = AWAY, A_IDLE, 1
    run["a_mode"][0, : c.attendants] = IDLE
    run["a_source"] = run["a_target"] = run["a_last"] = run["a_slot"] = run["a_visit"] = -1
    run["a_place"] = c.a_home
    run["a_x0"] = run["a_x1"] = c.place_x[c.a_home]
    run["a_track_since"] = run["a_hold_began"] = run["a_goes_at"] = run["a_waits_since"] = -1
    run["a_first"] = run["a_second"] = run["a_halted_as"] = A_IDLE
    run["f_left"], run["u_spares"] = NEVER, c.u_spares
    run["y_day"], run["away_cause"], run["need_cause"] = -1, -1, -1
    run["tomorrow"], run["before"], run["closed"] = c.day, -1, -1
    run["s_finished"] = -1
    run["s_mode"][0] = np.where(c.s_kind == PROCESS, EMPTY, NO_MODE)
