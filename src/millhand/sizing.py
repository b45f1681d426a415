"""How large a presenter pays, and what faults and tool life do: the best cell anew, one thing moved each time.

Layout and moves stay as they are, and so does the price: what is looked at is what more of a thing would be worth. The
cell is built and simulated anew for each point, under the same chance. Beside a study that is done.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Output, Performance
from millhand.model.phases import PhaseCell
from millhand.model.sizing import SizePoint, Sizes, Sizing
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in, with_facts
from millhand.phased import phases_of
from millhand.road import Desk, Plan, earned, outputs_of, visited
from millhand.run import LocalRunner, Nobody, Runner, Watch, watched
from millhand.solvers.cycle.simple import simple
from millhand.stages.cells.build import cell
from millhand.stages.concepts import concepts
from millhand.stages.estimate import estimate
from millhand.stages.feasibility.checks import verdicts
from millhand.stages.layout import layout
from millhand.stages.performance.hours import hours
from millhand.stages.sizing import FACTORS, knee, knee_words, point
from millhand.stages.timing.build import timing
from millhand.trace import Sheet

FAULTS = "catalogue.fault_share_per_part"


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """The cell as the study has it, up to its layout and its moves; and today, which all points are held against."""

    inquiry: Inquiry
    catalogue: Catalogue
    plan: Plan
    sheet: Sheet
    today: Plan
    seed: int
    runner: Runner


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One point before it is simulated: what is moved and to which value, its desk, its plan and its sheet."""

    moved: str
    desk: Desk
    plan: Plan
    sheet: Sheet
    value: Fact


def with_sizing(
    done: Study, inquiry: Inquiry, catalogue: Catalogue, *, runner: Runner | None = None, watch: Watch | None = None
) -> Study:
    """The study with what other sizes would bring to its best cell; as it was where no cell got as far as a case."""
    best = best_cell(done)
    if best is None:
        return done
    base = base_of(done, visited(inquiry), catalogue, best.concept, runner or LocalRunner())
    points = list(variants(base))
    made = outputs_of(points[0].desk, [each.plan for each in points if each.plan.cell is not None])
    counts = list(watched(watch or Nobody(), "sizes", made, total=len(points)))
    today = todays(base)
    sheet = Sheet(done.facts.values())
    rows = tuple(
        row(moved, [pair for pair in zip(points, counts, strict=True) if pair[0].moved == moved], today, sheet)
        for moved in dict.fromkeys(each.moved for each in points)
    )
    new = {key: fact for key, fact in sheet.facts.items() if key not in done.facts}
    return replace(done, facts={**done.facts, **new}, sizing=Sizing(concept=best.concept.id, rows=rows))


def best_cell(done: Study) -> Result | None:
    """The cell of the highest place in the ranking."""
    places = {each.concept: each.place for each in done.decision.ranking if each.place is not None}
    able = [each for each in done.results if each.concept.kind == "cell" and each.concept.id in places]
    return min(able, key=lambda each: places[each.concept.id], default=None)


def base_of(done: Study, inquiry: Inquiry, catalogue: Catalogue, concept: Concept, runner: Runner) -> Base:
    """Layout and moves of the concept and of today, worked out as the study did."""
    sheet = Sheet((*facts_in(inquiry), *facts_in(catalogue)))
    hours(inquiry, sheet)
    plans = [_standing(inquiry, catalogue, each, sheet) for each in (concept, concepts(inquiry, catalogue)[0])]
    return Base(
        inquiry=inquiry, catalogue=catalogue, plan=plans[0], sheet=sheet, today=plans[1], seed=done.seed, runner=runner
    )


def _standing(inquiry: Inquiry, catalogue: Catalogue, concept: Concept, sheet: Sheet) -> Plan:
    """Where a concept stands and how long a load takes."""
    stands = layout(inquiry, concept, catalogue, sheet)
    times = timing(inquiry, concept, stands, catalogue, sheet)
    return Plan(concept=concept, layout=stands, timing=times, verdicts=())


