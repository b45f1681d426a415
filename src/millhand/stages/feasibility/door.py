"""Who opens the door: a drive that is there, one that is fitted, or the arm?"""

from millhand.model.pool import kinds_in
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.trace import apply

CAUTION = (
    "An aid for concept work. Door and switch are the machine's guard: who changes them changes the machine. Closing "
    "edges crush; the machine's supplier, local codes, the risk assessment and competent persons decide."
)


def door(asked: Asked) -> Verdict | None:
    """Machines whose door has to open against those whose door is driven already; None where there is no door.

    It warns: a drive can be fitted and the arm can pull a door, and either is in the price.
    """
    doors = [machine for machine in kinds_in(asked.inquiry.machines) if machine.door.value != "none"]
    if asked.concept.arm is None or not doors:
        return None
    demand = apply(
        asked.sheet, "count_of_all", asked.id("door.demand"), counts=tuple(machine.count for machine in doors)
    )
    limit = apply(
        asked.sheet, "count_of_all", asked.id("door.limit"),
        counts=tuple(machine.count for machine in doors if machine.door.value == "powered"),
    )  # fmt: skip
    words = f"The door of {shown(demand, 'count')} of the machines has to open; {shown(limit, 'count')} have a drive"
    return verdict(
        asked,
        Finding(
            check="door",
            demand=demand,
            limit=limit,
            well=f"{words}, whose signals the machine's supplier names.",
            ill=f"{words}. For the others one is fitted, or the arm pulls the door: the supplier has to agree to "
            "either, and the guard with its switch is judged anew.",
            formula="count_of_all",
            caution=CAUTION,
        ),
    )
