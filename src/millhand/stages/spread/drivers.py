"""Each uncertain fact alone from low to high: what becomes of the answer."""

import math
from collections.abc import Sequence
from dataclasses import replace

from millhand.model.case import Case
from millhand.model.decision import Driver, Known
from millhand.model.fact import Fact
from millhand.stages.spread.draws import uncertain
from millhand.trace import Sheet, Solved, Steps, found, needed, recomputed, steps


def drivers(sheet: Sheet, case: Case, solved: Solved, known: Sequence[Known] = ()) -> tuple[Driver, ...]:
    """Each uncertain fact alone at its P10 and P90: what becomes of the payback; widest at the hurdle first.

    A fact that is worth knowing before choosing stands in it too where it moves this case by nothing.

    The width is that of the money that is back by the hurdle: finite where a payback never comes, and the very figure
    that decides.
    """
    ids = (case.payback_months, case.hurdle_balance)
    part = needed(sheet.facts, [fact_id for fact_id in ids if fact_id])
    again = steps(part)
    worths = {each.fact: each.worth for each in known}
    others = [sheet[fact_id] for fact_id in worths if fact_id not in part]
    found_ones = [_driver(sheet, again, fact, ids, solved) for fact in (*uncertain(part), *others)]
    worthy = [replace(driver, worth=worths.get(driver.fact)) for driver in found_ones]
    moving = [driver for driver in worthy if sheet.value(driver.swing) > 0.0 or driver.worth]
    return tuple(sorted(moving, key=lambda driver: -sheet.value(driver.swing)))


def _driver(sheet: Sheet, part: Steps, fact: Fact, ids: tuple[str | None, str], solved: Solved) -> Driver:
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