def variants(base: Base) -> Iterator[Variant]:
    """Every point: pockets, share of faults, tool life, each at so many times what it is."""
    pockets = base.sheet[base.plan.layout.pockets]
    lives = tuple(operation.tool_life_parts for part in base.inquiry.parts for operation in part.operations)
    moved = {"pockets": (pockets,), "faults": (base.sheet[FAULTS],), "tool_life": lives}
    for name, facts in moved.items():
        for factor in FACTORS:
            new = {fact.id: replace(fact, value=_scaled(fact, factor), low=None, high=None, shape="point")
                   for fact in facts}  # fmt: skip
            yield _variant(base, name, new)


def _scaled(fact: Fact, factor: float) -> float:
    """The value so many times as large; whole parts stay whole."""
    return max(1.0, float(round(fact.value * factor))) if fact.unit == "parts" else fact.value * factor


def _variant(base: Base, moved: str, new: Mapping[str, Fact]) -> Variant:
    """The concept built anew with some facts replaced."""
    asked, catalogue = with_facts(base.inquiry, new), with_facts(base.catalogue, new)
    sheet = Sheet(new.get(fact.id, fact) for fact in base.sheet)
    sheet.extend(base.sheet.choices.values())
    plan = base.plan
    checks = verdicts(asked, plan.concept, plan.layout, plan.timing, sheet)
    made = cell(asked, plan.concept, plan.layout, plan.timing, catalogue, sheet)
    priced = estimate(asked, plan.concept, catalogue, sheet)
    phases = _phases(asked, plan, catalogue, sheet)
    whole = replace(plan, verdicts=checks, cell=made, schedule=simple(made), estimate=priced, phases=phases)
    desk = _desk(base, asked, catalogue, sheet)
    return Variant(moved=moved, desk=desk, plan=whole, sheet=sheet, value=next(iter(new.values())))


def _phases(inquiry: Inquiry, plan: Plan, catalogue: Catalogue, sheet: Sheet) -> tuple[PhaseCell, ...]:
    """The phases of a lot that goes through the same machines several times, with their simple cycles."""
    phases = phases_of(inquiry, plan.concept, plan.layout, catalogue, sheet)
    return tuple(replace(each, schedule=simple(each.cell)) for each in phases)


def _desk(base: Base, inquiry: Inquiry, catalogue: Catalogue, sheet: Sheet) -> Desk:
    """What the road takes."""
    return Desk(
        inquiry=inquiry, catalogue=catalogue, pattern=hours(inquiry, sheet), seed=base.seed, runner=base.runner,
        watch=Nobody(),
    )  # fmt: skip


def todays(base: Base) -> tuple[Performance, Sheet]:
    """Today as it is, and the facts of its performance."""
    sheet = Sheet((*base.sheet, *base.sheet.choices.values()))
    made = cell(base.inquiry, base.today.concept, base.today.layout, base.today.timing, base.catalogue, sheet)
    priced = estimate(base.inquiry, base.today.concept, base.catalogue, sheet)
    phases = _phases(base.inquiry, base.today, base.catalogue, sheet)
    plan = replace(base.today, cell=made, schedule=simple(made), estimate=priced, phases=phases)
    desk = _desk(base, base.inquiry, base.catalogue, sheet)
    output = next(outputs_of(desk, [plan]))
    return earned(desk, plan, output, None, sheet)[0], sheet


def row(moved: str, points: Sequence[tuple[Variant, Output]], today: tuple[Performance, Sheet], sheet: Sheet) -> Sizes:
    """One thing moved: its points, the knee, and why it lies there."""
    sizes = [_size(variant, output, today, sheet, number) for number, (variant, output) in enumerate(points)]
    at = knee(sizes, sheet, rising=moved != "faults")
    words = knee_words(moved, sizes, sheet, at)
    return Sizes(
        moved=moved,  # type: ignore[arg-type]
        points=tuple(sizes), here=FACTORS.index(1.0), knee=at, words=words,
    )  # fmt: skip


def _size(variant: Variant, output: Output, today: tuple[Performance, Sheet], sheet: Sheet, number: int) -> SizePoint:
    """One point worked out: output, price and case against today as it is."""
    was, known = today
    own = variant.sheet
    own.extend(fact for fact in known if fact.id.startswith("concepts.today.") and fact.id not in own)
    earned(variant.desk, variant.plan, output, was, own)
    base = f"sizing.{variant.moved}.{number}"
    return point(base, sheet, own, variant.plan.concept.id, variant.value)
