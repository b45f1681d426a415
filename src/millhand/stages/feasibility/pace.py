"""Does one arm keep up with its machines, and which of them sets the pace?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.rate import attendant_time, machines_time

ARM = "the arm sets the pace, and machines wait for it"


def pace(asked: Asked) -> Verdict | None:
    """The arm's work for a part against the time in which the machines together ask for one. Never ends a concept."""
    if asked.concept.arm is None:
        return None
    demand, limit = attendant_time(asked), machines_time(asked)
    two = asked.concept.sharing is not None
    works = "Two arms that share the work evenly are through with a part every" if two else "The arm works"
    words = (
        f"{works} {shown(demand, 'seconds')}{'' if two else ' for each part'}, and the machines together could take "
        f"one every {shown(limit, 'seconds')}"
    )
    return verdict(
        asked,
        Finding(
            check="pace",
            demand=demand,
            limit=limit,
            well=f"{words}: the machines set the pace.",
            ill=f"{words}: {'the arms set the pace, and machines wait for them' if two else ARM}.",
            formula="machines_time_per_part_s",
        ),
    )
