"""Two studies that were written before, put beside each other: their load bounds follow each change."""

from millhand.model.difference import Difference, Side
from millhand.stages.difference import difference
from millhand.stages.spread import bounds_of
from millhand.trace import Solved


def compared(first: Side, second: Side) -> Difference:
    """What changed from the first to the second, and its effect on the answer."""
    return difference(first, second, (followed(first), followed(second)))


def followed(side: Side) -> Solved:
    """How the load bounds of a study follow their facts; none where its cells are not at hand."""
    cells = {bound: cell for bound, cell in side.cells.items() if bound in side.facts}
    whole = {bound: cell for bound, cell in cells.items() if all(o.fact in side.facts for o in cell.origins.values())}
    return bounds_of(whole, side.facts)
