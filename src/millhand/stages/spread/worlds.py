"""Every figure of the study in each draw, and what the draws say of it: its range, the chance of meeting the hurdle."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.model.case import Case
from millhand.model.estimate import Estimate
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.stages.spread.draws import Together, draws, uncertain
from millhand.stages.spread.middles import note_middles
from millhand.trace import Sheet, Solved, found, needed, recomputed, steps

RATES = ("mirr", "irr_after_tax")  # may not exist in a draw


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How the worlds are drawn: how many, from which seed, which facts go together, in how many of them, the first
    ones, every simulated cell is simulated again, and for how many weeks."""

    count: int
    seed: int
    together: tuple[Together, ...] = ()
    resimulated: int = 0
    weeks: int = 4


def worlds(
    facts: Mapping[str, Fact], wanted: Sequence[str], solved: Solved, asked: Asked
) -> Iterator[dict[str, float]]:
    """The wanted facts, and all that they follow from, in each draw of everything uncertain behind them."""
    part = needed(facts, wanted)
    again = steps(part)
    for world in draws(uncertain(part), count=asked.count, seed=asked.seed, together=asked.together):
        yield recomputed(again, world, solved)


def to_draw(results: Sequence[Result]) -> tuple[str, ...]:
    """The facts whose spread is wanted: every figure of the case of each simulated concept, but the internal rates, and
    its parts a shift, whose range would else not be that of its parts an hour and a year.

    A rate may not exist in a draw, or there may be several: `with_rates` puts the plain one into the draws, the others
    keep the range of their inputs, each moved alone.
    """
    simulated = [result for result in results if result.case and result.performance and result.performance.output]
    wanted = (fact_id for result in simulated for fact_id in (*_price(result.estimate), *_figures(result.case),
                                                        *_shift(result)))  # fmt: skip
    return tuple(dict.fromkeys(fact_id for fact_id in wanted if fact_id))


def _shift(result: Result) -> Iterator[str]:
    """Parts a shift."""
    if result.performance is not None:
        yield result.performance.parts_per_shift


def _price(estimate: Estimate | None) -> Iterator[str]:
    """What is paid: the lines of one price rise and fall together, so its range is that of the draws."""
    if estimate is not None:
        yield from (estimate.installed, estimate.own)


def _figures(case: Case | None) -> Iterator[str | None]:
    """The fact ids of a case, paybacks first."""
    if case is None:
        return
    yield from (case.payback_months, case.payback_from_order_months, case.discounted_payback_months, case.npv)
    yield from (case.hurdle_balance, case.saving_per_y, case.plain_ratio_y, case.naive_payback_months)
    yield from (rung.payback for rung in case.rungs)
    yield from (fact_id for name, fact_id in case.further.items() if name not in RATES)
    for row in case.rows:
        yield from (row.net, row.cumulative)


def with_chances(results: Sequence[Result], drawn: Sequence[Mapping[str, float]], sheet: Sheet) -> tuple[Result, ...]:
    """The results with the chance of meeting the hurdle in each case."""
    return tuple(_with_chance(result, drawn, sheet) for result in results)


def _with_chance(result: Result, drawn: Sequence[Mapping[str, float]], sheet: Sheet) -> Result:
    case = result.case
    if case is None or result.concept.kind == "today" or case.hurdle_balance not in drawn[0]:
        return result
    note_middles(case, drawn, sheet)
    share = sum(world[case.hurdle_balance] >= 0.0 for world in drawn) / len(drawn)
    fact = Fact(
        id=f"concepts.{result.concept.id}.case.hurdle_chance", value=share, unit="1", basis="computed",
        source=f"share of {len(drawn)} draws of all uncertain facts", inputs=(("", case.hurdle_balance),),
    )  # fmt: skip
    return replace(result, case=replace(case, hurdle_chance=found(sheet, fact).id))


def with_ranges(facts: Mapping[str, Fact], drawn: Sequence[Mapping[str, float]]) -> dict[str, Fact]:
    """The map with P10 and P90 of the draws on all computed facts that were drawn.

    A time that may never come has no P90. A fact that no draw moved is exact.
    """
    return {
        fact_id: _ranged(fact, [world[fact_id] for world in drawn])
        if drawn and fact_id in drawn[0] and fact.basis == "computed"
        else fact
        for fact_id, fact in facts.items()
    }


def _ranged(fact: Fact, values: Sequence[float]) -> Fact:
    """One fact with the range of its draws."""
    ordered = sorted(values)
    low, high = ordered[len(ordered) // 10], ordered[-1 - len(ordered) // 10]
    if ordered[0] == ordered[-1]:
        return replace(fact, low=None, high=None, shape="point")
    words = f"P10 and P90 of {len(values)} draws of all uncertain facts"
    if not math.isfinite(high):
        words += "; never, in more than one draw in ten"
    return replace(
        fact,
        low=low if math.isfinite(low) else None,
        high=high if math.isfinite(high) else None,
        shape="triangular",
        note=words,
    )
