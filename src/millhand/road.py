"""The road that every concept takes, whoever tends: layout, timing, verdicts, cell, price; then output and case."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from millhand.errors import ToolError
from millhand.model.canonical import content_hash
from millhand.model.case import Case
from millhand.model.catalogue import Catalogue
from millhand.model.cell import Cell
from millhand.model.concept import Concept
from millhand.model.estimate import Estimate
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.kept import output_of, output_text
from millhand.model.layout import Layout
from millhand.model.performance import Output, Performance
from millhand.model.phases import PhaseCell
from millhand.model.schedule import Schedule
from millhand.model.study import Dropped
from millhand.model.timing import Timing
from millhand.model.verdict import Verdict
from millhand.model.walk import facts_in
from millhand.phased import phases_of
from millhand.run import LocalRunner, Nobody, Runner, Watch, watched
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import calendar_rate_bound_per_h, load_bounds
from millhand.solvers.cycle.effort import STUDY, Effort
from millhand.solvers.cycle.simple import is_settled, simple
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import simulate
from millhand.solvers.kernel.running import ready
from millhand.solvers.output.in_turn import output_in_turn
from millhand.stages.case.build import case
from millhand.stages.cells.build import cell
from millhand.stages.concepts import concepts
from millhand.stages.estimate import estimate
from millhand.stages.feasibility.checks import verdicts
from millhand.stages.layout import layout
from millhand.stages.passes import lotwise
from millhand.stages.performance.build import performance
from millhand.stages.performance.hours import Hours, hours
from millhand.stages.performance.shared import ABSENCE, Scope
from millhand.stages.timing.build import timing
from millhand.trace import Sheet

LARGER = "the same cell with a smaller arm of the class, or with a belt in the place of the rack, does all of it"
ALONE = "the same cell with one arm does not work"
KEEPS_UP = "one arm keeps up with the machines here: a second one would wait too"
BARE_FAILS = "the same cell that only loads does not work"
NEARLY = 1.05  # as in who sets the pace: within so much two are close to each other
ON_TRACK = ("track_travel", "track_drive", "track_duty", "belt")
SHARED = Effort(deterministic=0.2)  # of two arms on a track, for which the search takes four times as much
HOURS = 168.0  # one week of the shop's calendar
# So many weeks; more where somebody stays away, which is rare and costs a whole shift, so that one run does not meet it
# twice as often as another; fewer where machines are quick and a week is long already.
REPLICATIONS, WITH_ABSENCE, FEWEST = 20, 400, 8
LOADS, LOADS_WITH_ABSENCE = 1_000_000, 500_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What every step of one study shares."""

    inquiry: Inquiry
    catalogue: Catalogue
    pattern: Hours
    seed: int
    runner: Runner
    watch: Watch


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One concept before anything was simulated; cell and estimate are None where a verdict killed it."""

    concept: Concept
    verdicts: tuple[Verdict, ...]
    layout: Layout
    timing: Timing
    cell: Cell | None = None
    schedule: Schedule | None = None  # None too where no cycle can be found for the cell
    estimate: Estimate | None = None
    phases: tuple[PhaseCell, ...] = ()  # of a lot that goes through the same machines several times


def visited(inquiry: Inquiry) -> Inquiry:
    """The inquiry without machines that no part goes to: nothing is built round them, priced or manned for them. Its
    part list is looked at beside a study that is done. A part that comes to the same machines again does so by lots.
    """
    used = {operation.machine for part in inquiry.parts for operation in part.operations}
    machines = tuple(each for each in inquiry.machines if each.name in used)
    return lotwise(replace(inquiry, machines=machines, part_list=None))


def planned(desk: Desk, concept: Concept, sheet: Sheet) -> Plan:
    """The concept as it is built, with the simple cycle of its cell, and of each phase's."""
    plan = built(desk, concept, sheet)
    if plan.cell is None:
        return plan
    phases = tuple(replace(each, schedule=simple(each.cell)) for each in plan.phases)
    return replace(plan, schedule=simple(plan.cell), phases=phases)


