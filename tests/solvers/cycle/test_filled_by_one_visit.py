"""A cycle in which hands never leave one machine: a hand-fed press whose stroke holds both of them throughout."""

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle, simple
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_simulation_plain import assert_steady, tended


def test_a_round_that_is_nothing_but_one_exchange_is_refused_in_words() -> None:
    """The end of the exchange falls on its beginning, and events cannot tell them apart; the simulation can."""
    form = tended(1, time_s=0, load_s=67, walk_s=0)
    cell = cell_from(form)

    assert simple(cell) is None
    with pytest.raises(NotYet, match="one visit fills from its beginning to its end: the hold is the whole cycle"):
        best_cycle(cell, effort=Effort(most_sets=1))
    assert_steady(form, cycle_s=67.0)
