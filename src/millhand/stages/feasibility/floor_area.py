"""Does the cell fit on the floor that the shop can give?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict

CAUTION = (
    "An aid for concept work. Guards, doors and people need room that only a drawing on site shows; distances from "
    "moving parts, escape routes and access are set by the risk assessment and by local codes."
)


def floor_area(asked: Asked) -> Verdict | None:
    """Floor of all that is new against the floor given; None where nobody gave one. An assumed floor only warns."""
    limit = asked.inquiry.wishes.floor_m2
    if asked.concept.arm is None or limit is None:
        return None
    demand = asked.sheet[asked.layout.floor_area]
    words = f"The cell takes about {shown(demand, 'area')} of the {shown(limit, 'area')} that are free"
    return verdict(
        asked,
        Finding(
            check="floor_area",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: too much. Drawers instead of tables or belts, no track, or more floor.",
            formula="floor_area_m2",
            kills=limit.basis != "assumed",
            coarse=True,
            caution=CAUTION,
        ),
    )
