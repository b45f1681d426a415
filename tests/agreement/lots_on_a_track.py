"""The shortest makespan of two arms on one track by looking at every state, second by second: a reference for tests.

It takes the states of the reference for cycles and asks how soon all parts of one lot can be out. Arms may go to any
place at any time, so as many stops aside as anybody likes are among them. Nothing is shared with the solvers.
"""

from millhand.model.cell import Cell
from tests.track_oracle import EMPTY, State, rail_of, step_on


def best_makespan(cell: Cell, *, most: int) -> int | None:
    """The least whole time at which every part of the lot is out, up to `most`; None where none is so short."""
    rail = rail_of(cell)
    (part,) = cell.parts.values()
    assert part.lot is not None
    homes = [rail.names.index(cell.attendants[arm].home or "") for arm in rail.arms]
    start: State = (tuple(("at", home, 0, 0) for home in homes), (EMPTY,) * len(rail.stops))
    layer = {(start, part.lot.size)}
    seen = set(layer)  # what was possible sooner need not be followed again: whoever is early can wait
    for time in range(most + 1):
        if any(left == 0 and is_empty(state) for state, left in layer):
            return time
        layer = {
            (after, left - lets_in)
            for state, left in layer
            for after, lets_in in step_on(rail, state)
            if left - lets_in >= 0
        } - seen
        seen |= layer
    return None


def is_empty(state: State) -> bool:
    """Whether nothing lies at a machine or is on its way."""
    doings, lying = state
    return all(each == EMPTY for each in lying) and all(doing[0] != "carry" for doing in doings)
