"""The whole way from an inquiry to a recommendation: read this first. Nothing flows back; each stage is one call.

Each concept takes the road of road.py. Here they are put side by side: planned, simulated as far as they could still be
the best, worked out, drawn against everything uncertain, ranked.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from importlib.metadata import version

from millhand.catalogue.assumptions import solid_densities
from millhand.catalogue.wished import refuse_unknown_names
from millhand.intake.odd import oddities
from millhand.model.acceptance import Acceptance
from millhand.model.catalogue import Catalogue
from millhand.model.decision import Decision, Driver
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.introduction import Introduction
from millhand.model.performance import Output
from millhand.model.study import Dropped, Result, Study
from millhand.model.walk import facts_in, words_in
from millhand.road import Desk, Plan, earned, outputs_of, planned_leanly, visited, with_cycles, worth
from millhand.run import LocalRunner, Nobody, Runner, Watch, watched
from millhand.solvers.kernel.varied import varied
from millhand.stages.acceptance import acceptance, introduction
from millhand.stages.claims import claimed, meant
from millhand.stages.concepts import concepts, dropped, how_many, wished_away
from millhand.stages.decision import decision, focus, over_hand
from millhand.stages.measured import measured
from millhand.stages.performance.hours import hours
from millhand.stages.spread import (
    Asked,
    Followed,
    beside,
    bounds_of,
    drivers,
    fewer_drawn,
    followed,
    shares_of,
    spread_shares,
    sureness,
    to_draw,
    told_together,
    unalone_drawn,
    variants,
    with_chances,
    with_fewer,
    with_ranges,
    with_rates,
    worlds,
)
from millhand.stages.tradeoff import Space, tradeoff
from millhand.trace import Sheet, Solved

BATCH, DRAWS = 4, 200  # cells simulated before the best is looked at again; draws of everything uncertain
RESIMULATED = 24  # draws in which each simulated cell is simulated again, for a response that serves in all of them
Outputs = dict[str, Output]


def study(
    inquiry: Inquiry,
    catalogue: Catalogue,
    *,
    seed: int = 1,
    runner: Runner | None = None,
    watch: Watch | None = None,
    asked: Asked | None = None,
) -> Study:
    """Today, better by hand and every sensible cell, judged, simulated, priced, ranked; the same bytes for a seed.

    asked: how the uncertain facts are drawn, where not as usual.
    """
    refuse_unknown_names(inquiry, catalogue.components)
    whole, inquiry = inquiry, visited(inquiry)
    sheet = Sheet((*facts_in(whole), *facts_in(inquiry), *facts_in(catalogue)))
    asked = asked or usual(DRAWS, seed)
    asked = replace(asked, together=asked.together or told_together(inquiry.correlations, sheet.facts))
    desk = Desk(
        inquiry=inquiry,
        catalogue=catalogue,
        pattern=hours(inquiry, sheet),
        seed=seed,
        runner=runner or LocalRunner(),
        watch=watch or Nobody(),
    )
    timed = measured(inquiry, sheet)
    wanted = concepts(inquiry, catalogue)
    plans, needless = planned_leanly(desk, wanted, sheet)
    plans = with_cycles(desk, plans)
    counts = simulated(desk, plans, sheet)
    plans = with_cycles(desk, plans, sharing=counts)
    results = over_hand(inquiry, worked_out(desk, plans, counts, sheet), sheet)
    follows = solvers(desk, results, sheet, asked)
    solved = follows.solved
    rows = worlds(sheet.facts, to_draw(results), solved, asked)
    drawn = tuple(watched(desk.watch, "draws", rows, total=asked.count))
    results = with_chances(results, drawn, sheet)
    best = focus(inquiry, results, sheet)
    sure = sureness(results, drawn, sheet, follows)
    moving = drivers(sheet, best.case, solved, sure.known if sure else ()) if best and best.case else ()
    if sure and best and best.case:
        sure = replace(sure, shares=spread_shares(sheet, best.case, solved, moving, asked))
    advice, otherwise = _advised(desk, results, moving, sheet, solved, asked)
    weighed = tradeoff(Space(*how_many(inquiry, catalogue), len(needless)), results, sure, sheet)
    others = claimed(inquiry, meant(results, best, sheet), results[0], sheet)
    tests, brought = _handed_over(desk, results, advice.winner, sheet)
    return Study(
        version=version("millhand"),
        seed=seed,
        inquiry=whole,
        facts=with_ranges(
            _named(sheet, results, tests, brought), beside(with_rates(results, drawn, sheet), *otherwise)
        ),
        choices=sheet.choices,
        results=results,
        decision=replace(advice, sureness=sure, tradeoff=weighed, introduction=brought),
        measured=timed,
        claimed=others,
        odd=oddities(whole, solid_densities(catalogue.figures.values())),
        acceptance=tests,
        dropped=(*_dropped(inquiry, catalogue), *needless),
    )


def _dropped(inquiry: Inquiry, catalogue: Catalogue) -> Iterator[Dropped]:
    """What somebody wants left out, then what rules leave out."""
    for choices, words, wish in wished_away(inquiry, catalogue):
        yield Dropped(choices=choices, words=words, wish=wish)
    for choices, words in dropped(inquiry, catalogue):
        yield Dropped(choices=choices, words=words)


def usual(draws: int, seed: int) -> Asked:
    """So many draws, each simulated cell simulated again in as many of them as usual."""
    return Asked(count=draws, seed=seed, resimulated=min(RESIMULATED, draws))


def simulated(desk: Desk, plans: Sequence[Plan], sheet: Sheet) -> Outputs:
    """What the simulation counted for today, each way by hand, what the inquiry keeps, and the cells that could
    still be the best.

    A cell earns no more than at its load bound: taken in that order, the first whose bound earns less than the best
    simulated one ends the search, and the rest need no simulation.
    """
    alive = [plan for plan in plans if plan.cell is not None]
    counts = _run(desk, [plan for plan in alive if is_certain(plan)], {})
    hopes = _hopes(desk, alive, counts, sheet)
    best = max(hopes[name] for name in counts)
    waiting = sorted((p for p in alive if not is_certain(p)), key=lambda p: (-hopes[p.concept.id], p.concept.id))
    while waiting and hopes[waiting[0].concept.id] > best:
        batch, waiting = waiting[:BATCH], waiting[BATCH:]
        counts = _run(desk, batch, counts)
        best = max(best, *_hopes(desk, (plans[0], *batch), counts, sheet).values())
    return counts


def is_certain(plan: Plan) -> bool:
    """Whether a plan is simulated whatever it is worth."""
    return plan.concept.kind != "cell" or bool(plan.concept.wish)


def _run(desk: Desk, plans: Sequence[Plan], found: Outputs) -> Outputs:
    """The outputs so far and those of some more plans, each simulated with the study's seed."""
    able = [plan for plan in plans if plan.cell is not None]
    made = watched(desk.watch, "simulation", outputs_of(desk, able), total=len(able))
    return found | dict(zip((plan.concept.id for plan in plans), made, strict=True))


