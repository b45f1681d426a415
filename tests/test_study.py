"""One whole study: the same bytes wherever it is worked out, nothing better left out, and stopped when asked."""

import os
import subprocess
import sys
from dataclasses import replace

import pytest

from millhand.model.study import Study
from millhand.model.walk import facts_in
from millhand.report.study_json import study_as_json
from millhand.road import LARGER, earned, outputs, visited, worth
from millhand.run import Cancelled
from millhand.stages.concepts import concepts
from millhand.study import study
from millhand.trace import Sheet, recomputed
from tests.stages.jobs import job, plan_of
from tests.stages.short_road import catalogue, example

MILL, MOULD = job("one_mill"), job("mould")
ELSEWHERE = """
import sys
from millhand.report.study_json import study_as_json
from millhand.run import LocalRunner
from millhand.study import study
from tests.stages.jobs import job
from tests.stages.short_road import catalogue

if __name__ == "__main__":
    made = study(job("one_mill"), catalogue(), seed=1, runner=LocalRunner(workers=int(sys.argv[1])))
    sys.stdout.buffer.write(study_as_json(made).encode())
"""


class Steps:
    """A Watch that writes down each step and asks to stop in a named one after so many pieces."""

    def __init__(self, stop_in: str = "", after: int = 0) -> None:
        self.names: list[str] = []
        self.stop_in, self.after, self.done = stop_in, after, 0

    def step(self, name: str, done: int, total: int) -> None:
        """Write it down."""
        assert 0 <= done <= total
        self.names.append(name)
        self.done = done

    def cancelled(self) -> bool:
        """In the step that was named, after so many pieces."""
        return bool(self.names) and self.names[-1] == self.stop_in and self.done >= self.after


WATCHED = Steps()


@pytest.fixture(scope="session")
def mould() -> Study:
    """The study of moulding machines, none of whose cells could still be the best."""
    return study(MOULD, catalogue(), seed=1)


@pytest.fixture(scope="session")
def made() -> Study:
    """The study of one mill, in this process."""
    return study(MILL, catalogue(), seed=1, watch=WATCHED)


def figure(made: Study, fact_id: str | None) -> float:
    """A figure of the study."""
    assert fact_id is not None
    return made.facts[fact_id].value


def worked(concept: str, *, simulated: bool) -> tuple[float, float]:
    """Present worth and parts a year of one concept on a road of its own, after today."""
    sheet = Sheet((*facts_in(MOULD), *facts_in(catalogue())))
    first, own = (plan_of(MOULD, each, sheet) for each in ("today", concept))
    assert first.plan.cell is not None
    assert own.plan.cell is not None
    counts = list(outputs(first.desk, [first.plan.cell, own.plan.cell] if simulated else [first.plan.cell]))
    today, _ = earned(first.desk, first.plan, counts[0], None, sheet)
    performance, case = earned(own.desk, own.plan, counts[1] if simulated else None, today, sheet)
    return worth(case, sheet), sheet.value(performance.parts_per_y)


# --- what a study holds ---


def test_today_comes_first_and_every_concept_is_there(made: Study) -> None:
    """In the order in which they were thought of; what fell has its verdict, what lives its cell, output and case."""
    needless = {each.choices for each in made.dropped if each.words == LARGER}
    wanted = [each.id for each in concepts(MILL, catalogue())]
    assert needless < set(wanted)
    assert [each.concept.id for each in made.results] == [each for each in wanted if each not in needless]
    assert made.results[0].concept.kind == "today"
    for each in made.results:
        fell = any(verdict.kills and not verdict.holds for verdict in each.verdicts)
        assert (each.cell is None, each.performance is None, each.case is None) == (fell, fell, fell)
    assert figure(made, made.results[0].case.npv if made.results[0].case else None) == 0.0


def test_every_word_and_figure_of_the_results_stands_in_the_map(made: Study) -> None:
    """Inputs of a fact come before it; nothing points out of the map but unused catalogue entries."""
    seen: set[str] = set()
    for fact in made.facts.values():
        assert {source for _, source in fact.inputs} <= seen, fact.id
        seen.add(fact.id)


def test_the_map_of_a_study_can_be_worked_out_again(made: Study) -> None:
    """Every formula once more from the values that were written, to the last bit."""
    again = recomputed(made.facts, {}, {})

    assert {fact.id for fact in made.facts.values() if again[fact.id] != fact.value} == set()


