"""Can the cell start every machine and hear when it has finished, and who has to agree to the wires?"""

from millhand.model.pool import kinds_in
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.trace import apply

SUPPLIER = (
    " Before anybody opens a cabinet the machine's own supplier agrees in writing to the signals, to who connects "
    "them, and to stop and guard being linked"
)


def interface(asked: Asked) -> Verdict | None:
    """Machines to be started against machines whose control has free outputs or a fieldbus; it only warns."""
    if asked.concept.arm is None:
        return None
    machines = tuple(kinds_in(asked.inquiry.machines))
    able = tuple(machine.count for machine in machines if machine.control.value != "none")
    demand = apply(
        asked.sheet, "count_of_all", asked.id("interface.demand"), counts=tuple(machine.count for machine in machines)
    )
    limit = apply(asked.sheet, "count_of_all", asked.id("interface.limit"), counts=able)
    words = (
        f"The cell has to start {shown(demand, 'count')} of the machines; free outputs or a fieldbus are there at "
        f"{shown(limit, 'count')}"
    )
    after = f"{SUPPLIER}{warranty(asked)}.{old(asked)}"
    return verdict(
        asked,
        Finding(
            check="interface",
            demand=demand,
            limit=limit,
            well=f"{words}.{after}",
            ill=f"{words}. For the others an interface has to be made, if it can be: ask this before anything else."
            f"{after}",
            formula="count_of_all",
        ),
    )


def warranty(asked: Asked) -> str:
    """What the supplier has to say beside that while a machine is under warranty."""
    under = tuple(machine.count for machine in kinds_in(asked.inquiry.machines) if machine.warranty.value == "yes")
    if not under:
        return ""
    count = apply(asked.sheet, "count_of_all", asked.id("interface.warranty"), counts=under)
    return f", and that the warranty of {shown(count, 'count')} of them stays"


def old(asked: Asked) -> str:
    """A word on controls that are old."""
    limit = asked.figure("old_control_y")
    ages = [machine.age_y for machine in kinds_in(asked.inquiry.machines) if machine.age_y.value > limit.value]
    if not ages:
        return ""
    oldest = max(ages, key=lambda fact: fact.value)
    return (
        f" The oldest is {shown(oldest, 'years')} old: beyond {shown(limit, 'years')} outputs, drawings and spare "
        "boards may be gone, so somebody who knows this control looks first."
    )
