"""Two studies that were written before, put beside each other: their load bounds follow each change."""

from millhand.model.cell import Cell
from millhand.model.difference import Difference, Side
from millhand.stages.difference import difference
from millhand.stages.spread import bounds_of
from millhand.trace import Solved


def compared(first: Side, second: Side) -> Difference:
    """What changed from the first to the second, and its effect on the answer."""
    return difference(first, second, (followed(first), followed(second)))


def followed(side: Side) -> Solved:
    """How the load bounds of a study follow their facts; none where its cells are not at hand, or are other ones."""
    return bounds_of({bound: cell for bound, cell in side.cells.items() if belongs(bound, cell, side)}, side.facts)


def belongs(bound: str, cell: Cell, side: Side) -> bool:
    """Whether a load bound of the study follows from all facts behind the numbers of a cell."""
    behind = {source for _, source in side.facts[bound].inputs} if bound in side.facts else set()
    return {origin.fact for origin in cell.origins.values()} <= behind & side.facts.keys()
