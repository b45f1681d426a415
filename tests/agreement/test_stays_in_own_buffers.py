"""Limited stays in machines with own buffers: one stay over machine and buffers, from the set-down in the first to the
lift out of the last, alike in the simulation, the schedule, the validator and the plan for lots."""

from random import Random

import pytest

from millhand.errors import NotYet, ToolError
from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.pictures.stayed import stays
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import simulate
from millhand.solvers.kernel.running import Finished, finished_run
from tests.agreement.random_manifold import manifold_form
from tests.agreement.test_makespan_simulated import RULES
from tests.agreement.test_simulation_plain import assert_steady
from tests.small_lots import rich_lots, with_windows
from tests.solvers.cycle.lots_proof import is_checked, proof_gaps
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, run_of, times_s

SEEDS = range(12)  # range(200) by hand
LOT_SEEDS = range(4)  # range(40) by hand
HOURS = 2.0
HOLD_S = 5


def one_machine(seed: int) -> Form:
    """An arm and one machine with buffers of its own before it, behind it or both, that follows the schedule."""
    dice = Random(f"stays {seed}")
    form = arm_cell(1, time_s=dice.randint(0, 60), way_s=dice.choice([0, 1, 4]))
    before, behind = dice.choice([(1, 0), (2, 0), (0, 1), (0, 2), (1, 1), (2, 1), (1, 2)])
    form["stations"]["m1"] |= {"in_queue": before, "out_queue": behind}
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def limited(form: Form, longest_s: float) -> Form:
    """The same cell with a limited stay at its machine."""
    step = next(step for step in form["parts"]["part"]["route"] if step["at"] == ["m1"])
    step["stay_max_s"] = longest_s
    return form


def whole_stays_s(run: Finished) -> list[float]:
    """The stays of all parts at the machine and its buffers, from the log: parts leave in the order they came in."""
    into, out = (times_s(run, what, where(run, end)) for what, end in (("place", "in"), ("pick", "out")))
    return [round(lifted - HOLD_S - placed, 6) for placed, lifted in zip(into, out, strict=False)]


def where(run: Finished, end: str) -> str:
    """The station at which parts for the machine are set down or lifted."""
    return f"m1 {end}" if f"m1 {end}" in run.c.station_names else "m1"


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("rule", ["longest_waiting", "order"])
def test_the_simulation_counts_what_the_log_shows(seed: int, rule: str) -> None:
    """Late are the parts whose stay in machine and buffers together, told by the log, is longer than allowed."""
    form = one_machine(seed)
    form["dispatch"]["arm"] = {"rule": rule} | ({"order": ["raw", "m1"]} if rule == "order" else {})
    seen = whole_stays_s(run_of(form, HOURS))
    longest = sorted(seen)[len(seen) // 2]
    run = run_of(limited(form, longest), HOURS)

    assert max(seen) > 0
    assert counts_of(run)["late"] == sum(stay > longest for stay in seen)


def followed(form: Form, found: Schedule) -> Finished:
    """The simulation of a schedule, with nothing left to chance."""
    cell = cell_from(form)
    return finished_run(
        compiled(cell, schedule=found), round(HOURS * 3600 / cell.grid_s), seed=1, replication=0, logging=True
    )


def too_long(form: Form, found: Schedule) -> bool:
    """Whether the validator finds a stay that is too long, whatever it says of arcs that a free schedule has not."""
    return any("at most" in words for words in violations(cell_from(form), found))


@pytest.mark.parametrize("seed", SEEDS)
def test_validator_and_simulation_object_to_the_same_stays(seed: int) -> None:
    """A schedule found without a limit, under one: the validator objects just where the simulation finds parts late."""
    form = one_machine(seed)
    found = best_cycle(cell_from(form), effort=BRIEF)
    told = max(each.lift[0] - each.placed for each in stays(found) if each.lift and each.placed is not None)
    longest = round(told * found.grid_s)
    for allowed in (longest, max(longest - 1, form["parts"]["part"]["route"][1]["time_s"])):
        run = followed(limited(form, allowed), found)

        assert max(whole_stays_s(run)[-found.parts_per_period - 1 :]) == longest
        assert too_long(form, found) == (counts_of(run)["late"] > 0) == (allowed < longest)


@pytest.mark.parametrize("seed", SEEDS)
def test_schedules_under_a_limit_are_simulated_without_a_late_part(seed: int) -> None:
    """The best cycle under a limited stay comes out of the simulation, and none of its parts is late."""
    form = limited_at_random(seed)
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert violations(cell_from(form), found) == []
    assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=HOURS)
    assert counts_of(followed(form, found))["late"] == 0


def limited_at_random(seed: int) -> Form:
    """A random cell, mostly with several slots or loads beside buffers, whose stays at its first machine are limited so
    narrowly that they bind, as far as some cycle keeps them."""
    dice = Random(f"limited {seed}")
    form = manifold_form(seed) if seed % 3 else one_machine(seed)
    work = next(step for step in form["parts"]["part"]["route"] if step["at"] == ["m1"])["time_s"]
    for slack in (dice.choice([0, 1, 5]), 20, 60, 120, 400):
        try:
            best_cycle(cell_from(limited(form, work + slack)), effort=BRIEF)
        except (NotYet, ToolError):
            continue
        return form
    return form


def late_and_finished(form: Form, rule: str) -> tuple[float, float] | None:
    """How many parts were late, and when the simulation had finished the lots; None where parts block each other."""
    form["dispatch"] = {who: {"rule": rule} for who, each in form["attendants"].items() if each["kind"] == "arm"}
    try:
        output = simulate(cell_from(form), hours=1.0, replications=1)
    except ToolError as error:
        if error.code != "deadlock":
            raise
        return None
    if output.finished_s is None:
        return None
    return sum(figure.mean for figure in output.late_at.values()), output.finished_s.mean


@pytest.mark.parametrize("seed", LOT_SEEDS)
def test_lots(seed: int) -> None:
    """A plan for lots keeps the whole stays, as the validator reads them, and no rule without a late part is faster."""
    form = with_windows(rich_lots(9 * seed + 1), seed)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=2.0, workers=1, seed=1)
    seen = [one for rule in RULES if (one := late_and_finished(form, rule)) is not None]

    assert is_checked(best)
    assert proof_gaps(best) == []
    assert min((finished for late, finished in seen if not late), default=best.least_steps) >= best.least_steps


def test_a_narrow_stay_keeps_lots_out_of_the_buffers() -> None:
    """By hand: where no part may wait, each is brought (5 + 4 + 5 s), worked on for 10 s while the hand stands by and
    brought out (5 + 4 + 5 s), 4 s back in between; with time to wait in the buffers it fetches another one."""
    form = arm_cell(1, time_s=10)
    form["goal"] = "makespan"
    form["parts"]["part"]["lot"] = {"size": 3}
    form["stations"]["m1"] |= {"in_queue": 1, "out_queue": 1}
    found = shortest_makespan(cell_from(limited(form, 10)), deadline=None, deterministic=2.0, workers=1, seed=1)
    free = shortest_makespan(cell_from(limited(form, 600)), deadline=None, deterministic=2.0, workers=1, seed=1)

    assert (found.period_steps, found.proven) == ((3 * 38 + 2 * 4) * 1000, True)
    assert free.period_steps < found.period_steps