def _hopes(desk: Desk, plans: Sequence[Plan], counts: Outputs, sheet: Sheet) -> dict[str, float]:
    """The present worth of each plan: simulated, or at its load bound. Worked out on a copy of the sheet."""
    copy = Sheet((*sheet.facts.values(), *sheet.choices.values()))
    today, case = earned(desk, plans[0], counts["today"], None, copy)
    found = {"today": worth(case, copy)}
    for plan in plans[1:]:
        case = earned(desk, plan, counts.get(plan.concept.id), today, copy)[1]
        found[plan.concept.id] = worth(case, copy)
    return found


def worked_out(desk: Desk, plans: Sequence[Plan], counts: Outputs, sheet: Sheet) -> tuple[Result, ...]:
    """Output, price and case of each concept that lives; the verdicts of each that fell. Today comes first."""
    today = None
    results = []
    for plan in plans:
        if plan.cell is None:
            results.append(Result(concept=plan.concept, verdicts=plan.verdicts, layout=plan.layout, timing=plan.timing))
            continue
        own, case = earned(desk, plan, counts.get(plan.concept.id), today, sheet)
        today = today or own
        results.append(
            Result(
                concept=plan.concept,
                verdicts=plan.verdicts,
                layout=plan.layout,
                timing=plan.timing,
                cell=plan.cell,
                schedule=plan.schedule,
                performance=own,
                estimate=plan.estimate,
                case=case,
                phases=plan.phases,
            )
        )
    return tuple(results)


def solvers(desk: Desk, results: Sequence[Result], sheet: Sheet, asked: Asked) -> Followed:
    """How the load bound of every cell follows its facts, and for simulated ones all that the simulation gave."""
    cells = {each.performance.bound_loads_per_h: each.cell for each in results if each.performance and each.cell}
    tasks = variants(results, sheet.facts, asked) if asked.resimulated else ()
    short = tuple(watched(desk.watch, "short runs", desk.runner.map(varied, tasks), total=len(tasks)))
    bounds = {**bounds_of(cells, sheet.facts), **shares_of(results, sheet.facts)}
    return followed(bounds, results if tasks else (), sheet.facts, tuple(zip(tasks, short, strict=True)))


def _advised(
    desk: Desk, results: tuple[Result, ...], moving: tuple[Driver, ...], sheet: Sheet, solved: Solved, asked: Asked
) -> tuple[Decision, tuple[Sequence[Mapping[str, float]], ...]]:
    """The decision; its case in every draw with fewer orders, and with no hour alone."""
    kills = {row.key: row.kills for row in desk.catalogue.assumptions.values() if row.kills}
    advice = decision(desk.inquiry, results, moving, sheet, solved=solved, kills=kills)
    fewer = fewer_drawn(advice.orders, desk.inquiry, results, sheet, solved, asked)
    told = with_fewer(advice, fewer, desk.inquiry.wishes.hurdle_months.id, sheet)
    best = advice.winner if advice.answer != "no" else advice.second or ""
    return told, (fewer, unalone_drawn(best, results, sheet, solved, asked))


def _handed_over(
    desk: Desk, results: Sequence[Result], winner: str, sheet: Sheet
) -> tuple[Acceptance | None, Introduction | None]:
    """What the advised way has to show, and what it takes to bring it into the shop; nothing where it is today's."""
    advised = next((each for each in results if each.concept.id == winner), None)
    tests = acceptance(advised, desk.inquiry, desk.catalogue, sheet)
    return tests, introduction(advised, results[0], (desk.inquiry, desk.catalogue), sheet)


def _named(sheet: Sheet, results: Sequence[Result], *handed_over: Acceptance | Introduction | None) -> dict[str, Fact]:
    """The facts that the study rests on: all but catalogue entries that nothing was computed from and none names."""
    used = {source for fact in sheet for _, source in fact.inputs}
    used |= {each.estimate.order_to_hand_over_s for each in results if each.estimate}
    used |= {words for each in handed_over for words in words_in(each)}
    return {fact.id: fact for fact in sheet if not fact.id.startswith("catalogue.") or fact.id in used}
