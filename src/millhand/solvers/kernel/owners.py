"""Stations and attendants together: whatever can fail or wear out."""

from millhand.model.cell import Attendant, AttendantFault, AttendantWear, Cell
from millhand.model.station import Fault, Station, Wear

Owner = tuple[str, Station | Attendant]


def owners_of(cell: Cell) -> list[Owner]:
    """Stations, then attendants, in file order."""
    return [*cell.stations.items(), *cell.attendants.items()]


def faults_of(owner: Station | Attendant) -> tuple[Fault | AttendantFault, ...]:
    """The faults of either."""
    return (*owner.faults,)


def wears_of(owner: Station | Attendant) -> tuple[Wear | AttendantWear, ...]:
    """The wear of either."""
    return (*owner.wear,)