def built(desk: Desk, concept: Concept, sheet: Sheet) -> Plan:
    """Where it stands, how long a load takes, what the checks say; its cell and its price if nothing kills it."""
    inquiry, catalogue = desk.inquiry, desk.catalogue
    stands = layout(inquiry, concept, catalogue, sheet)
    times = timing(inquiry, concept, stands, catalogue, sheet)
    checks = verdicts(inquiry, concept, stands, times, sheet)
    plan = Plan(concept=concept, layout=stands, timing=times, verdicts=checks)
    if any(verdict.kills and not verdict.holds for verdict in checks):
        return plan
    made = cell(inquiry, concept, stands, times, catalogue, sheet)
    return replace(
        plan, cell=made, estimate=estimate(inquiry, concept, catalogue, sheet),
        phases=phases_of(inquiry, concept, stands, catalogue, sheet),
    )  # fmt: skip


def planned_alone(
    inquiry: Inquiry, catalogue: Catalogue, concept_id: str
) -> tuple[Plan, Mapping[str, Fact], Mapping[str, Choice]]:
    """One concept of an inquiry on its road, with the facts and words that it rests on; nothing is simulated."""
    sheet = Sheet((*facts_in(inquiry), *facts_in(visited(inquiry)), *facts_in(catalogue)))
    inquiry = visited(inquiry)
    pattern = hours(inquiry, sheet)
    desk = Desk(
        inquiry=inquiry, catalogue=catalogue, pattern=pattern, seed=1, runner=LocalRunner(), watch=Nobody()
    )  # fmt: skip
    concept = next(each for each in concepts(inquiry, catalogue) if each.id == concept_id)
    return planned(desk, concept, sheet), sheet.facts, sheet.choices


def planned_leanly(desk: Desk, wanted: Sequence[Concept], sheet: Sheet) -> tuple[tuple[Plan, ...], tuple[Dropped, ...]]:
    """The plans of all concepts in their order, and the concepts that need none: the same cell with a smaller arm of
    the class works already, or with what stands in the place of its mount for less; a second arm brings nothing; or the
    cell works not even where its arm only loads. What the inquiry keeps is planned in any case."""
    plans: dict[str, Plan] = {}
    working: dict[str, Plan] = {}
    needless: dict[str, Dropped] = {}
    by_size = sorted(wanted, key=size)
    for concept in watched(desk.watch, "concepts", iter(by_size), total=len(by_size)):
        why = "" if concept.wish else needless_words(concept, working)
        if why:
            needless[concept.id] = Dropped(choices=concept.id, words=why)
            continue
        plans[concept.id] = planned(desk, concept, sheet)
        if stands_in(plans[concept.id]) and not concept.pinned:
            working.setdefault(bare(concept), plans[concept.id])
    kept = tuple(plans[each.id] for each in wanted if each.id in plans)
    return kept, tuple(needless[each.id] for each in wanted if each.id in needless)


def needless_words(concept: Concept, working: Mapping[str, Plan]) -> str:
    """Why a concept needs no plan of its own; "" where it does."""
    if bare(concept) in working:
        return LARGER
    return second_arm_idle(concept, working) or only_loading(concept, working)


def second_arm_idle(concept: Concept, working: Mapping[str, Plan]) -> str:
    """Why a second arm brings nothing, from the same cell with one arm; "" where it may, and where there is one arm."""
    if concept.sharing is None:
        return ""
    alone = working.get(bare(concept).replace(f"-{concept.sharing.id}-", "-"))
    if alone is None or alone.cell is None:
        return ALONE
    return "" if arm_sets_pace(alone.cell) else KEEPS_UP


def only_loading(concept: Concept, working: Mapping[str, Plan]) -> str:
    """Why an arm that does more than load is not looked at; "" where the same cell works, and where it only loads."""
    if not concept.works:
        return ""
    plain = bare(concept).removesuffix("".join(f"-{each.id}" for each in concept.works))
    return "" if plain in working else BARE_FAILS


def arm_sets_pace(cell_: Cell) -> bool:
    """Whether an arm has more to do for a part than anything else, and by more than nearly as much."""
    steps = {each.resource: each.steps for each in load_bounds(cell_)}
    arms = [name for name, each in cell_.attendants.items() if each.kind == "arm"]
    busiest = max((steps[name] for name in arms if name in steps), default=0.0)
    return busiest > NEARLY * max((most for name, most in steps.items() if name not in arms), default=0.0)


