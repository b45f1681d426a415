"""Does one filling of the presenter carry a whole attended shift?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, longest_shift, shown, verdict
from millhand.stages.feasibility.rate import rate
from millhand.trace import apply


def capacity_refill(asked: Asked) -> Verdict | None:
    """Parts of the longest manned shift at full pace against the pockets; a presenter that holds no part ends it."""
    shift = longest_shift(asked)
    if asked.concept.arm is None or shift is None:
        return None
    demand = apply(
        asked.sheet, "parts_in_time", asked.id("capacity_refill.demand"),
        rate_parts_per_h=rate(asked), time_s=shift.length_s,
    )  # fmt: skip
    limit = asked.sheet[asked.layout.pockets]
    nothing = limit.value < 1.0
    mould = asked.concept.presenter is not None and asked.concept.presenter.id == "from_mould"
    holds, visit = ("the outfeed holds", "emptied") if mould else ("one filling holds", "refilled")
    words = f"A manned shift makes at most {shown(demand, 'parts')} parts, and {holds} {shown(limit, 'parts')}"
    more = "not a single part fits in" if nothing else f"it has to be {visit} more than once a shift"
    return verdict(
        asked,
        Finding(
            check="capacity_refill",
            demand=demand,
            limit=limit,
            well=f"{words}: once a shift is enough.",
            ill=f"{words}: {more}.",
            formula="least_parts",
            kills=nothing,
        ),
    )
