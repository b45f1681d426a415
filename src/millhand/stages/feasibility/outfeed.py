"""Does the outfeed take what one filling of the presenter brings?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.endings import rooms


def outfeed(asked: Asked) -> Verdict | None:
    """Parts of a full presenter against the room for finished ones; None where parts go back or none are presented.

    It warns: the cell works, but somebody has to empty the outfeed before the presenter asks for him.
    """
    both = rooms(asked) if asked.concept.arm is not None else {}
    if len(both) < 2:
        return None
    demand, limit = both["infeed"], both["outfeed"]
    words = f"One filling brings {shown(demand, 'parts')} parts, and the outfeed takes {shown(limit, 'parts')}"
    return verdict(
        asked,
        Finding(
            check="outfeed",
            demand=demand,
            limit=limit,
            well=f"{words}: one visit serves both.",
            ill=f"{words}: it is full first, and somebody has to come for it alone. A second box, a longer lane, or "
            "less in the presenter.",
            formula="least",
        ),
    )