def stands_in(plan: Plan) -> bool:
    """Whether a cell works so that no larger one is needed; a belt that is only just refused leaves the rack to try."""
    mount = plan.concept.mount
    soft = mount is not None and "in_place_of" in mount.words
    ill = soft and any(each.check in ON_TRACK and not each.holds for each in plan.verdicts)
    return plan.cell is not None and not ill


def size(concept: Concept) -> tuple[bool, bool, float, bool]:
    """What is looked at first: an arm that only loads, one arm, small arms, and of mounts the one that may stand in the
    place of another."""
    arm, mount = concept.arm, concept.mount
    if arm is None or mount is None:
        return False, False, 0.0, False
    return (
        bool(concept.works),
        concept.sharing is not None,
        arm.figures["payload_kg"].value,
        "in_place_of" not in mount.words,
    )


def bare(concept: Concept) -> str:
    """The id of a concept with the class of its arm in the place of the arm, and with the mount that its own one
    stands for."""
    arm, mount = concept.arm, concept.mount
    if arm is None or mount is None:
        return concept.id
    stiff = mount.words.get("in_place_of", mount.id)
    return concept.id.replace(arm.id, arm.words["class"]).replace(mount.id, stiff)


def with_cycles(desk: Desk, plans: Sequence[Plan], *, sharing: Collection[str] = ()) -> tuple[Plan, ...]:
    """The plans with the best cycle of each cell: a simple one where that cannot be beaten, otherwise searched for,
    several side by side. A search for two arms that share a track takes long: it is made of these concepts alone, and
    then of no others."""
    open_ones = [
        cell_
        for plan in plans
        for cell_, schedule in scheduled(plan)
        if (plan.concept.id in sharing if cell_.tracks else not sharing)
        and not (schedule and is_settled(cell_, schedule))
    ]
    if not open_ones:
        return tuple(plans)
    found = zip(
        open_ones, watched(desk.watch, "cycles", desk.runner.map(cycle, open_ones), total=len(open_ones)), strict=True
    )
    best = {content_hash(cell_): schedule for cell_, schedule in found}
    return tuple(with_best(plan, best) for plan in plans)


def scheduled(plan: Plan) -> Iterator[tuple[Cell, Schedule | None]]:
    """The cell of a plan with its cycle, and those of its phases."""
    if plan.cell is not None:
        yield plan.cell, plan.schedule
        yield from ((each.cell, each.schedule) for each in plan.phases)


def with_best(plan: Plan, best: Mapping[str, Schedule | None]) -> Plan:
    """The plan with the cycles that were found, by the hash of the cell."""
    if plan.cell is None:
        return plan
    phases = tuple(replace(each, schedule=best.get(content_hash(each.cell), each.schedule)) for each in plan.phases)
    return replace(plan, schedule=best.get(content_hash(plan.cell), plan.schedule), phases=phases)


def cycle(cell_: Cell) -> Schedule | None:
    """The best cycle of the means; None where there is none: none that this version can find, or none that keeps all
    that the cell demands (the simulation then says what comes of that). May run in another process."""
    try:
        return best_cycle(cell_, effort=SHARED if cell_.tracks else STUDY)
    except ToolError:
        return None


def prepared(task: tuple[Cell, int]) -> None:
    """Have the loop for one cell compiled, here and once, before several processes would each do it."""
    ready(compiled(task[0]))


def counted(task: tuple[Cell, int]) -> str:
    """What the simulation of one cell counts with one seed, as text; may run in another process."""
    return output_text(simulate(task[0], hours=HOURS, replications=weeks(task[0]), seed=task[1]))


def weeks(cell_: Cell) -> int:
    """How many weeks are simulated: fewer where one week has very many loads, whose chance evens out within it."""
    loads = calendar_rate_bound_per_h(cell_) * HOURS
    wanted = max(FEWEST, min(REPLICATIONS, int(LOADS / loads))) if loads > 0.0 else REPLICATIONS
    if not any(name.startswith(ABSENCE) for name in cell_.duties):
        return wanted
    return max(wanted, min(WITH_ABSENCE, int(LOADS_WITH_ABSENCE / loads))) if loads > 0.0 else WITH_ABSENCE