def test_draws_gave_the_chance_and_the_ranges(made: Study) -> None:
    """Each simulated concept has a chance in two hundredths, and its payback a range around the likely one."""
    simulated = [
        each for each in made.results if each.performance and each.performance.output and each.concept.kind == "cell"
    ]
    assert simulated
    for each in simulated:
        assert each.case is not None
        chance = figure(made, each.case.hurdle_chance)
        payback = made.facts[each.case.payback_months or ""]
        assert 0.0 <= chance <= 1.0
        assert chance * 200.0 == pytest.approx(round(chance * 200.0), abs=1e-9)
        assert payback.low is not None
        assert payback.low < payback.value
        assert payback.note is not None
        assert "200 draws" in payback.note


def test_the_study_says_how_sure_it_is(made: Study) -> None:
    """Chances of being the best add up to one, the least regret is what it is worth to know all."""
    sure = made.decision.sureness
    assert sure is not None
    assert sum(figure(made, each.best_chance) for each in sure.outlooks) == pytest.approx(1.0)
    assert min(figure(made, each.regret) for each in sure.outlooks) == pytest.approx(figure(made, sure.everything))
    assert figure(made, sure.draws) == 200.0
    assert figure(made, sure.short_runs) == 24.0
    assert all(figure(made, each.worth) <= figure(made, sure.everything) for each in sure.known)
    assert {each.fact for each in (*sure.known, *sure.shares)} <= set(made.facts)


def test_the_onlooker_hears_of_every_stretch(made: Study) -> None:
    """Concepts, cycles that no simple one settles, simulations in batches, the loop made ready, short runs, draws."""
    assert made.seed == 1
    stretches = ["concepts", "cycles", "simulation", "compiling", "short runs", "draws"]
    assert list(dict.fromkeys(WATCHED.names)) == stretches


# --- the same bytes ---


def test_the_same_bytes_in_a_fresh_process_with_two_workers(made: Study) -> None:
    """Whatever the order of sets in that process, and however many share the work; this process shares it with none."""
    there = subprocess.run(
        [sys.executable, "-c", ELSEWHERE, "2"],
        capture_output=True,
        check=False,
        env=os.environ | {"PYTHONHASHSEED": "2", "PYTHONPATH": os.pathsep.join(sys.path)},
    )

    assert there.returncode == 0, there.stderr.decode()
    assert there.stdout.decode() == study_as_json(made)


# --- nothing better was left out ---


def test_no_concept_that_was_not_simulated_would_have_been_the_best(mould: Study) -> None:
    """Each simulated after all: worth no more than it was hoped to be, and no more than the winner."""
    left = [
        each
        for each in mould.results
        if each.concept.kind == "cell" and each.performance and each.performance.output is None
    ]
    simulated = [each for each in mould.results if each.case and each.performance and each.performance.output]
    best = max(figure(mould, each.case.npv) for each in simulated if each.case)
    assert left

    for each in left:
        assert each.case is not None
        hope = figure(mould, each.case.npv)
        value, _ = worked(each.concept.id, simulated=True)
        assert value <= hope <= best, each.concept.id


def test_a_hope_is_the_case_at_the_load_bound(mould: Study) -> None:
    """What stands in the study of a concept that was not simulated is what its own road gives without a simulation."""
    left = next(
        each
        for each in mould.results
        if each.concept.kind == "cell" and each.performance and each.performance.output is None
    )
    assert left.case is not None
    assert left.performance is not None
    value, parts = worked(left.concept.id, simulated=False)

    assert value == figure(mould, left.case.npv)
    assert parts == figure(mould, left.performance.parts_per_y)


# --- stopped ---


@pytest.mark.parametrize(("stretch", "after"), [("concepts", 3), ("simulation", 1)])
def test_a_study_stops_between_two_pieces_when_asked(stretch: str, after: int) -> None:
    """In any stretch, with the name of where it stopped."""
    watch = Steps(stop_in=stretch, after=after)

    with pytest.raises(Cancelled, match=stretch):
        study(MILL, catalogue(), seed=1, watch=watch)

    assert watch.names[-1] == stretch
    assert watch.done == after


def test_a_machine_that_no_part_visits_is_left_out() -> None:
    """Nothing is built round it; what every part visits stays as it is."""
    asked = example("1_two_mills")
    idle = replace(asked.machines[0], name="grinder")

    assert visited(replace(asked, machines=(*asked.machines, idle))) == asked
    assert visited(asked) == asked
