"""An arm with two grippers left the last parts of a lot in their machines: it meant to come back with a raw part, and
the supply had none to give any more."""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.replications import simulate
from tests.small_lots import small_lots


@pytest.mark.parametrize("rule", ["longest_waiting", "first_to_finish", "nearest"])
def test_the_last_parts_of_the_lots_get_out(rule: str) -> None:
    """Whatever the rule, the lots are finished."""
    form = small_lots(3, hands=2)
    form["dispatch"] = {who: {"rule": rule} for who in form["attendants"]}
    output = simulate(cell_from(form), hours=1.0, replications=1)

    assert output.finished_s is not None
