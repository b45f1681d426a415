"""What half of the draws stay below, and the internal rate in each draw.

Most ranges are wider to one side, and many figures can only get worse than their likely value: with every figure at its
likely value at once, a case may lie at an end of its own range. Its middle says where it lies in half of the draws.
"""

import math
from collections.abc import Iterator, Mapping, Sequence

from millhand.model.case import Case
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.stages.spread.lines import measures_of
from millhand.trace import Sheet, found

Worlds = Sequence[Mapping[str, float]]


def note_middles(case: Case, drawn: Worlds, sheet: Sheet) -> None:
    """The P50 of the main figures of a case as facts of their own; nothing for a time that never comes by then."""
    wanted = {
        "payback": case.payback_months, "payback_order": case.payback_from_order_months,
        "payback_discounted": case.discounted_payback_months, "npv": case.npv, "saving": case.saving_per_y,
        "running": case.year.running, "naive": case.naive_payback_months,
    }  # fmt: skip
    for name, fact_id in wanted.items():
        if fact_id is None or fact_id not in drawn[0]:
            continue
        middle = sorted(world[fact_id] for world in drawn)[len(drawn) // 2]
        if math.isfinite(middle):
            record = Fact(
                id=f"concepts.{case.concept}.case.middle.{name}", value=middle, unit=sheet[fact_id].unit,
                basis="computed", source=f"P50 of {len(drawn)} draws of all uncertain facts", inputs=(("", fact_id),),
            )  # fmt: skip
            found(sheet, record)


def with_rates(results: Sequence[Result], drawn: Worlds, sheet: Sheet) -> Worlds:
    """The draws with the internal rate of each case in them, so that its range is of the same worlds as its payback's.

    Where there is no rate, or several, the draw counts as one below all others when the years do not bring back what is
    paid, and as one above them when they do.
    """
    if not drawn:
        return drawn
    columns = {irr: rates(case, drawn, sheet) for irr, case in rated(results, drawn)}
    return tuple({**world, **{irr: each[index] for irr, each in columns.items()}} for index, world in enumerate(drawn))


def rated(results: Sequence[Result], drawn: Worlds) -> Iterator[tuple[str, Case]]:
    """The cases that were drawn and have one internal rate, by its id."""
    for each in results:
        if each.case is not None and each.case.irr is not None and each.case.rows[-1].cumulative in drawn[0]:
            yield each.case.irr, each.case


def rates(case: Case, drawn: Worlds, sheet: Sheet) -> tuple[float, ...]:
    """The internal rate in every draw."""
    measures, total = measures_of(case, drawn, sheet), case.rows[-1].cumulative
    return tuple(
        float(rate) if count == 1.0 else math.copysign(math.inf, world[total])
        for rate, count, world in zip(measures.irr, measures.rates_n, drawn, strict=True)
    )
