"""The recommended cell and the best of each class of arms, guarded in each way, side by side, beside a study.

Every way takes the road of the study: layout, timing, cell, price, simulation under the same chance, output, case. The
arm moves at its own speed while nobody is near; what happens near people happens inside the simulation.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from millhand.model.canonical import content_hash
from millhand.model.catalogue import Catalogue, Guard
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.performance import Output, Performance
from millhand.model.safeguarding import Guarded, GuardedCell, Obstacle, Region, Safeguarding, SimulatedCell
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in, with_facts
from millhand.road import Desk, Plan, built, earned, outputs_of, run_cells, visited
from millhand.run import LocalRunner, Nobody, Runner, Watch, watched
from millhand.safety import guard_of, spoken_of, with_answers
from millhand.stages.concepts import inquiry_words
from millhand.stages.layout import layout
from millhand.stages.performance.hours import hours
from millhand.stages.safeguarding.build import Ground, Guarding, flags, guarded, hazards, obstacles
from millhand.stages.safeguarding.exposure import frequency
from millhand.stages.safeguarding.post import Post, misfit
from millhand.stages.safeguarding.regions import binding, regions
from millhand.stages.safeguarding.zones import PASSING, arms_of
from millhand.trace import Sheet, found, needed

WEEK_H = 168.0
FENCE = "fence"
NOTHING_LEFT = "set-ups and losses leave no good part of a shift"
ALL_LATE = "no part is taken out in time in the simulated weeks: nothing good would leave the cell"
MARK = re.compile(r"\[\[([^|\[\]]+)\|\w+\]\]")  # a fact named in a sentence
Words = dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What all rows share: the desk, the sheet, the words of the inquiry, and today as it was simulated."""

    desk: Desk
    sheet: Sheet
    words: tuple[Words, ...]  # of each part at each machine
    country: str
    people_pass: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One cell with one way to guard it: not fitting, or ready to be simulated."""

    guard: Guard
    words: tuple[Words, ...]
    why_not: str = ""
    post: Post | None = None
    plan: Plan | None = None
    guarding: Guarding | None = None
    regions: tuple[Region, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()


def with_safeguarding(
    done: Study, inquiry: Inquiry, catalogue: Catalogue, *, runner: Runner | None = None, watch: Watch | None = None
) -> Study:
    """The study with its cells guarded in each way, and the facts of that in its map; as it is without a cell."""
    chosen = picked(done)
    if not chosen or not catalogue.safeguards.choices:
        return done
    about = case_of(done, visited(inquiry), catalogue, runner=runner, watch=watch)
    groups = [(each, rows_of(about, each.concept)) for each in chosen]
    ready = [each for _, rows in groups for each in rows if each.guarding is not None]
    counted = simulated(about, ready)
    today = todays(about, done)
    passes = passing(about, ready)
    rules, all_words = catalogue.safeguards, [words for each in ready for words in each.words]
    whole = Safeguarding(
        cells=tuple(group(about, each, rows, counted, today) for each, rows in groups),
        recommended=chosen[0].concept.id if chosen[0].concept.id == done.decision.winner else None,
        obstacles=tuple({each.id: each for row in ready for each in row.obstacles}.values()),
        machine=flags(rules, about.words),
        hazards=hazards(rules, all_words),
        passing_every=passes.get("passing_every"),
        passing_takes=passes.get("passing_takes"),
        simulated=tuple(SimulatedCell(name=name_of(r), cell=r.guarding.cell) for r in ready if r.guarding),
    )
    new = needed(about.sheet.facts, ids_of(whole))
    facts = {**done.facts, **{key: new[key] for key in new if key not in done.facts}}
    return answered(replace(done, facts=facts, safeguarding=whole), about, spoken_of(done) or chosen[0])


def answered(done: Study, about: Case, result: Result) -> Study:
    """With what the safety person asks of one cell, guarded as it is in the study."""
    guard = guard_of(result, about.desk.catalogue)
    words = cell_words(about, result.concept, guard) if guard is not None else ()
    return with_answers(done, result, words, about.desk.inquiry, about.desk.catalogue)


# --- what is compared ---


def picked(done: Study) -> tuple[Result, ...]:
    """The recommended cell, and the best of each class of arms besides; without a recommended one the best of each."""
    alive = [each for each in done.results if each.concept.kind == "cell" and each.case is not None]
    worth = {each.concept.id: done.facts[each.case.npv].value for each in alive if each.case is not None}
    ranked = sorted(alive, key=lambda each: (each.concept.id != done.decision.winner, -worth[each.concept.id]))
    best: dict[str, Result] = {}
    for each in ranked:
        best.setdefault(class_of(each.concept), each)
    return tuple(best.values())


def class_of(concept: Concept) -> str:
    """The class of its arm."""
    assert concept.arm is not None
    return concept.arm.words["class"]


def case_of(done: Study, asked: Inquiry, catalogue: Catalogue, *, runner: Runner | None, watch: Watch | None) -> Case:
    """The desk and the sheet of this page. That people pass is kept apart from the arm's times: zones do that."""
    apart = with_facts(asked, {asked.wishes.people_pass.id: replace(asked.wishes.people_pass, value="no")})
    sheet = Sheet((*facts_in(apart), *facts_in(catalogue)))
    desk = Desk(
        inquiry=apart, catalogue=catalogue, pattern=hours(apart, sheet), seed=done.seed,
        runner=runner or LocalRunner(), watch=watch or Nobody(),
    )  # fmt: skip
    return Case(
        desk=desk, sheet=sheet, words=words_of(asked), country=asked.shop.country,
        people_pass=asked.wishes.people_pass.value == "yes",
    )  # fmt: skip


