"""Duties that a cycle holds: the simulation does them where the schedule has them, and keeps the period."""

from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest

from millhand.errors import ToolError
from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import AttendantFault, Cell, Dispatch
from millhand.model.duty import Duty, Trigger
from millhand.model.schedule import Schedule
from millhand.model.span import Span
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import Finished, finished_run
from tests.agreement.kept_period import assert_keeps_period
from tests.agreement.nothing_left_to_chance import certain
from tests.agreement.random_small import small_cell
from tests.agreement.test_two_arms import random_two
from tests.solvers.kernel.shop import counts_of

CELLS = Path("examples/cells")
SMALL, TWO, FEW = 18, 14, 8  # random cells; by hand 300, 200 and 100
HELPED = (3, 12, 23)
SECONDS_AN_HOUR = 3600
EMPTY_HANDED = (0, 7, 24)  # random cells of two with one hand each
QUICK = Effort(deterministic=0.1)


def with_duties(cell: Cell, number: int) -> Cell:
    """The cell with nothing left to chance, and one or two duties that come with the parts of a step."""
    chance = Random(f"duties {number}")
    steps = [step.at for part in cell.parts.values() for step in part.route[1:-1]]
    duties = {
        f"d{i}": Duty(
            trigger=Trigger(kind="parts", at=chance.choice(steps), every_n=chance.choice([1, 1, 2, 3])),
            who=tuple(chance.sample(list(cell.attendants), chance.randint(1, len(cell.attendants)))),
            place=chance.choice(list(cell.places)),
            takes=Span(mean_s=float(chance.randint(1, 9))),
        )
        for i in range(chance.choice([1, 1, 2]))
    }
    return replace(certain(cell), duties=duties)


def cycle_of(cell: Cell) -> Schedule | None:
    """The cycle of a cell; None where there is none, or where a duty is left to the load bound."""
    try:
        best = best_cycle(cell, effort=QUICK)
    except ToolError:
        return None
    return None if any(words.startswith("duty ") for words in best.left_out) else best


def test_enough_of_the_random_cells_have_a_cycle_with_their_duties() -> None:
    """Otherwise the tests below would look at little."""
    assert sum(cycle_of(with_duties(small_cell(n), n)) is not None for n in range(FEW)) > FEW / 3
    assert sum(cycle_of(with_duties(random_two(n), n)) is not None for n in range(FEW)) > FEW / 3


@pytest.mark.parametrize("number", range(SMALL))
def test_an_arm_does_its_duties_in_the_cycle(number: int) -> None:
    """One or two hands, windows, gates, exchanges, tables that are not symmetric."""
    cell = with_duties(small_cell(number), number)
    best = cycle_of(cell)
    if best is not None:
        assert_keeps_period(cell, best)


@pytest.mark.parametrize("number", range(TWO))
def test_two_arms_on_a_track_do_their_duties_in_the_cycle(number: int) -> None:
    """And without a track; whoever follows knows when the one ahead will be done with a duty."""
    for cell in (random_two(number), replace(random_two(number), tracks={})):
        asked = with_duties(cell, number)
        best = cycle_of(asked)
        if best is not None:
            assert_keeps_period(asked, best)


def with_empty_hands(number: int, needs: int) -> Cell:
    """Two without a track, whose duties need so many hands."""
    cell = with_duties(replace(random_two(number), tracks={}), number)
    return replace(cell, duties={name: replace(duty, needs_hands=needs) for name, duty in cell.duties.items()})


@pytest.mark.parametrize("number", EMPTY_HANDED)
def test_a_duty_that_needs_the_only_hand_is_done_in_the_cycle(number: int) -> None:
    """With one hand a duty is done while it is empty, so that nothing has to be left to the load bound."""
    cell = with_empty_hands(number, 1)
    best = cycle_of(cell)

    assert best is not None
    assert_keeps_period(cell, best)


