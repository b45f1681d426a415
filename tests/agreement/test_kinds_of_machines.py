"""Machines that are no mills, worked out by hand: closed form, best cycle, and simulation with nothing left to chance.

The inquiries lie in examples/kinds; allowances are nought there, so that the sums can be followed. W is the operator's
work on a load with its ways, M the machine's time from one load to the next; n machines for one operator give a load
each in max(M, n W). The way between rack and machine is half of the 6 s from one machine to the next, there and back.

bar      44 = floor((3 m - 0.2 m) / (60 mm + 3 mm)) parts of a bar. M = 44 x 50 + 25 (next bar) + 90 (put in) = 2315 s;
         W = 90 + 2 x 30 (gauging each 22nd) + 60 (box) + 6 = 216 s. Two machines: 2315 s, 88 parts, 136.85 an hour.
insert   M = 40 + 6 + 8 = 54 s; W = 14 + 2 x 5 (degating both) + 6 = 30 s. Two machines: 60 s, the operator's, 4 parts,
         240 an hour; each shot waits 60 - 54 = 6 s in the mould, less than 25 s: nothing is late.
drop     M = 60 x 20 = 1200 s for 60 shots of 8; W = 40 + 6 = 46 s, the machine running. 960 parts, 2880 an hour.
press    stroke 2 s, half of it holds the hands. W = 2 + 1 + 1 + 2 = 6 s and M = 3 + 2 = 5 s: 6 s, 600 an hour. Without
         the held hands W = 5 s: 720 an hour, a fifth more than can be done.
grinder  M = 25 + 40/20 (dressing) + 10 = 37 s; W = 10 + 20/5 (gauging) + 6 = 20 s. Two machines: 40 s, 180 an hour.
turned   first M = 150 + 30 = 180 s, second M = 110 + 30 + 6 (turning over) = 146 s; W = 30 + 36 + 12 (deburring) +
         3 + 6 + 3 (ways) = 90 s: 180 s a part, 20 an hour.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.inquiry import read_inquiry
from millhand.model.cell import Cell, Dispatch
from millhand.model.inquiry import Inquiry
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import load_bounds
from millhand.solvers.kernel.replications import simulate
from tests.agreement.nothing_left_to_chance import certain
from tests.agreement.test_cycle_simulated import keeps_the_period
from tests.stages.jobs import Planned, plan_of, told

KINDS = Path("examples/kinds")
# Period [s], loads in it, parts of a load, and who sets the pace.
BY_HAND = {
    "bar": (2315.0, 2, 44.0, "machine_1 and machine_2"),
    "insert": (60.0, 2, 2.0, "operator1"),
    "drop": (1200.0, 2, 480.0, "machine_1 and machine_2"),
    "press": (6.0, 1, 1.0, "operator1"),
    "grinder": (40.0, 2, 1.0, "operator1"),
    "turned": (180.0, 1, 1.0, "machine_1"),
}
# Work of the operator on a load with its ways, and what is bound of the machine's run [s].
WORK = {"bar": 216.0, "insert": 30.0, "drop": 46.0, "press": 6.0, "grinder": 20.0, "turned": 90.0}


@cache
def inquiry(name: str) -> Inquiry:
    """One of the inquiries."""
    return read_inquiry(KINDS / f"{name}.yaml", assumptions())


@cache
def today(name: str) -> Planned:
    """Its process of today."""
    return plan_of(inquiry(name), "today")


@cache
def cycled(name: str) -> tuple[Cell, Schedule]:
    """Today's cell with nothing left to chance, and its best cycle."""
    cell = today(name).plan.cell
    assert cell is not None
    alone = certain(cell)
    return alone, best_cycle(alone)


def test_every_kind_has_its_sums() -> None:
    """No inquiry of the folder is left out here."""
    assert {path.stem for path in KINDS.glob("*.yaml")} == set(BY_HAND) == set(WORK)


@pytest.mark.parametrize("name", BY_HAND)
def test_the_closed_form_is_the_load_bound_and_the_best_cycle(name: str) -> None:
    """The period of the docstring, and the resource that it is said to come from."""
    period_s, loads, parts, pace = BY_HAND[name]
    cell, best = cycled(name)
    timed = today(name).plan.timing.operations[-1]

    assert best.period_steps * best.grid_s == pytest.approx(period_s, abs=best.grid_s)
    assert best.parts_per_period == loads
    assert today(name).value(timed.parts_per_load) == parts
    assert load_bounds(cell)[0].resource == pace


@pytest.mark.parametrize("name", WORK)
def test_the_work_of_a_load_is_that_of_the_sums(name: str) -> None:
    """Elements with their shares, held hands and ways, over all operations."""
    found = today(name)

    assert sum(found.value(each.work) for each in found.plan.timing.operations) == pytest.approx(WORK[name], rel=1e-12)


@pytest.mark.parametrize("name", BY_HAND)
def test_the_simulation_without_chance_keeps_the_period(name: str) -> None:
    """To the grid step, once the line is full."""
    assert keeps_the_period(*cycled(name))


def test_held_hands_cost_a_fifth_of_the_rate_of_the_press() -> None:
    """6 s instead of 5 s: the machine's own sum says 720 an hour, and the hands give 600."""
    freed = plan_of(told(inquiry("press"), {"parts.clip.bending.hands_bound": 0.0}), "today").plan
    held, cell = cycled("press")[1], freed.cell
    assert cell is not None
    free = best_cycle(certain(cell))

    assert (3600.0 / (held.period_steps * held.grid_s), 3600.0 / (free.period_steps * free.grid_s)) == (600.0, 720.0)


@pytest.mark.parametrize(("window_s", "share"), [(25.0, 0.0), (5.9, 1.0)])
def test_a_window_is_kept_or_missed_in_every_round(window_s: float, share: float) -> None:
    """Each shot waits 6 s for the operator: within 25 s none is late, within 5.9 s all are but the first ones."""
    cell = plan_of(told(inquiry("insert"), {"parts.grip.moulding.take_out_within": window_s}), "today").plan.cell
    assert cell is not None
    alone = certain(cell)
    served = {name: Dispatch(rule="longest_waiting") for name in alone.dispatch}
    found = simulate(replace(alone, dispatch=served), hours=10.0, replications=2, seed=1)
    late = sum(each.mean for each in found.late_at.values())

    assert found.parts_per_h.mean == pytest.approx(120.0, rel=0.01)
    assert late / found.parts_per_h.mean == pytest.approx(share, abs=0.01)
