"""Replications that are kept, so that more can follow."""

import pytest

from millhand.intake.cell import cell_from
from millhand.model.canonical import canonical
from millhand.solvers.kernel.replications import NO_WARM_UP, Plan, simulate
from millhand.solvers.output.runs import (
    Run,
    good_per_h,
    more,
    no_runs,
    output_so_far,
    run_until_precise,
    sureness,
)
from tests.reference_variants import reference_form

CELL = cell_from(reference_form())
DAY = Run(hours=24.0)


def test_runs_put_behind_each_other_are_those_of_one_call() -> None:
    """Two and then two more give the bytes of four at once, and each call gives back its own values."""
    runs = no_runs(CELL, run=DAY)
    first, second = more(runs, 2), more(runs, 2)

    assert first + second == good_per_h(runs)
    assert canonical(output_so_far(runs)) == canonical(simulate(CELL, hours=24.0, replications=4))


def test_what_is_cut_off_is_counted_nowhere() -> None:
    """Rates are of the hours that are left, as `simulate` has them."""
    plan = Plan(warm_up_hours=6.0)
    runs = no_runs(CELL, run=Run(hours=24.0, seed=3, plan=plan))
    more(runs, 2)

    assert canonical(output_so_far(runs)) == canonical(simulate(CELL, hours=24.0, replications=2, seed=3, plan=plan))


def test_a_cut_of_nothing_that_was_found_is_no_omission() -> None:
    """The words about a missing warm-up stand only where nobody looked for one."""
    runs = no_runs(CELL, run=DAY)
    more(runs, 1)

    assert NO_WARM_UP in output_so_far(runs).left_out
    assert NO_WARM_UP not in output_so_far(runs, settled=True).left_out


def test_replications_go_on_until_the_precision_is_met() -> None:
    """The half width is then below the adjusted share; the next ones would have been the same as without a stop."""
    runs = no_runs(CELL, run=DAY)
    sure = run_until_precise(runs, precision=0.05, least=5, most=100)

    assert sure.met
    assert sure.asked
    assert sure.half_width_share is not None
    assert sure.half_width_share <= 0.05 / 1.05
    assert sure.needed == len(runs.each) >= 5


def test_the_most_replications_end_it() -> None:
    """Not met, with how many it would seem to take."""
    runs = no_runs(CELL, run=DAY)
    sure = run_until_precise(runs, precision=0.0001, least=5, most=6)

    assert not sure.met
    assert len(runs.each) == sure.most == 6
    assert sure.needed is not None
    assert sure.needed > 6


@pytest.mark.parametrize(
    ("values", "share", "needed", "met"),
    [
        ([21.0], None, None, False),  # one replication shows no spread
        ([0.0, 0.0], None, 2, True),  # a mean of nothing has no share of itself
        ([7.0, 7.0, 7.0], 0.0, 3, True),  # no spread, no further replication
    ],
)
def test_sureness_at_its_limits(values: list[float], share: float | None, needed: int | None, met: bool) -> None:
    """Nothing is said that the values do not show."""
    sure = sureness(values)

    assert (sure.half_width_share, sure.needed, sure.met) == (share, needed, met)
    assert not sure.asked


def test_what_one_percent_takes_by_hand() -> None:
    """99 and 101, four of each: s = 1.069, and t = 2.365 makes a half width of 0.894 of 100, below 1 / 1.01."""
    sure = sureness([99.0, 101.0] * 4)

    assert sure.half_width_share == pytest.approx(0.00894, abs=5e-6)
    assert sure.met
