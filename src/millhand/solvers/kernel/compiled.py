"""A cell compiled into arrays for the event loop."""

from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.closed import with_open_machines, words_on_closed
from millhand.solvers.cycle.trays import with_trays
from millhand.solvers.kernel.compile_cycle import cycle_turns
from millhand.solvers.kernel.compile_duties import (
    compiled_duties,
    compiled_slot_columns,
    compiled_slots,
    compiled_triggers,
    slots_of,
)
from millhand.solvers.kernel.compile_routes import (
    compiled_attendants,
    compiled_lots,
    compiled_moves,
    compiled_steps,
    words_on_dispatch,
    words_on_walks,
)
from millhand.solvers.kernel.compile_stations import (
    compiled_calendars,
    compiled_stations,
    compiled_troubles,
    pieces_inside,
)
from millhand.solvers.kernel.compile_ways import compiled_ways
from millhand.solvers.kernel.compile_work import check_served, compiled_rows, compiled_work, sources_of, swaps_of
from millhand.solvers.kernel.endless import simulated
from millhand.solvers.kernel.layout import Compiled, Sizes
from millhand.solvers.kernel.refusals import refuse
from millhand.solvers.kernel.span_table import SpanTable

DAY_S = 86_400.0


def compiled(cell: Cell, *, schedule: Schedule | None = None, name: str | None = None) -> Compiled:
    """The cell as arrays; what cannot be computed is refused by name before anything else is done. Attendants under the
    rule `cycle` follow the schedule, where none is given the best that is found.

    Without a name it is called by the hash of its contents, which takes longer than all the rest."""
    refuse(cell)
    whole, given = simulated(cell), cell
    cell = whole.cell
    spans = SpanTable(steps_per_s=1.0 / cell.grid_s)
    slots = compiled_slots(cell, spans)
    stations = compiled_stations(cell, spans)
    steps = compiled_steps(whole, spans)
    rows = compiled_rows(cell, spans, slots.of)
    lots = compiled_lots(whole, slots.of, spans)
    work = compiled_work(cell, rows, stations, (steps, lots.only_to))
    check_served(cell, work, steps, stations)
    turns, without = cycle_turns(with_trays(with_open_machines(given)), whole, schedule)
    moves, begins = compiled_moves(cell, spans)
    picks, answers = sources_of(cell, rows, stations), slots_of(cell, slots, turns)
    attendants = compiled_attendants(cell, begins, picks, answers, swaps_of(cell, rows, work))
    troubles = compiled_troubles(cell, spans, slots.of)
    triggers = compiled_triggers(cell, spans)
    return Compiled(
        cell=name or content_hash(given),
        grid_s=cell.grid_s,
        size=_sizes(cell, len(steps.part), len(slots.duty), day=spans.steps(DAY_S)),
        stations=stations,
        attendants=attendants,
        ways=compiled_ways(cell, moves, turns),
        work=work,
        steps=steps,
        troubles=troubles,
        duties=compiled_duties(cell, slots),
        slots=compiled_slot_columns(slots),
        triggers=triggers,
        spans=spans.table(),
        calendars=compiled_calendars(cell, spans),
        lots=lots,
        station_names=tuple(cell.stations),
        attendant_names=tuple(cell.attendants),
        part_names=tuple(cell.parts),
        duty_names=tuple(cell.duties),
        left_out=(
            *words_on_dispatch(cell, without),
            *words_on_walks(cell, dict(cell.attendants)),
            *words_on_closed(given),
        ),
    )


def _sizes(cell: Cell, steps: int, slots: int, *, day: int) -> Sizes:
    """How many of each noun there are."""
    return Sizes(
        stations=len(cell.stations),
        attendants=len(cell.attendants),
        places=len(cell.places),
        parts=len(cell.parts),
        steps=steps,
        slots=slots,
        hands=max((attendant.hands for attendant in cell.attendants.values()), default=1),
        day=day,
        room=pieces_inside(cell),
    )