def outputs(desk: Desk, cells: Sequence[Cell]) -> Iterator[Output]:
    """The outputs of some cells in their order: kept from an earlier run, or simulated side by side and kept."""
    keys = [key_of(desk, each) for each in cells]
    kept = {key: _kept(desk.runner, key) for key in keys}
    missing = {key: (each, desk.seed) for key, each in zip(keys, cells, strict=True) if kept[key] is None}
    list(watched(desk.watch, "compiling", map(prepared, missing.values()), total=len(missing)))
    made = zip(missing, desk.runner.map(counted, missing.values()), strict=True)
    for key in keys:
        while kept[key] is None:
            other, text = next(made)
            desk.runner.kept(other, partial(str.encode, text))
            kept[other] = text  # what lies there and could not be read is not believed now
        yield output_of(kept[key] or "")


def run_cells(plan: Plan) -> tuple[Cell, ...]:
    """What is simulated of a plan: its cell, or that of each phase of a lot."""
    if plan.cell is None:
        return ()
    return tuple(each.cell for each in plan.phases) or (plan.cell,)


def outputs_of(desk: Desk, plans: Sequence[Plan]) -> Iterator[Output]:
    """The outputs of some plans that have cells, in their order: of a lot's phases one after the other."""
    made = outputs(desk, [each for plan in plans for each in run_cells(plan)])
    for plan in plans:
        own = [next(made) for _ in run_cells(plan)]
        assert plan.cell is not None
        yield output_in_turn(own, content_hash(plan.cell)) if plan.phases else own[0]


def key_of(desk: Desk, cell_: Cell) -> str:
    """Under what the output of a cell is kept."""
    return f"{content_hash(cell_)} seed {desk.seed}, {weeks(cell_)} x {HOURS:g} h"


def is_counted(desk: Desk, plan: Plan) -> bool:
    """Whether the output of a plan is kept from an earlier run."""
    cells = run_cells(plan)
    return bool(cells) and all(_kept(desk.runner, key_of(desk, each)) is not None for each in cells)


def _kept(runner: Runner, key: str) -> str | None:
    """The text that an earlier run kept, None where there is none that this version can read."""
    try:
        text = runner.kept(key, _nothing_kept).decode()
        output_of(text)
    except (LookupError, ValueError, TypeError, AttributeError):
        return None
    return text


def _nothing_kept() -> bytes:
    """Instead of making what was not kept: say so."""
    raise LookupError("nothing kept")


def earned(
    desk: Desk, plan: Plan, output: Output | None, today: Performance | None, sheet: Sheet
) -> tuple[Performance, Case]:
    """What one concept puts out and what that is worth against today (None: this is today)."""
    assert plan.cell is not None
    assert plan.estimate is not None
    scope = scope_of(desk, plan, sheet, output=output, schedule=plan.schedule)
    own = performance(scope, plan.layout.pockets)
    return own, case(desk.inquiry, plan.concept, (own, today or own), plan.estimate, desk.catalogue, sheet)


def scope_of(
    desk: Desk, plan: Plan, sheet: Sheet, *, output: Output | None = None, schedule: Schedule | None = None
) -> Scope:
    """What performance, or people's work beside a cell, is counted from; without an output nothing was simulated."""
    assert plan.cell is not None
    return Scope(
        inquiry=desk.inquiry, concept=plan.concept, timing=plan.timing, cell=plan.cell,
        cell_hash=content_hash(plan.cell), schedule=schedule, output=output, hours=desk.pattern,
        figures=desk.catalogue.figures, sheet=sheet, phases=plan.phases,
        change=next((each for each in desk.catalogue.hand_changes if each.id == plan.concept.change), None),
    )  # fmt: skip


def worth(case_: Case, sheet: Sheet) -> float:
    """What a case is ranked by: its present worth."""
    return sheet.value(case_.npv)
