"""A cell of people or arms with several hands, with one hand each: a cycle for it is one for the cell as it is.

Several hands make a program of twice the visits, in which a short search may find nothing but one load after the other
where a period has many parts, as duties at every fourth one ask for. With one hand the best cycle is found at once; it
is what the search with all hands then has to beat.
"""

from dataclasses import replace

from millhand.errors import InputError, InputErrors, ToolError
from millhand.model.cell import Cell
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.jobs import rounds
from millhand.solvers.cycle.view import Steady

MANY_ROUNDS = 3  # of part sets in a period: below, the search with all hands finds a good cycle by itself


def one_handed(cell: Cell, view: Steady) -> Steady | None:
    """The view of a cell with one hand each; None where all have one, where it would be of no use, or not be served."""
    if view.loads or view.orders or rounds(view) < MANY_ROUNDS or all(m.hands == 1 for m in view.movers.values()):
        return None
    hands = {who: replace(each, hands=1) for who, each in cell.attendants.items()}
    try:
        return scope(replace(cell, attendants=hands))
    except (InputError, InputErrors, ToolError):
        return None
