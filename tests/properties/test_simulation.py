"""Whatever the cell: no part is lost and no second is lost, no run hangs, and none depends on how it is looked at."""

from collections import Counter

import pytest

from millhand.errors import InputError, InputErrors, NotYet, ToolError
from millhand.intake.cell import cell_from
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts
from millhand.solvers.kernel.replications import Piece, counted
from tests.whole_cells import cuts_of, form_of, outcome

CELLS, EACH = 100, 50
HOURS = 9.5  # ends in the second part of the day shift
IN_ANY_ORDER = 40


@pytest.mark.parametrize("first", range(0, CELLS, EACH))
def test_no_part_and_no_second_is_lost(first: int) -> None:
    """In random whole cells, at random moments: lifted = good + scrapped + escaped + in the cell, by type too; states
    of machines and attendants add up to the grid step; no stock is below nothing or above its room; and the run counts
    the same with and without a log, in slices and in one piece. A cell that cannot go on says so by a clear error."""
    ended: Counter[str] = Counter()
    for number in range(first, first + EACH):
        try:
            ended[outcome(form_of(number), HOURS, cuts_of(number))] += 1
        except AssertionError as wrong:
            pytest.fail(f"cell {number}: {wrong}")

    assert ended["not valid"] == 0
    refused = ended["refused by name"]  # such as pieces used up out of a machine
    assert ended["balanced"] > (EACH - refused) / 2
    assert refused < EACH / 8


def test_the_order_of_replications_does_not_matter() -> None:
    """Each replication counts the same before and after others of its own cell and of other cells."""
    pieces = [piece for number in range(IN_ANY_ORDER) for piece in pieces_of(number)]
    forward = {(piece.cell.cell, piece.replication): told(piece) for piece in pieces}
    backward = {(piece.cell.cell, piece.replication): told(piece) for piece in reversed(pieces)}

    assert len(pieces) > IN_ANY_ORDER
    assert forward == backward


def pieces_of(number: int) -> list[Piece]:
    """Two replications of a cell, the first part of the run cut off."""
    try:
        c = compiled(cell_from(form_of(number)))
    except (InputError, InputErrors, NotYet):
        return []
    horizon = round(HOURS * 3600 / c.grid_s)
    return [Piece(cell=c, horizon=horizon, warm_up=horizon // 8, seed=3, replication=n) for n in range(2)]


def told(piece: Piece) -> Counts | str:
    """What was counted, or the words of the error."""
    try:
        return counted(piece)
    except (NotYet, ToolError) as trouble:
        return str(trouble)