def with_helper(number: int, rule: str) -> Cell:
    """Two without a track, and somebody who only does their duties, which take longer than the parts do."""
    cell = with_duties(replace(random_two(number), tracks={}), number)
    helper = replace(cell.attendants["a1"], kind="operator", hands=1, take_from=(), put_to=())
    duties = {
        name: replace(duty, who=("helper",), takes=Span(mean_s=8 * duty.takes.mean_s))
        for name, duty in cell.duties.items()
    }
    return replace(cell, attendants={**cell.attendants, "helper": helper}, duties=duties,
                   dispatch={**cell.dispatch, "helper": Dispatch(rule=rule)})  # fmt: skip


@pytest.mark.parametrize("rule", ["cycle", "longest_waiting"])
@pytest.mark.parametrize("number", HELPED)
def test_nobody_runs_ahead_of_who_does_only_duties(number: int, rule: str) -> None:
    """Whatever the helper's own rule: parts come no faster than their duties can be done, and the bound says."""
    cell = with_helper(number, rule)
    best = cycle_of(cell)

    assert best is not None
    assert_keeps_period(cell, best)
    assert SECONDS_AN_HOUR * best.parts_per_period / (best.period_steps * cell.grid_s) <= rate_bound_per_h(cell) * 1.001


def test_where_only_who_does_duties_follows_the_schedule_calls_are_answered() -> None:
    """Nobody is in a turn then: those who carry parts go by their own rules, and the helper by the calls."""
    cell = with_duties(small_cell(2), 2)
    arm = cell.attendants["arm"]
    helper = replace(arm, kind="operator", take_from=(), put_to=())
    duties = {name: replace(duty, who=("helper", "arm")) for name, duty in cell.duties.items()}
    cell = replace(cell, attendants={"arm": arm, "helper": helper}, duties=duties,
                   dispatch={"helper": Dispatch(rule="cycle")})  # fmt: skip
    best = cycle_of(cell)
    run = finished_run(compiled(cell, schedule=best), 20_000, seed=1, replication=0)

    assert counts_of(run)["parts"] > 100
    assert sum(run.k.d_ended) > 10


def test_a_duty_with_too_few_empty_hands_is_found() -> None:
    """A cycle in which an arm does a duty with a part in one of two hands is none where it needs both."""
    cell = with_duties(small_cell(20), 20)
    best = cycle_of(cell)
    both = replace(cell, duties={name: replace(duty, needs_hands=2) for name, duty in cell.duties.items()})

    assert best is not None
    assert violations(cell, best) == []
    assert any("has not the 2 hands empty" in words for words in violations(both, best))


@pytest.mark.parametrize("name", ["operator_deburrs_each_part", "one_operator_two_mills"])
def test_an_example_keeps_its_cycle_with_its_duties(name: str) -> None:
    """Of those that come with the parts; whoever deburrs does so once for each part."""
    given = read_cell(CELLS / f"{name}.json")
    of_parts = {name: duty for name, duty in given.duties.items() if duty.trigger.kind == "parts"}
    cell = replace(certain(given), duties={name: replace(duty, takes=Span(mean_s=duty.takes.mean_s))
                                           for name, duty in of_parts.items()})  # fmt: skip
    best = best_cycle(cell, effort=QUICK)
    held = {event.part for event in best.events if event.what == "duty"}
    kept = replace(cell, duties={name: duty for name, duty in cell.duties.items() if name in held})

    assert_keeps_period(kept, best)


def calls_and_ends(run: Finished) -> tuple[int, int]:
    """How often a duty was called, and how often one was done."""
    whats = [str(line["what"]).split()[0] for line in log_of(run)]
    return whats.count("call"), whats.count("ends")


def shared(who: str) -> tuple[Cell, Schedule]:
    """Two arms without a track where both may do a duty, of which one follows the schedule and the other may not."""
    cell = with_duties(replace(random_two(1), tracks={}), 1)
    duty = Duty(trigger=Trigger(kind="parts", at=("m1",), every_n=1), who=("a1", "a2"), place="p0",
                takes=Span(mean_s=3.0))  # fmt: skip
    cell = replace(cell, duties={"look": duty})
    return replace(cell, dispatch={who: Dispatch(rule="cycle")}), best_cycle(cell, effort=QUICK)


