"""Price and the shop's own work as one sum, at the class of the estimate: from low to high by one share each."""

from millhand.model.study import Result
from millhand.stages.decision.desk import Desk
from millhand.trace import apply

ENDS = ("low", "high")


def note_all_in(desk: Desk, result: Result | None) -> None:
    """The sum, the ends of own work and those of the sum, as facts `concepts.<id>.estimate.all_in*` and `.own_low`,
    `.own_high`; nothing where nothing is bought or the shop does nothing of its own."""
    if result is None or result.estimate is None or not result.estimate.own:
        return
    made, sheet, top = result.estimate, desk.sheet, f"concepts.{result.concept.id}.estimate"
    if desk.value(made.own) <= 0.0 or f"{top}.usual_low" not in sheet:
        return
    own = sheet[made.own]
    apply(sheet, "sum_money", f"{top}.all_in", amounts_money=(sheet[made.installed], own))
    for end in ENDS:
        share = sheet[dict(sheet[f"{top}.usual_{end}"].inputs)["accuracy_share"]]
        most = apply(sheet, f"usual_{end}_money", f"{top}.own_{end}", amount_money=own, accuracy_share=share)
        apply(sheet, "sum_money", f"{top}.all_in_{end}", amounts_money=(sheet[f"{top}.usual_{end}"], most))
