"""Does one arm keep up with its machines, and which of them sets the pace?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.rate import attendant_time, machines_time


def pace(asked: Asked) -> Verdict | None:
    """The arm's work for a part against the time in which the machines together ask for one. Never ends a concept."""
    if asked.concept.arm is None:
        return None
    demand, limit = attendant_time(asked), machines_time(asked)
    words = (
        f"The arm works {shown(demand, 'seconds')} for each part, and the machines together could take one every "
        f"{shown(limit, 'seconds')}"
    )
    return verdict(
        asked,
        Finding(
            check="pace",
            demand=demand,
            limit=limit,
            well=f"{words}: the machines set the pace.",
            ill=f"{words}: the arm sets the pace, and machines wait for it.",
            formula="machines_time_per_part_s",
        ),
    )
