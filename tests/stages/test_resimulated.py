"""The simulation in the draws: cells scaled, never rebuilt, in the same weeks; what was not run follows a response."""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from millhand.model.fact import Fact
from millhand.model.slots import scaled
from millhand.model.study import Result
from millhand.road import earned
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.kernel.replications import simulate
from millhand.solvers.kernel.varied import Rates, Variants, varied
from millhand.stages.spread import Asked, Followed, followed, to_draw, variants, worlds
from millhand.stages.spread.resimulated import origins, simulated
from millhand.trace import Sheet, Solved, recomputed
from tests.stages.jobs import job, plan_of

TRAYS = "trays-movable_stand-force_limited_25-parallel_double-scanner"
RUNS, HELD_OUT = 40, 16
ASKED = Asked(count=64, seed=1, resimulated=RUNS, weeks=2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mill:
    """One mill with its cell, simulated, and simulated again in some draws."""

    results: tuple[Result, ...]
    sheet: Sheet
    tasks: tuple[Variants, ...]
    rates: tuple[tuple[Rates | None, ...], ...]

    def figure(self, name: str, concept: str = TRAYS) -> Fact:
        """A figure of the performance."""
        return self.sheet[f"concepts.{concept}.performance.{name}"]

    def follows(self, runs: int) -> Followed:
        """How the figures follow, from so many of the draws that were simulated."""
        short = [
            (Variants(cell=task.cell, factors=task.factors[: runs + 1], seed=1, weeks=2), rates[: runs + 1])
            for task, rates in zip(self.tasks, self.rates, strict=True)
        ]
        return followed({}, self.results, self.sheet.facts, short)

    def numbers(self, draw: int, concept: int = 1) -> dict[str, float]:
        """Every number of the map where the facts behind a cell stand as in a draw that was simulated."""
        moved = self.tasks[concept].factors[draw + 1]
        return {fact.id: fact.value * moved.get(fact.id, 1.0) for fact in self.sheet}


@cache
def mill() -> Mill:
    """Today and one cell of one mill; a few weeks are enough for the long run here."""
    inquiry = job("one_mill")
    first = plan_of(inquiry, "today")
    sheet = first.sheet
    own = plan_of(inquiry, TRAYS, sheet)
    results, before = [], None
    for each in (first, own):
        assert each.plan.cell is not None
        output = simulate(each.plan.cell, hours=168, replications=8, seed=1)
        performance, case = earned(each.desk, each.plan, output, before, sheet)
        before = before or performance
        results.append(
            Result(
                concept=each.plan.concept, verdicts=each.plan.verdicts, cell=each.plan.cell,
                performance=performance, estimate=each.plan.estimate, case=case,
            )
        )  # fmt: skip
    tasks = variants(results, sheet.facts, ASKED)
    return Mill(results=tuple(results), sheet=sheet, tasks=tasks, rates=tuple(varied(task) for task in tasks))


def test_a_variant_is_simulated_as_its_cell_would_be() -> None:
    """The same counts as the ordinary simulation of the scaled cell in the same weeks, to the last bit."""
    done = mill()
    task, rates = done.tasks[1], done.rates[1]
    for draw in (0, 3):
        found = rates[draw]
        assert found is not None
        cell = scaled(task.cell, task.factors[draw])
        output = simulate(cell, hours=168, replications=2, seed=1)
        assert found.bound_per_h == rate_bound_per_h(cell)
        assert found.parts_per_h == pytest.approx(output.parts_per_h.mean, rel=1e-12)
        assert found.attended_per_h == pytest.approx(output.counts["attended"].mean, rel=1e-12)
        assert found.unattended_per_h == pytest.approx(output.counts["unattended"].mean, rel=1e-12)
        assert found.duties == pytest.approx({name: share.mean for name, share in output.duty_share.items()})
        walked = sum(each.get(walk, 0.0) for each in output.states.values() for walk in ("travelling", "carrying"))
        assert found.walking == pytest.approx(walked, rel=1e-12)


def test_nothing_moved_is_the_very_figure() -> None:
    """At the study's own values every figure is the one that the long simulation gave, to the last bit."""
    done = mill()
    follows = done.follows(RUNS)
    again = recomputed(done.sheet.facts, {}, follows.solved)

    assert len(follows.solved) >= 6
    assert {fact.id for fact in done.sheet if again[fact.id] != fact.value} == set()


def test_a_draw_that_was_simulated_moves_the_figures_by_its_own_ratios() -> None:
    """Output against the unchanged cell in the same weeks; the achieved share against the bound as it is then."""
    done = mill()
    follows = done.follows(RUNS)
    first, *rates = done.rates[1]
    assert first is not None
    for draw in (0, 7, 23):
        own = rates[draw]
        assert own is not None
        numbers = done.numbers(draw)
        at = {name: follows.solved[done.figure(name).id](numbers) for name in ("bound_loads_per_h", "achieved",
              "loads_per_h", "duty_share")}  # fmt: skip
        made = at["bound_loads_per_h"] * at["achieved"]
        before = done.figure("bound_loads_per_h").value * done.figure("achieved").value
        assert at["bound_loads_per_h"] == pytest.approx(own.bound_per_h, rel=1e-9)
        assert made / before == pytest.approx(own.attended_per_h / first.attended_per_h, rel=1e-9)
        assert at["loads_per_h"] / done.figure("loads_per_h").value == pytest.approx(
            own.parts_per_h / first.parts_per_h, rel=1e-9
        )
        assert at["duty_share"] / done.figure("duty_share").value == pytest.approx(
            sum(own.duties.values()) / sum(first.duties.values()), rel=1e-9
        )


def test_a_response_holds_in_draws_that_it_never_saw() -> None:
    """Output of the draws that were left out, to twice the error told; people's time nearer than output brings it."""
    done = mill()
    follows = done.follows(RUNS - HELD_OUT)
    first, *rates = done.rates[1]
    assert first is not None
    assert follows.error is not None
    off, people, by_output = [], [], []
    for draw in range(RUNS - HELD_OUT, RUNS):
        own, numbers = rates[draw], done.numbers(draw)
        assert own is not None
        told, hours = (
            follows.solved[done.figure(name).id](numbers) / done.figure(name).value
            for name in ("loads_per_h", "duty_share")
        )
        counted = sum(own.duties.values()) / sum(first.duties.values())
        off.append(math.log(told / (own.parts_per_h / first.parts_per_h)))
        people.append(math.log(hours / counted))
        by_output.append(math.log(told / counted))

    assert rms(off) < 2.0 * follows.error
    assert rms(people) < 0.8 * rms(by_output)


def rms(values: list[float]) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(np.square(values))))


