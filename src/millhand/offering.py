"""Work that people do today and that the arm of the best cell could do besides: what it would cost and free.

It stands in no figure of a cell: nobody asked for it. Worked out beside a study that is done, with neither a simulation
nor a case; whoever wants these asks for the work by name, and the study looks at it in full.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Component, Concept
from millhand.model.decision import Offer
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Study
from millhand.model.walk import facts_in
from millhand.road import Desk, Plan, built, scope_of, visited
from millhand.run import LocalRunner, Nobody
from millhand.sizing import best_cell
from millhand.stages.concepts import CHOICES, Choices, cell_concept, first_rule, inquiry_words, plain_words
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.rate import rate
from millhand.stages.performance.hours import hours
from millhand.stages.performance.kept import kept, taken_over
from millhand.stages.performance.shared import good_share
from millhand.trace import Sheet, apply, needed

TENDED = "performance.tended_parts_per_y"  # of the study's own concept


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """The best cell as it is, on a sheet of its own, and the parts a year that people's hours are counted for."""

    desk: Desk
    plan: Plan
    sheet: Sheet
    parts_per_y: Fact


def with_offers(done: Study, inquiry: Inquiry, catalogue: Catalogue) -> Study:
    """The study with the work that its best cell could take over; as it was where people do no such work today."""
    best = best_cell(done)
    asked = visited(inquiry)
    works = tuple(open_works(asked, best.concept, catalogue)) if best is not None else ()
    if best is None or not works:
        return done
    sheet = Sheet((*facts_in(asked), *facts_in(catalogue)))
    pattern = hours(asked, sheet)
    desk = Desk(
        inquiry=asked, catalogue=catalogue, pattern=pattern, seed=done.seed, runner=LocalRunner(), watch=Nobody()
    )  # fmt: skip
    parts = done.facts[f"concepts.{best.concept.id}.{TENDED}"]
    base = Base(desk=desk, plan=built(desk, best.concept, sheet), sheet=sheet, parts_per_y=parts)
    offers = tuple(each for work in works for each in offered(base, work))
    wanted = [fact_id for each in offers for fact_id in (each.time, each.price, each.freed, each.rate, each.rate_now)]
    new = needed({**sheet.facts, **done.facts}, wanted)
    return replace(
        done,
        facts={**done.facts, **{key: fact for key, fact in new.items() if key not in done.facts}},
        decision=replace(done.decision, offers=offers),
    )


def open_works(inquiry: Inquiry, concept: Concept, catalogue: Catalogue) -> Iterator[Component]:
    """The works that people do today, that nobody has asked the arm for and that make sense at the cell."""
    for work in catalogue.components.values():
        if work.kind != "work" or work.id in inquiry.wishes.by_arm or work in concept.works:
            continue
        done_today = any(taken_over(each, work) for each in inquiry.today.elements)
        words = plain_words(with_work(concept, work)) | inquiry_words(inquiry)
        if done_today and first_rule(words, catalogue.rules) is None:
            yield work


def with_work(concept: Concept, work: Component) -> Choices:
    """The choices of a concept with one work more."""
    of = {name: getattr(concept, name) for name in (*CHOICES, "sharing")}
    return Choices(**of, works=(*concept.works, work))


def offered(base: Base, work: Component) -> Iterator[Offer]:
    """One work; nothing where a check refuses it."""
    desk, sheet = base.desk, base.sheet
    concept = cell_concept(with_work(base.plan.concept, work), desk.inquiry, desk.catalogue)
    plan = built(desk, concept, sheet)
    if plan.cell is None or plan.estimate is None or base.plan.estimate is None:
        return
    top = f"concepts.{concept.id}.offer"
    price = apply(
        sheet, "difference_money", f"{top}.price",
        amount_money=sheet[plan.estimate.installed], other_money=sheet[base.plan.estimate.installed],
    )  # fmt: skip
    now, then = (scope_of(desk, each, sheet) for each in (base.plan, plan))
    saved = apply(sheet, "rest_of_time_s", f"{top}.saved", whole_s=kept(now), less_s=kept(then))
    freed = apply(
        sheet, "work_h_per_y", f"{top}.freed",
        parts_per_y=base.parts_per_y, good_share=good_share(now), work_s_per_part=saved,
    )  # fmt: skip
    rates = [rate(asked_of(desk, each, sheet)).id for each in (base.plan, plan)]
    element = next(each for each in plan.timing.operations[-1].elements if each.name == work.words["element"])
    yield Offer(
        work=work.id, short=work.words["short"], station=work.title, time=element.time, price=price.id,
        freed=freed.id, rate_now=rates[0], rate=rates[1],
    )  # fmt: skip


def asked_of(desk: Desk, plan: Plan, sheet: Sheet) -> Asked:
    """What the pace of a cell is counted from."""
    return Asked(inquiry=desk.inquiry, concept=plan.concept, layout=plan.layout, timing=plan.timing, sheet=sheet)
