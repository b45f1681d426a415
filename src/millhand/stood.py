"""One cell as somebody stands it: the road of every concept with places given by hand, then its cycle, then its shifts.

What depends on the layout is there at once; the simulated output of the same cell takes a moment longer.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from millhand.model.canonical import content_hash
from millhand.model.catalogue import Catalogue
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.model.study import Result
from millhand.model.walk import facts_in
from millhand.road import (
    Desk,
    Plan,
    cycle,
    is_counted,
    outputs_of,
    planned,
    scheduled,
    scope_of,
    visited,
    with_best,
)
from millhand.run import LocalRunner, Nobody, Runner
from millhand.solvers.cycle.simple import is_settled
from millhand.stages.concepts import as_today, wanted_by
from millhand.stages.performance.build import performance
from millhand.stages.performance.hours import hours
from millhand.trace import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """What is found out about one concept of an inquiry's wishes; `against` are the words of a rule that drops it."""

    result: Result | None
    facts: Mapping[str, Fact]
    choices: Mapping[str, Choice]
    against: str = ""


def stood(inquiry: Inquiry, catalogue: Catalogue, wish: str, *, simulate: bool, runner: Runner | None = None) -> Stood:
    """Layout, times, checks and output of the concept that a wish of the inquiry keeps.

    simulate: its shifts are run too; else the output is that of its best cycle and its load bound, where today was
    simulated before.
    """
    sheet = Sheet((*facts_in(inquiry), *facts_in(visited(inquiry)), *facts_in(catalogue)))
    inquiry = visited(inquiry)
    concept, against = wanted_by(inquiry, catalogue, wish)
    if concept is None:
        return Stood(result=None, facts={}, choices={}, against=against)
    desk = Desk(
        inquiry=inquiry, catalogue=catalogue, pattern=hours(inquiry, sheet), seed=1, runner=runner or LocalRunner(),
        watch=Nobody(),
    )  # fmt: skip
    today = planned(desk, as_today(catalogue), sheet)
    loss_known = simulate or is_counted(desk, today)
    if loss_known:
        output_of(desk, today, sheet, simulate=True)  # the loss that nothing explains holds for every cell
    plan = planned(desk, concept, sheet)
    searched = [each for each, known in scheduled(plan) if not (known and is_settled(each, known))]
    plan = with_best(plan, {content_hash(each): best for each in searched if (best := cycle(each)) is not None})
    own = output_of(desk, plan, sheet, simulate=simulate) if loss_known else None
    result = Result(
        concept=concept, verdicts=plan.verdicts, layout=plan.layout, timing=plan.timing, cell=plan.cell,
        schedule=plan.schedule, performance=own, estimate=plan.estimate, phases=plan.phases,
    )  # fmt: skip
    return Stood(result=result, facts=sheet.facts, choices=sheet.choices)


def output_of(desk: Desk, plan: Plan, sheet: Sheet, *, simulate: bool) -> Performance | None:
    """What the cell puts out; None where a check ends it."""
    if plan.cell is None:
        return None
    counted = next(outputs_of(desk, (plan,))) if simulate else None
    return performance(scope_of(desk, plan, sheet, output=counted, schedule=plan.schedule), plan.layout.pockets)
