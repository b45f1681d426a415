"""Can the cell start every machine and hear when it has finished?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.trace import apply


def interface(asked: Asked) -> Verdict | None:
    """Machines to be started against machines whose control has free outputs or a fieldbus; it only warns."""
    if asked.concept.arm is None:
        return None
    machines = asked.inquiry.machines
    able = tuple(machine.count for machine in machines if machine.control.value != "none")
    demand = apply(
        asked.sheet, "count_of_all", asked.id("interface.demand"), counts=tuple(machine.count for machine in machines)
    )
    limit = apply(asked.sheet, "count_of_all", asked.id("interface.limit"), counts=able)
    words = (
        f"The cell has to start {shown(demand, 'count')} of the machines; free outputs or a fieldbus are there at "
        f"{shown(limit, 'count')}"
    )
    return verdict(
        asked,
        Finding(
            check="interface",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}. For the others an interface has to be made, if it can be: ask this before anything else.",
            formula="count_of_all",
        ),
    )
