"""Does one filling of the presenter carry a whole attended shift, and how often and how long is it refilled?"""

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, longest_shift, part_of, shown, verdict
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
    holds = "the outfeed holds" if mould else "one filling holds"
    words = f"A manned shift makes at most {shown(demand, 'parts')} parts, and {holds} {shown(limit, 'parts')}"
    more = "not a single part fits in" if nothing else visits(asked, demand, limit, emptied=mould)
    return verdict(
        asked,
        Finding(
            check="capacity_refill",
            demand=demand,
            limit=limit,
            well=f"{words}: once a shift is enough{'' if nothing else lasting(asked, limit)}.",
            ill=f"{words}: {more}.",
            formula="least",
            kills=nothing,
        ),
    )


def visits(asked: Asked, parts: Fact, places: Fact, *, emptied: bool) -> str:
    """How many fillings a shift takes from an empty presenter, or how often it is emptied, and how long each takes."""
    count = apply(asked.sheet, "visits_of_parts", asked.id("capacity_refill.visits"), parts=parts, places=places)
    often = f"has to be emptied {shown(count, 'count')} times" if emptied else f"takes {shown(count, 'count')} fillings"
    return f"it {often} a shift{lasting(asked, places)}"


def lasting(asked: Asked, places: Fact) -> str:
    """How long a visit takes that fills all places part by part; nothing is said of boxes that are poured."""
    presenter = asked.concept.presenter
    if presenter is None or not {"tray_length_m", "lane_length_m"} & presenter.figures.keys():
        return ""
    if "exchange_s" in presenter.figures:
        exchange = (presenter.figures["exchange_s"],)
        takes = apply(asked.sheet, "attendant_work_s", asked.id("capacity_refill.takes"), elements_s=exchange)
        return f", {shown(takes, 'minutes')} for each exchange of trolleys"
    passes = part_of(asked).operations[0].passes
    if passes is not None:
        places = apply(asked.sheet, "of_all_passes", asked.id("capacity_refill.pieces"), each=places, passes=passes)
    takes = apply(
        asked.sheet, "refill_visit_s", asked.id("capacity_refill.takes"), walk_s=asked.figure("refill_visit_s"),
        part_s=asked.figure("refill_part_s"), parts=places,
    )  # fmt: skip
    return f", {shown(takes, 'minutes')} each time all is filled"
