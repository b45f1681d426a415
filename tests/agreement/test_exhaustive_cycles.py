"""All one-unit cycles of small cells by an oracle of its own: the schedule, the bounds and the validator agree.

The published figures stand with their status: the closed forms after sethi1992, crama1997, dawande2007 and gultekin2009
are from memory, not re-read; the values were computed from them by an exhaustive search over all one-unit cycles.
"""

from dataclasses import replace
from math import ceil

import pytest

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import cycle_bound_steps
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.simple import schedule
from tests.agreement.random_small import small_cell
from tests.cycle_oracle import Best, Numbers, best_cycle, best_one_unit, drops_of, lifts_of, numbers_of
from tests.solvers.cycle.rows import Row, row_cell
from tests.solvers.cycle.timetables import Line, timetable

CELLS = 240  # random cells of the test run; `make soak` looks at more
GRID = 1000  # steps a second

# one gripper in a row: times, hold, step, ways constant or not, best period
ONE_GRIPPER = [
    ((5, 7), 1, 2, False, 22), ((1, 1), 1, 2, False, 20), ((60, 45), 5, 3, False, 92),
    ((20, 35, 25), 1, 2, False, 47), ((20, 35, 25), 1, 2, True, 45), ((3, 4, 5), 1, 2, False, 31),
    ((3, 4, 5), 1, 2, True, 24), ((1, 1, 1), 1, 4, False, 43), ((1, 1, 1), 1, 4, True, 31),
    ((20, 35, 25, 30), 1, 2, False, 47), ((20, 35, 25, 30), 1, 2, True, 45), ((2, 9, 30, 4), 1, 3, False, 54),
    ((2, 9, 30, 4), 1, 3, True, 43),
]  # fmt: skip
# two grippers in a row, exchange at each machine: times, hold, step, turn, period
TWO_GRIPPERS = [((20, 35, 25), 1, 2, 0.5, 37.5), ((60, 45, 50), 5, 3, 2, 72), ((30, 30), 1, 2, 0.5, 32.5)]
# alike machines side by side, one gripper: machines, time, period of as many parts
PURE = [(2, 5, 32), (2, 20, 36), (2, 100, 116), (3, 5, 60), (3, 60, 80), (3, 120, 140)]


@pytest.mark.parametrize(("times", "hold", "step", "constant", "period"), ONE_GRIPPER)
def test_one_gripper_in_a_row(times: tuple[int, ...], hold: int, step: int, constant: bool, period: int) -> None:
    """The best of all orders is the published one."""
    assert best_one_unit(row_cell(Row(times_s=times, hold_s=hold, step_s=step, constant=constant))) == GRID * period


@pytest.mark.parametrize(("times", "hold", "step", "turn", "period"), TWO_GRIPPERS)
def test_two_grippers_in_a_row(times: tuple[int, ...], hold: int, step: int, turn: float, period: float) -> None:
    """No way to use two grippers is quicker than the exchange at each machine in these cells."""
    cell = row_cell(Row(times_s=times, hold_s=hold, step_s=step, hands=2, turn_s=turn))

    assert best_one_unit(cell) == GRID * period


@pytest.mark.parametrize(("machines", "time", "period"), PURE)
def test_pure_cycles_of_machines_side_by_side(machines: int, time: int, period: int) -> None:
    """Each machine loaded once a period, in the best order."""
    assert best_one_unit(row_cell(Row(times_s=(time,), machines=machines))) == GRID * period


@pytest.mark.parametrize(("hands", "period"), [(1, 132), (2, 111)])
def test_two_identical_machines(hands: int, period: int) -> None:
    """With one gripper and with two."""
    row = Row(times_s=(100,), machines=2, hold_s=5, step_s=4, constant=True, hands=hands, turn_s=1)

    assert best_one_unit(row_cell(row)) == GRID * period


@pytest.mark.parametrize("part", range(8))
def test_schedule_and_bounds_agree_with_the_oracle(part: int) -> None:
    """One hand: the very period. Two hands: none below the oracle's, and the same where it is said to be proven."""
    wrong = [words for number in range(part, CELLS, 8) for words in disagreements(small_cell(number))]

    assert wrong == []


def disagreements(cell: Cell) -> list[str]:
    """Where the schedule of a cell, its bound and the oracle say different things."""
    best = best_cycle(cell)
    period, parts = best.best_or_none, len(numbers_of(cell).chains)
    found = []
    if period is not None and ceil(round(cycle_bound_steps(cell) * parts, 6)) > max(1, period):
        found.append(f"{cell.name}: bound {cycle_bound_steps(cell) * parts:g} above {period}")
    try:
        made: Schedule | None = schedule(cell)
    except NotYet:
        made = None  # no simple cycle, or one in which nothing takes any time
    (arm,) = cell.attendants.values()
    if made is None:
        missed = period is not None and period > 1 and arm.hands == 1
        return [*found, f"{cell.name}: nothing found, {period} is possible"] if missed else found
    if period is None or made.period_steps < period:
        found.append(f"{cell.name}: {made.period_steps} found, the best is {period}")
    elif (arm.hands == 1 or made.proven) and made.period_steps > period:
        found.append(f"{cell.name}: {made.period_steps} {'proven' if made.proven else 'open'}, {period} is possible")
    return found


@pytest.mark.parametrize("part", range(8))
def test_the_validator_lets_the_best_cycle_of_the_oracle_pass_and_none_that_is_quicker(part: int) -> None:
    """Times of the oracle's own, two parts in two hands among them, against the rules as the validator reads them."""
    wrong = []
    for number in range(part, CELLS, 8):
        cell = small_cell(number)
        best = best_cycle(cell)
        if best.best_or_none is None or at_the_turn(best):
            continue
        told = violations(cell, as_schedule(cell, best))
        wrong += [f"{cell.name}: {told[0]}"] if told else []
    assert wrong == []


def at_the_turn(best: Best) -> bool:
    """Whether the last visit takes no time and stands at the very end, so that times do not tell it from the first."""
    return max(best.times) >= best.period


def as_schedule(cell: Cell, best: Best) -> Schedule:
    """The oracle's cycle as a timetable."""
    numbers = numbers_of(cell)
    own = [line for chain in range(len(numbers.chains)) for line in lines_of(numbers, best, chain)]
    lines = [line for _, line in sorted(own, key=lambda each: each[0])]
    return timetable(cell, lines, period=best.period, parts=len(numbers.chains))


def lines_of(numbers: Numbers, best: Best, chain: int) -> list[tuple[int, Line]]:
    """The visits of one part from its supply on, with their numbers in the order; times go on over the periods."""
    lifts, drops = lifts_of(list(best.order)), drops_of(list(best.order))
    found: dict[int, Line] = {}
    lap, before = 0, 0
    for step in range(len(numbers.chains[chain]) - 1):
        for number, kind in ((lifts[chain, step], "pick"), (drops[chain, step], "place")):
            lap += number < before
            before = number
            stop = best.order[number]
            if stop.kind == "swap" and kind == "pick":
                lap += 1  # it is lifted by the same exchange, a period later
                found[number] = replace(found[number], out_lap=1)
                continue
            found[number] = Line(
                who=numbers.who,
                kind=stop.kind,
                at=numbers.station(stop),
                start=best.times[number] + lap * best.period,
                takes=numbers.hold(stop),
                part=numbers.part,
                unit=chain,
            )
    return list(found.items())
