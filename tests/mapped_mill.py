"""One mill on its whole road, as a study with its two-way maps: made once in a process."""

from dataclasses import replace
from functools import cache

from millhand.maps import WEEKS, with_maps
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in, with_facts
from millhand.road import earned
from millhand.solvers.cycle.simple import simple
from millhand.solvers.kernel.replications import simulate
from millhand.stages.cells.build import cell
from millhand.trace import Sheet
from tests.report.fixture_study import study as made_by_hand
from tests.stages.jobs import catalogue, job, plan_of

TRAYS = "trays-movable_stand-force_limited_25-parallel_double-scanner"


def road(inquiry: Inquiry, new: dict[str, Fact], pockets: float | None = None) -> tuple[list[Result], Sheet]:
    """Today and the cell on their whole road, each simulated for the weeks of a map."""
    sheet = Sheet(new.get(each.id, each) if isinstance(each, Fact) else each for each in (
        *facts_in(inquiry), *facts_in(catalogue())))  # fmt: skip
    results, before = [], None
    for name in ("today", TRAYS):
        each = plan_of(inquiry, name, sheet)
        plan, figures = each.plan, with_facts(catalogue(), new)
        if name == TRAYS and (new or pockets):
            gone = f"concepts.{TRAYS}.cells."
            moved = Sheet(f for f in sheet if not f.id.startswith((gone, f"concepts.{TRAYS}.feasibility.pockets")))
            moved.extend(sheet.choices.values())
            size = sheet[plan.layout.pockets]
            moved.add(replace(size, value=pockets or size.value, low=None, high=None, shape="point", formula=None))
            sheet = moved
            made = cell(inquiry, plan.concept, plan.layout, plan.timing, figures, sheet)
            plan = replace(plan, cell=made, schedule=simple(made))
        assert plan.cell is not None
        output = simulate(plan.cell, hours=168, replications=WEEKS, seed=1)
        desk = replace(each.desk, catalogue=figures)
        own, case = earned(desk, plan, output, before, sheet)
        before = before or own
        results.append(
            Result(
                concept=plan.concept, verdicts=plan.verdicts, layout=plan.layout, timing=plan.timing, cell=plan.cell,
                performance=own, estimate=plan.estimate, case=case,
            )
        )  # fmt: skip
    return results, sheet


@cache
def mapped() -> Study:
    """One mill as a study with its maps."""
    inquiry = job("one_mill")
    results, sheet = road(inquiry, {})
    base = made_by_hand()
    ranking = tuple(replace(base.decision.ranking[0], concept=each, place=place) for place, each in enumerate(
        (TRAYS, "today"), start=1))  # fmt: skip
    done = replace(
        base, inquiry=inquiry, facts=sheet.facts, choices=sheet.choices, results=tuple(results),
        decision=replace(  # without what rests on facts that are not here
            base.decision, winner=TRAYS, ranking=ranking, drivers=(), sureness=None, tradeoff=None, part_limits=(),
            sentences=("The cell pays.",), would_change=(), orders=None, asks=(),
        ),
    )  # fmt: skip
    return with_maps(done, inquiry, catalogue())