@pytest.mark.parametrize("who", ["a1", "a2"])
def test_who_follows_no_schedule_answers_the_calls_of_a_duty(who: str) -> None:
    """Whoever comes first does it, once for each part, and nobody twice."""
    cell, best = shared(who)
    run = finished_run(compiled(cell, schedule=best), 600 * best.period_steps, seed=1, replication=0, logging=True)
    calls, ends = calls_and_ends(run)

    assert counts_of(run)["parts"] > 100
    assert 0 <= calls - ends <= 2


@pytest.mark.parametrize("number", range(6))
def test_after_a_stop_all_calls_are_answered(number: int) -> None:
    """The arm stands for more than three periods; later the pace is the schedule's again, and no call is forgotten."""
    cell = with_duties(small_cell(number), number)
    best = cycle_of(cell)
    if best is None:
        return
    period_s = best.period_steps * cell.grid_s
    jam = AttendantFault(id="jam", on="clock", every=Span(mean_s=20.4 * period_s), self_s=Span(mean_s=3.3 * period_s))
    arm = replace(cell.attendants["arm"], faults=(jam,))
    c = compiled(replace(cell, attendants={"arm": arm}), schedule=best)
    run = finished_run(c, 39 * best.period_steps, seed=1, replication=0, logging=True)
    calls, ends = calls_and_ends(run)
    late = sum(line["what"] == "out" and line["t_s"] >= 28 * period_s for line in log_of(run))

    assert ends > 15
    assert 0 <= calls - ends <= 4 * len(cell.duties)
    assert late == pytest.approx(11 * best.parts_per_period, abs=best.parts_per_period)


def fixed(s: float, **more: float) -> dict[str, float]:
    """A hold, and what comes with it."""
    return {"hold_s": s, **more}


def two_slots() -> Cell:
    """Two slots, an arm whose lift keeps a slot for 2 s more, an operator, and two duties at the raw parts."""
    duty = {"who": ["operator", "arm"], "place": "in"}
    calls = {"kind": "parts", "at": ["m1"]}
    ways = {"arm": [[0, 2, 2], [1, 0, 1], [2, 1, 0]], "operator": [[0, 1, 2], [1, 0, 1], [1, 2, 0]]}
    return certain_but_for_duties({
        "format": "millhand-cell/1", "name": "two slots", "grid_s": 1,
        "places": {"in": {}, "m1": {}, "out": {}},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "m1", "capacity": 2},
            "done": {"kind": "sink", "place": "out", "capacity": None},
        },
        "attendants": {
            "arm": {"kind": "arm", "hands": 2, "home": "in", "moves": "arm"},
            "operator": {"kind": "operator", "hands": 1, "home": "in", "moves": "operator"},
        },
        "moves": {who: {"places": ["in", "m1", "out"], "empty_s": table} for who, table in ways.items()},
        "parts": {"part": {"route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 3}, {"at": ["done"]}]}},
        "duties": {
            "look": {**duty, "trigger": {**calls, "every": 1}, "takes": 3},
            "sign": {**duty, "trigger": {**calls, "every": 2}, "takes": 2},
        },
        "handling": [
            {"who": ["arm"], "at": ["raw"], "pick": fixed(1)},
            {"who": ["arm"], "at": ["m1"], "pick": fixed(1, tail_s=2), "place": fixed(2, tail_s=2)},
            {"who": ["arm"], "at": ["done"], "place": fixed(2)},
            {"who": ["operator"], "at": ["raw"], "pick": fixed(2)},
            {"who": ["operator"], "at": ["m1"], "pick": fixed(1, lead_s=1), "place": fixed(1)},
            {"who": ["operator"], "at": ["done"], "place": fixed(1)},
        ],
    })  # fmt: skip


def certain_but_for_duties(form: dict[str, Any]) -> Cell:
    """A cell with nothing left to chance that has its duties."""
    cell = cell_from(form)
    return replace(certain(cell), duties=cell.duties)


def test_of_two_free_slots_the_one_that_is_ready_is_filled() -> None:
    """Not the one that was just emptied, and which the arm's own lift still keeps."""
    cell = two_slots()
    assert_keeps_period(cell, best_cycle(cell, effort=Effort(deterministic=0.1, most_sets=2)))
