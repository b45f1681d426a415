"""The case with no hour alone: nobody runs alone before it is agreed, and until then the money has to come without."""

import math

from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.stages.decision.desk import Desk
from millhand.trace import apply, found, needed, recomputed


def note_without_alone(desk: Desk, result: Result | None) -> None:
    """Payback, worth, saving and parts of one concept by the same formulas, no part made with nobody there.

    As facts `concepts.<id>.case.without_alone.*`, a payback that does not come within the years left out; nothing where
    no hours alone are counted. Price and stock stay as they are, the hours of people follow the parts.
    """
    if result is None or result.case is None or result.performance is None:
        return
    case, alone = result.case, result.performance.parts_alone
    if alone is None or desk.value(alone) <= 0.0:
        return
    wanted = {
        "payback": case.payback_months, "payback_order": case.payback_from_order_months, "npv": case.npv,
        "saving": case.saving_per_y, "hurdle_balance": case.hurdle_balance, "parts": result.performance.parts_per_y,
    }  # fmt: skip
    ids = {name: fact_id for name, fact_id in wanted.items() if fact_id is not None}
    nothing = {alone: 0.0, result.performance.unattended_h_per_y: 0.0}
    numbers = recomputed(needed(desk.sheet.facts, tuple(ids.values())), nothing, desk.solved)
    longest = 12.0 * desk.inquiry.money.horizon_y.value
    for name, fact_id in ids.items():
        number, unit = numbers[fact_id], desk.sheet[fact_id].unit
        if math.isfinite(number) and not (unit == "months" and number > longest):
            record = Fact(
                id=f"concepts.{case.concept}.case.without_alone.{name}", value=number, unit=unit, basis="computed",
                source=f"recomputed with {alone} at nothing", inputs=(("", alone), ("", fact_id)),
            )  # fmt: skip
            found(desk.sheet, record)
    top = f"concepts.{case.concept}.case"
    if f"{top}.orders" in desk.sheet and f"{top}.without_alone.parts" in desk.sheet:
        apply(
            desk.sheet, "less_parts_per_y", f"{top}.without_alone.short",
            whole_parts_per_y=desk.sheet[f"{top}.orders"], taken_parts_per_y=desk.sheet[f"{top}.without_alone.parts"],
        )  # fmt: skip
