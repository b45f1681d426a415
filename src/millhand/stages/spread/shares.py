"""Where the spread of the advised concept comes from: the share that each of its strongest drivers has in it."""

from collections.abc import Mapping, Sequence

import numpy as np

from millhand.model.case import Case
from millhand.model.decision import Driver, SpreadShare
from millhand.model.fact import Fact
from millhand.solvers.knowing.shares import Share, shares
from millhand.stages.spread.draws import OTHER_KIND, draws, uncertain
from millhand.stages.spread.worlds import Asked
from millhand.trace import Sheet, Solved, found, needed, recomputed, steps

STRONGEST, PAIRS = 6, 64  # drivers that are looked at; pairs of draws, each worked out once for every driver
World = dict[str, float]


def spread_shares(
    sheet: Sheet, case: Case, solved: Solved, moving: Sequence[Driver], asked: Asked
) -> tuple[SpreadShare, ...]:
    """First-order and total share of each of the strongest drivers in the spread of present worth and payback."""
    ids = [fact_id for fact_id in (case.npv, case.payback_months) if fact_id]
    part = needed(sheet.facts, ids)
    facts = uncertain(part)
    known = {fact.id for fact in facts}
    names = [each.fact for each in moving if each.fact in known][:STRONGEST]
    if asked.count < 2 or not names:
        return ()
    one = draws(facts, count=PAIRS, seed=asked.seed, together=asked.together)
    other = draws(facts, count=PAIRS, seed=asked.seed, together=asked.together, source=OTHER_KIND)
    again = steps(part)
    table = np.array(
        [
            [_figures(recomputed(again, world, solved), ids, sheet) for world in _row(first, second, names)]
            for first, second in zip(one, other, strict=True)
        ]
    )  # pairs by worlds by figures
    found_ones = [shares(table[:, 0, at], table[:, 1, at], table[:, 2:, at].T) for at in range(len(ids))]
    return tuple(_noted(sheet, name, [each[place] for each in found_ones], case) for place, name in enumerate(names))


def _row(one: World, other: World, names: Sequence[str]) -> list[World]:
    """Both draws of a pair, and the first with one fact after the other taken from the second."""
    return [one, other, *({**one, name: other[name]} for name in names)]


def _figures(numbers: Mapping[str, float], ids: Sequence[str], sheet: Sheet) -> list[float]:
    """Present worth and payback; a payback that does not come within the horizon counts as the horizon."""
    horizon = 12.0 * sheet.value("money.horizon")
    worth, *months = (numbers[fact_id] for fact_id in ids)
    return [worth, *(min(each, horizon) for each in months)]


def _noted(sheet: Sheet, name: str, each: Sequence[Share], case: Case) -> SpreadShare:
    """The shares of one fact, written into the sheet."""

    def fact(what: str, value: float, of: str) -> str:
        record = Fact(
            id=f"drivers.{name}.{what}_share", value=value, unit="1", basis="computed",
            source=f"mean of {PAIRS} draws of all uncertain facts, in pairs that differ in {name} alone",
            inputs=(("", name), ("", of)),
        )  # fmt: skip
        return found(sheet, record).id

    worth, *payback = each
    months = case.payback_months or ""
    return SpreadShare(
        fact=name,
        npv_first=fact("npv_first", worth.first, case.npv),
        npv_total=fact("npv_total", worth.total, case.npv),
        npv_error=fact("npv_error", max(worth.first_error, worth.total_error), case.npv),
        payback_first=fact("payback_first", payback[0].first, months) if payback else None,
        payback_total=fact("payback_total", payback[0].total, months) if payback else None,
        payback_error=fact("payback_error", max(payback[0].first_error, payback[0].total_error), months)
        if payback
        else None,
    )
