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

CHECKS: tuple[Check, ...] = (
    numbers.top,
    numbers.numbers,
    numbers.spans,
    names.ids,
    names.trouble_ids,
    names.references,
    names.lists,
    stations.calendars,
    stations.stocks,
    stations.fields_of_kind,
    stations.faults,
    stations.wear,
    stations.tracks,
    stations.zones,
    stations.dispatch,
    moves.tables,
    moves.homes,
    handling.rows,
    handling.hands,
    handling.elements,
    routes.things,
    routes.routes,
    routes.places,
    routes.times,
    routes.gauging,
    routes.amounts,
    routes.changeovers,
    duties.called_duties,
    duties.trigger_fields,
    duties.levels,
    duties.people,
    duties.reach_of_calls,
    duties.restoring,
    transfers.served,
    transfers.carried,
    transfers.returns,
    numbers.origins,
)
SECTIONS = (
    "format", "name", "grid_s", "goal", "places", "tracks", "zones", "calendars", "stations", "attendants", "moves",
    "handling", "parts", "changeovers", "duties", "dispatch", "origins",
)  # fmt: skip


def check_cell(cell: Cell) -> tuple[InputError, ...]:
    """Every error of a cell, in the order of the file's sections; `where` is a JSON pointer into the file form."""
    found = [error for check in CHECKS for error in check(cell)]
    return tuple(sorted(found, key=lambda error: SECTIONS.index(error.where.split("/")[1])))
