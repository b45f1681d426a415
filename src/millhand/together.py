"""How often machines wait at once, beside a study that is done: today, and of the ways that its answer is about."""

from dataclasses import replace

from millhand.model.canonical import content_hash
from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.run import Nobody, Watch, watched
from millhand.solvers.waiting import Waited, waited

WEEKS = 24  # logged of each way: in eight, one long stop of the arm moves the share by half


def with_waits_together(done: Study, *, watch: Watch | None = None) -> Study:
    """The study with `performance.together.*` in its map, of today, the way that it advises and the second one."""
    named = (done.results[0].concept.id, done.decision.winner, done.decision.second)
    wanted = [each for each in done.results if each.concept.id in named and is_counted(each)]
    rows = (noted(each, done.seed) for each in wanted)
    facts = tuple(watched(watch or Nobody(), "waits", rows, total=len(wanted)))
    return replace(done, facts={**done.facts, **{fact.id: fact for row in facts for fact in row}})


def is_counted(result: Result) -> bool:
    """Whether it was simulated as a cell of its own."""
    return result.cell is not None and result.performance is not None and result.performance.output is not None


def noted(result: Result, seed: int) -> tuple[Fact, ...]:
    """The share of time in which several machines wait, and in how many weeks it was counted."""
    assert result.cell is not None
    found = waited(result.cell, weeks=WEEKS, seed=seed)
    return () if found is None else facts_of(found, result)


def facts_of(found: Waited, result: Result) -> tuple[Fact, ...]:
    """As facts that name the cell and what it was built from."""
    assert result.cell is not None
    inputs = tuple(("", each) for each in sorted({origin.fact for origin in result.cell.origins.values()}))
    source = f"logged weeks of the simulation of cell {content_hash(result.cell)}"
    top = f"concepts.{result.concept.id}.performance.together"
    return (
        Fact(
            id=f"{top}.share", value=found.several.mean, unit="1", low=max(0.0, found.several.low),
            high=found.several.high, shape="triangular", basis="computed", source=f"95 % interval of {source}",
            inputs=inputs,
        ),
        Fact(
            id=f"{top}.weeks", value=float(found.weeks), unit="1", basis="computed", source=f"number of {source}",
            inputs=inputs,
        ),
    )  # fmt: skip