def test_all_concepts_meet_the_same_world_in_the_same_weeks() -> None:
    """A fact behind both cells is scaled alike in the same draw, and the seed and the weeks are the same."""
    done = mill()
    today, cell = done.tasks
    both = set(origins(today.cell)) & set(origins(cell.cell))

    assert both
    assert (today.seed, today.weeks, len(today.factors)) == (cell.seed, cell.weeks, len(cell.factors))
    for one, two in zip(today.factors, cell.factors, strict=True):
        assert all(one.get(fact_id, 1.0) == two.get(fact_id, 1.0) for fact_id in both)


def test_without_short_runs_only_the_bounds_follow() -> None:
    """No draw is simulated again: what was handed over, and no error to tell."""
    bounds: Solved = {"x": lambda numbers: 1.0}
    found = followed(bounds, (), {}, ())

    assert (found.solved, found.runs, found.error) == (bounds, 0, None)
    assert len(simulated(mill().results)) == 2


def test_the_draws_of_the_study_are_the_ones_that_were_simulated() -> None:
    """The first draws find their own runs again, of both concepts; the others move by a response."""
    done = mill()
    follows = done.follows(RUNS)
    drawn = list(worlds(done.sheet.facts, to_draw(done.results), follows.solved, ASKED))
    figure = done.figure("loads_per_h")
    first, *rates = done.rates[1]
    assert first is not None
    for world, own in zip(drawn, rates, strict=False):
        assert own is not None
        assert world[figure.id] / figure.value == pytest.approx(own.parts_per_h / first.parts_per_h, rel=1e-9)

    assert len(drawn) == ASKED.count
    assert len({world[figure.id] for world in drawn[RUNS:]}) == ASKED.count - RUNS
