"""Two things moved at once on the concept that is looked at: what payback and present worth come to at every pair.

The map of facts is worked out again for each pair. Where what the simulation gave depends on what is moved (shifts, the
presenter, faults) the cell is built anew and run for some weeks, and the study's figures move by the ratio to its own
cell in the same weeks. Beside a study that is done: it needs no layout and no moves anew.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.model.case import Case, steady_lines
from millhand.model.catalogue import Catalogue
from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.maps import Maps, TwoWay
from millhand.model.study import Result, Study
from millhand.road import visited
from millhand.run import Nobody, Watch, watched
from millhand.solvers.kernel.varied import Rates, Variants, varied
from millhand.stages.cells.build import cell
from millhand.stages.estimate.wage import worked_hour
from millhand.stages.maps import Axis, Point, over_range, over_shifts, over_sizes, pattern, two_way, worth_of
from millhand.stages.performance.hours import hours
from millhand.stages.spread import elsewhere, factors, origins
from millhand.trace import Sheet, Solved, Steps, needed, recomputed, steps

WEEKS = 4
FAULTS = "catalogue.fault_share_per_part"
SHIPPED = "today.parts_per_shift"
ANEW = ("shifts.", "wage.")  # prefixes of facts of hours and wage, which a pattern of shifts has of its own


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """The study, the concept that is looked at, and how its case follows from the facts."""

    done: Study
    inquiry: Inquiry
    catalogue: Catalogue
    result: Result
    case: Case
    again: Steps
    watch: Watch

    @property
    def today(self) -> Result:
        """What all of it is held against."""
        return self.done.results[0]

    def at(self, changes: Mapping[str, float], solved: Solved) -> Point:
        """Payback and worth with some facts changed."""
        return worth_of(self.case, recomputed(self.again, changes, solved))


def with_maps(done: Study, inquiry: Inquiry, catalogue: Catalogue, *, watch: Watch | None = None) -> Study:
    """The study with its two-way maps; as it was where no concept but today has a case."""
    result = looked_at(done)
    if result is None or result.case is None:
        return done
    base = base_of(done, visited(inquiry), catalogue, result, watch or Nobody())
    sheet = Sheet(done.facts.values())
    maps = tuple(each for each in (by_money(base, sheet), by_shifts(base, sheet), by_presenter(base, sheet)) if each)
    new = {key: fact for key, fact in sheet.facts.items() if key not in done.facts}
    return replace(done, facts={**done.facts, **new}, maps=Maps(concept=result.concept.id, maps=maps))


def looked_at(done: Study) -> Result | None:
    """The advised concept; where that is today, the one that comes nearest."""
    order = [done.decision.winner, done.decision.second, *(each.concept for each in done.decision.ranking)]
    able = {each.concept.id: each for each in done.results if each.concept.kind != "today" and each.case}
    return next((able[name] for name in order if name in able), None)


def base_of(done: Study, inquiry: Inquiry, catalogue: Catalogue, result: Result, watch: Watch) -> Base:
    """What the maps rest on."""
    assert result.case is not None
    case = result.case
    wanted = [case.npv, case.year.outlay, *case.year.ramp_up]
    wanted += [fact_id for line, growth in steady_lines(case) for fact_id in (line.amount, growth)]
    again = steps(needed(done.facts, wanted))
    return Base(done=done, inquiry=inquiry, catalogue=catalogue, result=result, case=case, again=again, watch=watch)


def by_money(base: Base, sheet: Sheet) -> TwoWay | None:
    """Wage by installed price: money alone moves."""
    assert base.result.estimate is not None
    wage, price = base.inquiry.people.wage_per_h, base.done.facts[base.result.estimate.installed]
    if price.value <= 0.0:
        return None
    axes = over_range(wage), over_range(price)
    grid = [[base.at({wage.id: one, price.id: other}, {}) for other in axes[1].values] for one in axes[0].values]
    return two_way("money", axes, grid, base.case, sheet)


def by_presenter(base: Base, sheet: Sheet) -> TwoWay | None:
    """Parts that the presenter holds by the share of parts at which the loading needs a person."""
    result, facts = base.result, base.done.facts
    if not is_simulated(result) or result.layout is None or FAULTS not in facts:
        return None
    axes = over_sizes(facts[result.layout.pockets]), over_range(facts[FAULTS])
    pockets, faults = axes
    assert result.cell is not None
    behind = steps(needed(facts, origins(result.cell)))
    shared = tuple(factors(result.cell, facts, recomputed(behind, {FAULTS: share}, {})) for share in faults.values)
    cells = [_with_pockets(base, pockets, size) for size in pockets.values]
    runs = runs_of(base, "presenters", [Variants(cell=each, factors=shared, seed=1, weeks=WEEKS) for each in cells])
    own = runs[pockets.here][faults.here]
    grid = [
        [
            moved(base, {pockets.fact.id: size, FAULTS: share}, {result.concept.id: (own, rates)})
            for share, rates in zip(faults.values, row, strict=True)
        ]
        for size, row in zip(pockets.values, runs, strict=True)
    ]
    return two_way("presenter", axes, grid, base.case, sheet)


def by_shifts(base: Base, sheet: Sheet) -> TwoWay | None:
    """Shifts of a day by their length, of a cell: today and the cell built and run anew in each pattern."""
    axes = over_shifts(base.inquiry)
    if axes is None or not (is_simulated(base.result) and is_simulated(base.today)):
        return None
    own = (axes[0].here, axes[1].here)
    places = [(row, column) for row in range(len(axes[0].values)) for column in range(len(axes[1].values))]
    asked = {at: base.inquiry if at == own else pattern(base.inquiry, *_pair(axes, at)) for at in places}
    able = {at: each for at, each in asked.items() if each is not None}
    built = {at: _patterned(base, each) for at, each in able.items()}
    tasks = [Variants(cell=each, factors=({},), seed=1, weeks=WEEKS) for cells, _ in built.values() for each in cells]
    runs = iter(runs_of(base, "shifts", tasks))
    rates = {at: (next(runs)[0], next(runs)[0]) for at in built}
    points = {at: _in_pattern(base, built[at][1], rates[own], rates[at]) for at in built}
    grid = [[points.get((row, column)) for column in range(len(axes[1].values))] for row in range(len(axes[0].values))]
    return two_way("shifts", axes, grid, base.case, sheet)


def _pair(axes: tuple[Axis, Axis], at: tuple[int, int]) -> tuple[int, float]:
    """How many shifts, and how long, at one place of the map."""
    return round(axes[0].values[at[0]]), axes[1].values[at[1]]


def is_simulated(result: Result) -> bool:
    """Whether there is a cell that can be run in another shape: today, or a cell with an arm."""
    seen = result.performance
    return result.concept.kind != "by_hand" and result.cell is not None and bool(seen and seen.output)


def runs_of(base: Base, name: str, tasks: Sequence[Variants]) -> list[tuple[Rates | None, ...]]:
    """The short runs, all of them in this process: starting others takes longer."""
    return list(watched(base.watch, name, map(varied, tasks), total=len(tasks)))


Pair = tuple[Rates | None, Rates | None]  # of the study's own cell, of another one


def moved(base: Base, changes: Mapping[str, float], runs: Mapping[str, Pair], covered: float = 1.0) -> Point | None:
    """Payback and worth with some facts changed and some cells run anew; None where one cannot be run."""
    solved: dict[str, object] = {}
    for result in (base.today, base.result):
        before, after = runs.get(result.concept.id, (None, None))
        if result.concept.id not in runs:
            continue
        if before is None or after is None or before.bound_per_h <= 0.0:
            return None
        solved |= elsewhere(result, base.done.facts, before, after, covered=covered)
    return base.at(changes, solved)  # type: ignore[arg-type]


def _with_pockets(base: Base, pockets: Axis, size: float) -> Cell:
    """The cell of the concept with a presenter for so many parts."""
    fact = replace(pockets.fact, value=size, low=None, high=None, shape="point")
    return _cell(base, base.result, base.inquiry, _sheet(base, base.inquiry, {fact.id: fact}))


def _sheet(base: Base, inquiry: Inquiry, new: Mapping[str, Fact]) -> Sheet:
    """The facts that a cell is built from, those of hours, of wage and of the cells themselves worked out anew."""
    gone = (*ANEW, *(f"concepts.{each.concept.id}.cells." for each in (base.today, base.result)))
    sheet = Sheet(new.get(name, fact) for name, fact in base.done.facts.items() if not name.startswith(gone))
    sheet.extend(base.done.choices.values())
    hours(inquiry, sheet)
    worked_hour(inquiry, sheet)
    return sheet


def _cell(base: Base, result: Result, inquiry: Inquiry, sheet: Sheet) -> Cell:
    """One concept built anew where it stands, at the times that it takes."""
    assert result.layout is not None
    assert result.timing is not None
    return cell(inquiry, result.concept, result.layout, result.timing, base.catalogue, sheet)


def _patterned(base: Base, inquiry: Inquiry) -> tuple[tuple[Cell, Cell], dict[str, float]]:
    """Today and the concept in a pattern of shifts, and what becomes of hours and wage in it."""
    sheet = _sheet(base, inquiry, {})
    alone, known = inquiry.wishes.unattended_s, base.done.facts
    new = {fact.id: fact.value for fact in sheet if fact.id.startswith(ANEW) and fact.id in known}
    cells = _cell(base, base.today, inquiry, sheet), _cell(base, base.result, inquiry, sheet)
    return cells, new | {alone.id: alone.value}


def _in_pattern(
    base: Base, new: Mapping[str, float], before: tuple[Rates | None, Rates | None], after: tuple[Rates | None, ...]
) -> Point | None:
    """Payback and worth in a pattern of shifts; what today loses without a cause stays the same share."""
    facts = base.done.facts
    was, now = before[0], after[0]
    if was is None or now is None or was.parts_per_h <= 0.0:
        return None
    covered = new["shifts.covered_h"] / facts["shifts.covered_h"].value
    a_shift = facts["shifts.per_week"].value / new["shifts.per_week"]
    changes = dict(new)
    changes[SHIPPED] = facts[SHIPPED].value * (now.parts_per_h / was.parts_per_h * a_shift)
    if new[base.inquiry.wishes.unattended_s.id] <= 0.0:
        changes[f"concepts.{base.result.concept.id}.performance.unattended_parts_per_h"] = 0.0
    runs = {base.today.concept.id: (was, now), base.result.concept.id: (before[1], after[1])}
    return moved(base, changes, runs, covered)