def words_of(asked: Inquiry) -> tuple[Words, ...]:
    """What rules may ask about the inquiry, of each part at each kind of machine."""
    alone = "yes" if asked.wishes.unattended_s.value > 0.0 else "no"
    shared = inquiry_words(asked) | {"people_pass": asked.wishes.people_pass.value, "alone": alone}
    return tuple(
        shared
        | {
            "condition": part.condition.value, "film": part.film.value, "kind": machine.kind.value,
            "clamping": machine.clamping.value.partition("_")[0], "door": machine.door.value,
        }
        for part in asked.parts
        for machine in asked.machines
    )  # fmt: skip


def cell_words(about: Case, concept: Concept, guard: Guard) -> tuple[Words, ...]:
    """The words of the inquiry with those of one cell and one guard."""
    assert concept.presenter is not None
    assert concept.mount is not None
    assert concept.gripper is not None
    own = {
        "choice": guard.id, "arm_class": class_of(concept), "presenter": concept.presenter.id,
        "mount": concept.mount.id, "jaws": concept.gripper.words["jaws"],
        "works": "some" if concept.works else "none",
    }  # fmt: skip
    return tuple(words | own for words in about.words)


# --- one row before it is simulated ---


def rows_of(about: Case, concept: Concept) -> list[Row]:
    """All ways to guard one concept; how fast it may touch anybody, where it may at all, is the same in each."""
    rows: list[Row] = []
    for guard in about.desk.catalogue.safeguards.choices:
        met = next((each.regions for each in rows if each.regions), ())
        rows.append(row(about, concept, guard, met))
    return rows


def row(about: Case, concept: Concept, guard: Guard, met: tuple[Region, ...]) -> Row:
    """One way to guard one concept, as far as its cell."""
    words = cell_words(about, concept, guard)
    rules = about.desk.catalogue.safeguards
    why_not = next((why for each in words if (why := misfit(rules.misfits, each))), "")
    if why_not:
        return Row(guard=guard, words=words, why_not=why_not)
    plan = built(about.desk, by_guard(about, concept, guard), about.sheet)
    if plan.cell is None:
        fell = next(each.words for each in plan.verdicts if each.kills and not each.holds)
        return Row(guard=guard, words=words, why_not=fell)
    post = Post(
        sheet=about.sheet, catalogue=about.desk.catalogue, concept=plan.concept, guard=guard, base=stem(concept)
    )
    if post.limits_force and not met:
        met = regions(post, about.sheet[f"concepts.{plan.concept.id}.feasibility.payload.demand"])
    against = obstacles(rules, words, about.sheet)
    ground = Ground(
        stands=plan.layout, fenced=fenced(about, concept), country=about.country, people_pass=about.people_pass
    )
    made = guarded(post, plan.cell, ground, met, against, plan.phases)
    plan = replace(plan, cell=made.cell, phases=made.phases)
    return Row(guard=guard, words=words, post=post, plan=plan, guarding=made, regions=met, obstacles=against)


