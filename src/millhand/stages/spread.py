"""How far the uncertain facts move the answer: draws of all of them together, and each alone from low to high.

The map of facts is a calculation graph (trace.recomputed): a draw changes the facts that were given, measured, judged
or assumed with a range, and everything that follows from them is worked out again; cells are scaled, never rebuilt.
"""

import math
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from millhand.model.case import Case
from millhand.model.cell import Cell
from millhand.model.decision import Driver
from millhand.model.fact import Fact
from millhand.model.slots import Paths, paths_of, scaled
from millhand.model.study import Result
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.sampling.normal import normal_quantile
from millhand.solvers.sampling.streams import stream_key, uniform
from millhand.trace import Sheet, Solved, Step, found, needed, recomputed, steps

DRAW_KIND = 21_000_000  # source of the uncertain facts in docs/streams.md; the fact itself stands as the replication
P90_Z = normal_quantile(0.9)
FARTHEST_Z = 2.5


def uncertain(facts: Mapping[str, Fact]) -> tuple[Fact, ...]:
    """The facts with a range that follow from no other."""
    return tuple(
        fact for fact in facts.values() if fact.basis != "computed" and fact.low is not None and fact.high is not None
    )


def quantile(fact: Fact, share: float) -> float:
    """The value of an uncertain fact that a `share` of its draws lie below.

    Two half normals meet at the likely value, so that P10, P50 and P90 are the fact's own three numbers: in the
    logarithm where the fact is above zero, so that no time can come out as nothing. A uniform fact is drawn straight,
    one above zero not below half its P10.
    Beyond 2.5 deviations a draw is brought back; a share stays at most 1.
    """
    assert fact.low is not None
    assert fact.high is not None
    z = max(-FARTHEST_Z, min(FARTHEST_Z, normal_quantile(share))) / P90_Z
    end = fact.low if z < 0.0 else fact.high
    if fact.shape == "uniform":
        straight = fact.low + (fact.high - fact.low) * (share - 0.1) / 0.8
        drawn = max(straight, fact.low / 2.0) if fact.low > 0.0 else straight
    elif fact.low > 0.0:
        drawn = fact.value * math.exp(abs(z) * (math.log(end) - math.log(fact.value)))
    else:
        drawn = fact.value + abs(z) * (end - fact.value)
    drawn = max(drawn, 0.0) if fact.low >= 0.0 else drawn
    return min(drawn, 1.0) if fact.unit == "1" and fact.high <= 1.0 else drawn


def draws(facts: Sequence[Fact], *, count: int, seed: int) -> list[dict[str, float]]:
    """`count` draws of all facts together, each fact once from each of `count` equal slices of its range.

    The order of the slices is keyed by the fact's id, so that two concepts see the same world in the same draw.
    """
    columns: dict[str, list[float]] = {}
    for fact in facts:
        key = stream_key(seed=seed, source=DRAW_KIND, replication=zlib.crc32(fact.id.encode()), day=0)
        order = sorted(range(count), key=lambda index, key=key: uniform(key, index))  # type: ignore[misc]
        columns[fact.id] = [quantile(fact, (rank + 0.5) / count) for rank in order]
    return [{fact_id: column[index] for fact_id, column in columns.items()} for index in range(count)]


def bounds_of(cells: Mapping[str, Cell], facts: Mapping[str, Fact]) -> Solved:
    """How the load bound of each cell (by the fact id it gave) follows when the facts behind its slots change."""
    return {
        fact_id: partial(_bound, Moving(cell, paths_of(cell), facts[fact_id].value, _behind(cell, facts)))
        for fact_id, cell in cells.items()
    }


def _behind(cell: Cell, facts: Mapping[str, Fact]) -> dict[str, float]:
    """The values of the facts behind the slots of a cell."""
    return {origin.fact: facts[origin.fact].value for origin in cell.origins.values()}


class Moving(NamedTuple):
    """A cell whose slots are to follow its facts: where the slots are, and the values before."""

    cell: Cell
    paths: Paths
    bound: float
    behind: Mapping[str, float]


