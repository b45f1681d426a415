"""Which facts stand behind an answer: followed back through formulas and cells down to what was given or assumed."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from millhand.formulas import REGISTER, Formula
from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.report.comparison import subject
from millhand.report.study_json import all_facts


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """One assumed fact behind the answer, with its effect where it is one of the drivers."""

    fact: str
    swing: str | None


def behind(facts: Mapping[str, Fact], wanted: Iterable[str], cells: Mapping[str, tuple[str, ...]]) -> set[str]:
    """All facts that the wanted ones rest on, themselves included; a solver's result rests on its cell's origins."""
    seen: set[str] = set()
    waiting = [fact_id for fact_id in wanted if fact_id in facts]
    while waiting:
        fact_id = waiting.pop()
        if fact_id in seen:
            continue
        seen.add(fact_id)
        fact = facts[fact_id]
        following = [source for _, source in fact.inputs]
        if fact.formula is None and fact.basis == "computed":
            following += [origin for name, origins in cells.items() if name in fact.source for origin in origins]
        waiting += [each for each in following if each in facts]
    return seen


def cell_origins(study: Study) -> dict[str, tuple[str, ...]]:
    """The facts that the numbers of each cell came from, by the cell's hash."""
    return {
        content_hash(result.cell): tuple(
            dict.fromkeys(origin.fact for cell in cells_of(result) for origin in cell.origins.values())
        )
        for result in study.results
        if result.cell is not None
    }


def cells_of(result: Result) -> Iterator[Cell]:
    """The cell of a result, and those of the phases of a lot."""
    if result.cell is not None:
        yield result.cell
    yield from (each.cell for each in result.phases)


def answer_ids(study: Study) -> Iterator[str]:
    """The figures that the answer rests on: money, output and checks of today, the winner and the best with a case."""
    wanted = {"today", study.decision.winner, *(each.concept.id for each in (subject(study),) if each)}
    for result in study.results:
        if result.concept.id not in wanted:
            continue
        if result.case:
            yield from (
                each for each in (result.case.npv, result.case.payback_months, result.case.saving_per_y) if each
            )
        if result.performance:
            yield from (result.performance.parts_per_shift, result.performance.parts_per_y)
        yield from verdict_ids(result)


def verdict_ids(result: Result) -> Iterator[str]:
    """Demand and limit of every check of a concept."""
    for verdict in result.verdicts:
        yield from (verdict.demand, verdict.limit)


def assumptions(study: Study) -> tuple[Assumed, ...]:
    """Assumed facts behind the answer: the drivers by what they move, then the others by name."""
    facts = all_facts(study)
    reached = behind(facts, answer_ids(study), cell_origins(study))
    swings = {driver.fact: driver.swing for driver in study.decision.drivers}
    assumed = [fact_id for fact_id in facts if fact_id in reached and facts[fact_id].basis == "assumed"]
    moving = sorted((each for each in assumed if each in swings), key=lambda each: -abs(facts[swings[each]].value))
    still = sorted(each for each in assumed if each not in swings)
    return tuple(Assumed(fact=each, swing=swings.get(each)) for each in [*moving, *still])


def groups(facts: Mapping[str, Fact]) -> dict[str, list[Fact]]:
    """Facts by the place they belong to: a concept, the catalogue, or a chapter of the inquiry."""
    found: dict[str, list[Fact]] = {}
    for fact in facts.values():
        parts = fact.id.split(".")
        head = ".".join(parts[:2]) if parts[0] == "concepts" else parts[0]
        found.setdefault(head, []).append(fact)
    return found


def formulas_used(facts: Mapping[str, Fact]) -> tuple[Formula, ...]:
    """The registered formulas behind the facts, by name."""
    return tuple(REGISTER[name] for name in sorted({fact.formula for fact in facts.values() if fact.formula}))


def cautions(facts: Mapping[str, Fact], fact_ids: Iterable[str | None]) -> tuple[str, ...]:
    """The cautions that belong to these figures by their formulas, and by those of the figures they rest on."""
    names = {facts[each].formula for each in behind(facts, [each for each in fact_ids if each], {})}
    return tuple(
        dict.fromkeys(REGISTER[name].caution for name in sorted(filter(None, names)) if REGISTER[name].caution)
    )
