"""What the format can say and this version of the simulation cannot compute: refused by name."""

from collections.abc import Iterator

from millhand.errors import NotYet
from millhand.model.cell import Cell, CellPart
from millhand.solvers.cycle.pieces import stores_of_pieces
from millhand.solvers.cycle.trays import tray_refusals

Refusal = tuple[str, str]  # the thing, where it stands


def refuse(cell: Cell) -> None:
    """Raise NotYet for the first thing that cannot be computed, in the order of the file."""
    for thing, where in refusals(cell):
        raise NotYet(thing, where=where)


def refusals(cell: Cell) -> Iterator[Refusal]:
    """Everything in the cell that the simulation cannot compute."""
    yield from tray_refusals(cell)
    for name, part in cell.parts.items():
        yield from _part(name, part, cell)
    for name, duty in cell.duties.items():
        for at in duty.restores:
            if cell.stations[at].kind not in ("supply", "sink") and at not in stores_of_pieces(cell):
                thing = "a duty that fills or empties a store on a part's route"
                yield f"{thing} (write a supply for parts that come there)", f"/duties/{name}/restores/{at}"


def _part(name: str, part: CellPart, cell: Cell) -> Iterator[Refusal]:
    where = f"/parts/{name}"
    kept, kinds = stores_of_pieces(cell), [{cell.stations[at].kind for at in step.at} for step in part.route]
    if len(kinds) < 2 or not kinds[0] <= {"supply", "gate"} or not kinds[-1] <= {"sink", "gate"}:
        yield "a route that does not lead from a supply to a sink", f"{where}/route"
    for at, step in enumerate(part.route):
        if any(cell.stations[name].kind not in ("supply", "sink") and name not in kept for name in step.uses):
            thing = "pieces used up out of a store on a part's route"
            yield f"{thing} (write a supply, or a store on no route)", f"{where}/route/{at}/uses"
    for at in range(1, len(part.route) - 1):
        if not kinds[at] <= {"process", "store"}:
            yield "a supply or sink in the middle of a route", f"{where}/route/{at}"
    if part.lot is None and any(other.lot for other in cell.parts.values()):
        yield "lots of some part types and shares of others", where