def stem(concept: Concept) -> str:
    """What the ids of all ways to guard a concept begin with."""
    assert concept.safeguarding is not None
    return concept.id.removesuffix(f"-{concept.safeguarding.id}")


def by_guard(about: Case, concept: Concept, guard: Guard) -> Concept:
    """The concept with another guard. A curtain stands in a fence, and the layout draws it so."""
    component = about.desk.catalogue.components[guard.component]
    if guard.id == "curtain":
        component = replace(component, id=FENCE, words={**component.words, "encloses": "yes"})
    return replace(concept, id=f"{stem(concept)}-by_{guard.id}", safeguarding=component)


def fenced(about: Case, concept: Concept) -> Layout:
    """The layout of the concept inside a fence, whose rectangle every guard that keeps people away starts from."""
    component = about.desk.catalogue.components[FENCE]
    inside = replace(concept, id=f"{stem(concept)}-by_{FENCE}", safeguarding=component)
    return layout(about.desk.inquiry, inside, about.desk.catalogue, about.sheet)


def name_of(each: Row) -> str:
    """The id of the concept with this guard."""
    assert each.post is not None
    return each.post.concept.id


# --- what came of it ---


def simulated(about: Case, ready: Sequence[Row]) -> dict[str, Output]:
    """What the simulation counted for each row; rows that differ in nothing that it looks at share one run."""
    plans = {name_of(each): each.plan for each in ready if each.plan is not None}
    alike = {name: " ".join(content_hash(replace(cell, origins={})) for cell in run_cells(each))
             for name, each in plans.items()}  # fmt: skip
    first = {key: plans[name] for name, key in reversed(alike.items())}
    made = watched(about.desk.watch, "safeguarding", outputs_of(about.desk, tuple(first.values())), total=len(first))
    runs = dict(zip(first, made, strict=True))
    own = {name: content_hash(each.cell) for name, each in plans.items() if each.cell is not None}
    return {name: replace(runs[key], cell=own[name]) for name, key in alike.items()}


def todays(about: Case, done: Study) -> Performance:
    """Today's output again, from the run that the study holds."""
    first = done.results[0]
    assert first.performance is not None
    plan = built(about.desk, first.concept, about.sheet)
    return earned(about.desk, plan, first.performance.output, None, about.sheet)[0]


def group(
    about: Case, result: Result, rows: Sequence[Row], counted: dict[str, Output], today: Performance
) -> GuardedCell:
    """One concept with all its rows."""
    made: list[Guarded] = []
    first: Fact | None = None
    for each in rows:
        lost = each.guarding is not None and nothing_good(counted[name_of(each)])
        if each.guarding is None or lost:
            made.append(unfit(replace(each, why_not=ALL_LATE) if lost else each))
            continue
        try:
            one = worked_out(about, each, counted[name_of(each)], today, first)
        except ZeroDivisionError:  # figures a part, where set-ups and losses leave no part of a shift
            made.append(unfit(replace(each, why_not=NOTHING_LEFT)))
            continue
        first = first or about.sheet[one.parts_per_h or ""]
        made.append(one)
    met = next((each.regions for each in rows if each.regions), ())
    return GuardedCell(
        concept=result.concept.id, title=result.concept.title, arm_class=class_of(result.concept), regions=met,
        binding=binding(about.sheet, met) if met else "", rows=tuple(made),
    )  # fmt: skip


