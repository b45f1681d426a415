"""Where every combination was left, and which of the simulated ways are worth weighing against each other."""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from millhand.model.decision import Outlook, Sureness
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.model.tradeoff import AIMS, FallenAt, Funnel, Traded, Tradeoff
from millhand.model.verdict import Verdict
from millhand.solvers.selecting.undominated import beaten_by
from millhand.trace import Sheet, apply, found

SERVES_AGAIN = ("arm", "gripper", "presenter", "outfeed", "safeguarding")  # lines that another job can use (judged)


class Space(NamedTuple):
    """How many combinations there are, how many of them somebody wants left out, and how many are there by hand alone;
    and how many were looked at no further because a smaller arm does the same."""

    combinations: int
    left_out: int
    added: int
    needless: int


def tradeoff(space: Space, results: Sequence[Result], sure: Sureness | None, sheet: Sheet) -> Tradeoff:
    """The funnel, and the front of what was simulated; each figure a fact of the sheet."""
    traded = _traded(results, sure, sheet)
    front = sum(1 for each in traded if not each.beaten_by)
    return Tradeoff(funnel=_funnel(space, results, sheet), front=_counted("front", front, sheet), traded=traded)


def _counted(name: str, number: int, sheet: Sheet) -> str:
    """How many, as a fact."""
    words = "follows from counting every combination of the catalogue"
    return found(sheet, Fact(id=f"funnel.{name}", value=float(number), unit="1", basis="computed", source=words)).id


def _funnel(space: Space, results: Sequence[Result], sheet: Sheet) -> Funnel:
    """Counted so that the parts add up to all combinations."""
    cells = [each for each in results if each.concept.kind == "cell"]
    counted = [each for each in cells if each.performance is not None]
    simulated = sum(1 for each in counted if each.performance and each.performance.output)
    rest = space.combinations - space.left_out - space.needless - len(cells)

    fallen: dict[str, list[tuple[Result, Verdict]]] = {}
    for each in cells:
        if each.performance is None:
            worst = _worst(each, sheet)
            fallen.setdefault(worst.check, []).append((each, worst))
    at = sorted(fallen.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    return Funnel(
        combinations=_counted("combinations", space.combinations, sheet),
        by_rule=_counted("by_rule", rest, sheet),
        left_out=_counted("left_out", space.left_out, sheet) if space.left_out else None,
        added=_counted("added", space.added, sheet) if space.added else None,
        by_size=_counted("by_size", space.needless, sheet),
        fell=tuple(
            _fallen_at(check, those, _counted(f"fell.{check}", len(those), sheet), sheet) for check, those in at
        ),
        by_bound=_counted("by_bound", len(counted) - simulated, sheet),
        simulated=_counted("simulated", simulated, sheet),
    )


def _worst(result: Result, sheet: Sheet) -> Verdict:
    """The failed check that ends a cell and lacks most."""
    failed = [each for each in result.verdicts if each.kills and not each.holds]
    return min(failed, key=lambda each: sheet.value(each.margin))


def _fallen_at(check: str, those: Sequence[tuple[Result, Verdict]], number: str, sheet: Sheet) -> FallenAt:
    """All that one check ended, with the nearest miss."""
    nearest, verdict = max(those, key=lambda pair: sheet.value(pair[1].margin))
    return FallenAt(check=check, number=number, nearest=nearest.concept.id, margin=verdict.margin)


def _traded(results: Sequence[Result], sure: Sureness | None, sheet: Sheet) -> tuple[Traded, ...]:
    """Every simulated way; those that nothing beats first, each group in the order of the results."""
    outlooks = {each.concept: each for each in sure.outlooks} if sure else {}
    there = [each for each in results if each.concept.id in outlooks]
    aims = [_aims(each, outlooks[each.concept.id], sheet) for each in there]
    beaten = beaten_by([_costs(each, bool(result.concept.kind == "today"), sheet)
                        for each, result in zip(aims, there, strict=True)])  # fmt: skip
    names = [each.concept.id for each in there]
    front = {name for name, those in zip(names, beaten, strict=True) if not those}
    rows = [
        Traded(concept=name, aims=own, beaten_by=tuple(names[at] for at in those if names[at] in front))
        for name, own, those in zip(names, aims, beaten, strict=True)
    ]
    return tuple(sorted(rows, key=lambda each: bool(each.beaten_by)))


def _aims(result: Result, outlook: Outlook, sheet: Sheet) -> dict[str, str | None]:
    """What one way brings, as fact ids."""
    own, estimate, case = result.performance, result.estimate, result.case
    bought = result.concept.kind != "today"
    chance = case.hurdle_chance if case else None
    return {
        "payback_p50": outlook.payback_p50,
        "payback_p90": outlook.payback_p90,
        "alone": own.parts_alone if own else None,
        "price": estimate.installed if estimate and bought else None,
        "floor": (result.layout.floor_area or None) if result.layout and result.concept.kind == "cell" else None,
        "tied": _tied(result, sheet) if bought else None,
        "missing": _missing(result, chance, sheet) if chance and bought else None,
    }


def _tied(result: Result, sheet: Sheet) -> str | None:
    """What of the price serves no other job: work, fingers, doors, interfaces, clamping, tracks."""
    estimate = result.estimate
    if estimate is None or not estimate.lines:
        return None
    base = f"concepts.{result.concept.id}.tradeoff"
    again = tuple(each.amount for each in estimate.lines if each.id in SERVES_AGAIN)
    kept = apply(sheet, "sum_money", f"{base}.serves_again", amounts_money=again)
    whole = sheet[estimate.installed]
    return apply(sheet, "difference_money", f"{base}.tied", amount_money=whole, other_money=kept).id


def _missing(result: Result, chance: str, sheet: Sheet) -> str:
    """The chance that the money is not back by the hurdle."""
    name = f"concepts.{result.concept.id}.tradeoff.missing"
    return apply(sheet, "rest_share", name, taken_shares=(sheet[chance],)).id


def _costs(aims: Mapping[str, str | None], today: bool, sheet: Sheet) -> tuple[float, ...]:
    """The same as numbers of which less is better. Going on as today pays nothing, so that nothing can be missed."""
    missing = {"payback_p50": math.inf, "payback_p90": math.inf, "missing": 0.0 if today else 1.0}

    def cost(name: str, more: bool) -> float:
        fact_id = aims[name]
        value = missing.get(name, 0.0) if fact_id is None else sheet.value(fact_id)
        return -value if more else value

    return tuple(cost(name, more) for name, more in AIMS.items())