def _bound(moving: Moving, numbers: Mapping[str, float]) -> float:
    """The load bound of one cell after its slots follow the numbers; as before when none of them moved."""
    factors = {
        fact_id: numbers[fact_id] / value
        for fact_id, value in moving.behind.items()
        if value != 0.0 and numbers[fact_id] != value
    }
    return rate_bound_per_h(scaled(moving.cell, factors, moving.paths)) if factors else moving.bound


def worlds(
    facts: Mapping[str, Fact], wanted: Sequence[str], solved: Solved, *, count: int, seed: int
) -> Iterator[dict[str, float]]:
    """The wanted facts, and all that stands between, in each of `count` draws of everything uncertain behind them."""
    part = needed(facts, wanted)
    kept = [fact_id for fact_id, fact in part.items() if fact.basis == "computed"]
    again = steps(part)
    for world in draws(uncertain(part), count=count, seed=seed):
        numbers = recomputed(again, world, solved)
        yield {fact_id: numbers[fact_id] for fact_id in kept}


def to_draw(results: Sequence[Result]) -> tuple[str, ...]:
    """The facts whose spread is wanted: every figure of the case of each simulated concept, but the internal rate.

    A rate may not exist in a draw, or there may be several; it keeps the range of its inputs, each moved alone.
    """
    cases = [result.case for result in results if result.case and result.performance and result.performance.output]
    return tuple(dict.fromkeys(fact_id for case in cases for fact_id in _figures(case) if fact_id))


def _figures(case: Case) -> Iterator[str | None]:
    """The fact ids of a case, paybacks first."""
    yield from (case.payback_months, case.payback_from_order_months, case.discounted_payback_months, case.npv)
    yield from (case.hurdle_balance, case.saving_per_y, case.plain_ratio_y, case.naive_payback_months)
    yield from (rung.payback for rung in case.rungs)
    for row in case.rows:
        yield from (row.net, row.cumulative)


def with_chances(results: Sequence[Result], drawn: Sequence[Mapping[str, float]], sheet: Sheet) -> tuple[Result, ...]:
    """The results with the chance of meeting the hurdle in each case."""
    return tuple(_with_chance(result, drawn, sheet) for result in results)


def _with_chance(result: Result, drawn: Sequence[Mapping[str, float]], sheet: Sheet) -> Result:
    case = result.case
    if case is None or result.concept.kind == "today" or case.hurdle_balance not in drawn[0]:
        return result
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
        fact_id: _ranged(fact, [world[fact_id] for world in drawn]) if drawn and fact_id in drawn[0] else fact
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


def drivers(sheet: Sheet, case: Case, solved: Solved) -> tuple[Driver, ...]:
    """Each uncertain fact alone at its P10 and P90: what becomes of the payback; widest at the hurdle first.

    The width is that of the money that is back by the hurdle: finite where a payback never comes, and the very figure
    that decides.
    """
    ids = (case.payback_months, case.hurdle_balance)
    part = needed(sheet.facts, [fact_id for fact_id in ids if fact_id])
    again = steps(part)
    found_ones = [_driver(sheet, again, fact, ids, solved) for fact in uncertain(part)]
    moving = [driver for driver in found_ones if sheet.value(driver.swing) > 0.0]
    return tuple(sorted(moving, key=lambda driver: -sheet.value(driver.swing)))


def _driver(sheet: Sheet, part: Sequence[Step], fact: Fact, ids: tuple[str | None, str], solved: Solved) -> Driver:
    """One fact alone, at its P10 and at its P90."""
    payback, value = ids
    horizon = 12.0 * sheet.value("money.horizon")
    low, high = (recomputed(part, {fact.id: end}, solved) for end in (fact.low, fact.high) if end is not None)

    def noted(name: str, number: float, unit: str, of: str) -> str | None:
        if not math.isfinite(number) or (unit == "months" and number > horizon):
            return None
        record = Fact(
            id=f"drivers.{fact.id}.{name}", value=number, unit=unit, basis="computed",
            source=f"recomputed with {fact.id} at its low and high end", inputs=(("", fact.id), ("", of)),
        )  # fmt: skip
        return found(sheet, record).id

    return Driver(
        fact=fact.id,
        at_low=noted("at_low", low[payback], "months", payback) if payback else None,
        at_high=noted("at_high", high[payback], "months", payback) if payback else None,
        swing=noted("swing", abs(high[value] - low[value]), "money", value) or "",
    )