def unfit(each: Row) -> Guarded:
    """A way that does not fit, with its words."""
    return Guarded(choice=each.guard.id, title=each.guard.title, function=each.guard.function, misfit=each.why_not)


def worked_out(about: Case, each: Row, output: Output, today: Performance, first: Fact | None) -> Guarded:
    """Output, price, floor and payback of one row, from its run."""
    assert each.plan is not None
    assert each.guarding is not None
    assert each.post is not None
    assert each.plan.estimate is not None
    own, case = earned(about.desk, each.plan, tending_alone(output), today, about.sheet)
    rate = about.sheet[own.attended_per_h]
    against = each.post.apply(
        "rate_change_share", "against", rate_parts_per_h=rate, against_parts_per_h=first
    ) if first else None  # fmt: skip
    kills = tuple(obstacle.id for obstacle in each.obstacles if obstacle.kills)
    judged = {**each.guard.judged, "frequency": frequency(each.post, own, each.guard.judged["frequency"])}
    return Guarded(
        choice=each.guard.id, title=each.guard.title, function=each.guard.function,
        ruled_out=kills if each.guarding.near == "touch" else (),
        judged={key: fact.id for key, fact in judged.items()},
        level=each.post.apply("required_level", "level", **judged).id,
        distances=each.guarding.kept, near=each.guarding.near,
        speed=each.guarding.speed.id if each.guarding.speed else None,
        parts_per_h=rate.id, against=against.id if against else None, near_h=near_people(about, each, output).id,
        floor=each.guarding.floor.id, price=each.plan.estimate.installed, payback_months=case.payback_months,
        reason=case.reasons.get("payback_months", ""),
    )  # fmt: skip


def nothing_good(output: Output) -> bool:
    """Whether every part that left had stayed in its machine for too long, or none left at all."""
    return output.parts_per_h.mean <= sum(each.mean for each in output.late_at.values())


def tending_alone(output: Output) -> Output:
    """The run without the time of people who only pass: that is no work on the cell."""
    kept = {name: share for name, share in output.duty_share.items() if name != PASSING}
    return replace(output, duty_share=kept)


def near_people(about: Case, each: Row, output: Output) -> Fact:
    """Hours of a mean shift in which the arm was slowed or stopped, as simulated; of two arms the mean."""
    assert each.guarding is not None
    arms = tuple(arms_of(each.guarding.cell))
    shifts = about.sheet.value(about.desk.pattern.shifts)
    source = f"simulation, seed {output.seed}, {output.replications} weeks, of cell {output.cell}"
    share = sum(output.states[arm].get(state, 0.0) for arm in arms for state in ("slowed", "stopped")) / len(arms)
    name = f"concepts.{name_of(each)}.safeguarding.near_h"
    return found(about.sheet, Fact(id=name, value=share * WEEK_H / shifts, unit="h", basis="computed", source=source))


def passing(about: Case, ready: Sequence[Row]) -> dict[str, str]:
    """How often somebody passes and how long he is near, where he passes the field of any of them."""
    if not any(each.guarding and PASSING in each.guarding.cell.duties for each in ready):
        return {}
    figures = about.desk.catalogue.figures
    return {"passing_every": figures["passing_every_s"].id, "passing_takes": figures["passing_takes_s"].id}


def ids_of(whole: Safeguarding) -> Iterator[str]:
    """Every fact that the records name, in their fields or in their words."""
    words = [each.words for each in whole.obstacles]
    yield from (each for each in (whole.passing_every, whole.passing_takes) if each is not None)
    for cell in whole.cells:
        yield from (each.clamped for each in cell.regions)
        yield from (each.speed for each in cell.regions if each.speed is not None)
        for row in cell.rows:
            words.append(row.misfit)
            yield from (distance.fact for distance in row.distances)
            yield from (row.judged or {}).values()
            figures = (row.level, row.speed, row.parts_per_h, row.against, row.near_h, row.floor, row.price)
            yield from (figure for figure in (*figures, row.payback_months) if figure is not None)
    yield from (fact for text in words for fact in MARK.findall(text))
