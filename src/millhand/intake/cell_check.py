"""What must hold in a cell beyond the form of its file: every check in one list, every error at once."""

from collections.abc import Callable, Iterator

from millhand.errors import InputError
from millhand.intake import cell_check_duties as duties
from millhand.intake import cell_check_handling as handling
from millhand.intake import cell_check_moves as moves
from millhand.intake import cell_check_names as names
from millhand.intake import cell_check_numbers as numbers
from millhand.intake import cell_check_routes as routes
from millhand.intake import cell_check_stations as stations
from millhand.intake import cell_check_transfers as transfers
from millhand.model.cell import Cell

Check = Callable[[Cell], Iterator[InputError]]

# What the later checks stand on: they are silent until these find nothing, so that one slip gives one error.
FOUNDATION: tuple[Check, ...] = (
    numbers.top,
    numbers.numbers,
    names.references,
    names.lists,
    moves.tables,
    moves.homes,
    handling.rows,
    routes.things,
    routes.routes,
    routes.places,
)
ALONE: tuple[Check, ...] = (
    numbers.spans,
    names.ids,
    names.trouble_ids,
    stations.calendars,
    stations.stocks,
    stations.fields_of_kind,
    stations.faults,
    stations.wear,
    stations.tracks,
    stations.zones,
    stations.dispatch,
    handling.hands,
    handling.elements,
    routes.times,
    routes.open_machines,
    routes.gauging,
    routes.amounts,
    routes.changeovers,
    duties.called_duties,
    duties.trigger_fields,
    duties.levels,
    duties.people,
    duties.restoring,
    numbers.origins,
)
SERVICE: tuple[Check, ...] = (
    duties.reach_of_duties,
    duties.reach_of_calls,
    transfers.manned,
    transfers.served,
)
WAYS: tuple[Check, ...] = (transfers.carried, transfers.returns)
SECTIONS = (
    "format", "name", "grid_s", "goal", "places", "tracks", "zones", "calendars", "stations", "attendants", "moves",
    "handling", "parts", "changeovers", "duties", "dispatch", "origins",
)  # fmt: skip


def check_cell(cell: Cell) -> tuple[InputError, ...]:
    """Every error of a cell, in the order of the file's sections; `where` is a JSON pointer into the file form."""
    basic = errors_of(FOUNDATION, cell)
    alone = errors_of(ALONE, cell)
    service = [] if basic else errors_of(SERVICE, cell)
    ways = [] if basic or service else errors_of(WAYS, cell)
    return tuple(sorted(basic + alone + service + ways, key=section))


def errors_of(checks: tuple[Check, ...], cell: Cell) -> list[InputError]:
    """What a group of checks finds."""
    return [error for check in checks for error in check(cell)]


def section(error: InputError) -> int:
    """Which section of the file an error stands in."""
    return SECTIONS.index(error.where.split("/")[1])
