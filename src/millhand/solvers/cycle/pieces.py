"""Pieces that a step uses up besides its part: a schedule takes them to be at hand, where they always can be."""

from collections import Counter
from collections.abc import Iterator

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.model.mix import part_set
from millhand.solvers.cycle.chains import rhythm_of


def pieces_used(cell: Cell) -> Iterator[tuple[str, int, str, int]]:
    """Each use: the part type, the step of its route, the stock, and how many pieces a part takes from it."""
    for part, each in cell.parts.items():
        for index, step in enumerate(each.route):
            yield from ((part, index, stock, count) for stock, count in step.uses.items())


def stores_of_pieces(cell: Cell) -> frozenset[str]:
    """The stores that no part passes: what lies there are pieces that are used up, and no parts."""
    passed = {name for part in cell.parts.values() for step in part.route for name in step.at}
    return frozenset(name for name, each in cell.stations.items() if each.kind == "store" and name not in passed)


def refuse_pieces(cell: Cell) -> None:
    """Refuse pieces out of a stock that parts of a route go through: whether some are there depends on the schedule.

    With lots a stock that nobody refills will do if it begins with all that they need; a steady schedule holds while
    its pieces last, which is told.
    """
    passed = {name for part in cell.parts.values() for step in part.route[1:] for name in step.at}
    for part, index, stock, _ in pieces_used(cell):
        if stock in passed:
            raise NotYet(
                f"a schedule in which a step uses pieces that may run out ({stock})",
                where=f"/parts/{part}/route/{index}/uses",
                cure=f"{stock} as a supply or a store on no part's route",
            )


def parts_until_short(cell: Cell, stock: str) -> int | None:
    """For how many parts of the mix the pieces of a stock last that nobody refills; None where they never end."""
    station = cell.stations[stock]
    if station.refill is not None or (station.kind == "supply" and station.capacity is None):
        return None
    mix = part_set(cell.parts)
    each = sum(
        mix[part] * count / rhythm_of(cell.parts[part].route, at)
        for part, at, s, count in pieces_used(cell)
        if s == stock
    )
    return int(station.start * sum(mix.values()) / each + 1e-9)


def pieces_of_lots(cell: Cell) -> Counter[str]:
    """How many pieces all lots take from each stock."""
    found: Counter[str] = Counter()
    for part, _, stock, count in pieces_used(cell):
        lot = cell.parts[part].lot
        found[stock] += count * (lot.size * lot.count if lot else 1)
    return found
