"""What the safety person asks of a cell, in the words of the page."""

from millhand.formulas import footing, holding_on
from millhand.model.fact import Fact
from millhand.report.view import own_form

JUDGED = ("severity", "frequency", "avoidance")
SHORT_S = 60.0
STOPPING = ".stopping"  # from being seen to standing still: distances rest on it
WALKED = ".walked"  # while the arm comes to a stand: asked for as a distance
LEVELS = (
    "By the risk graph of ISO 13849-1, annex A: severity, frequency or duration, chance to avoid it, each 1 or 2; the "
    "levels run from a to e. Every answer is judged here from what the inquiry tells, and competent persons answer it "
    "anew for the real cell."
)
ENTER = (
    "Steps to begin a procedure with. The shop's own rules for lock-out, the local codes and the risk assessment by "
    "competent persons decide how somebody goes in, what is locked and who may do it."
)
WAYS = (
    "At the narrowest, from outside, with doors and drawers closed; no wider way than two metres is looked for. Only "
    "what the inquiry tells stands on this floor: widths of ways and ways out follow from local codes and the fire "
    "protection concept, emergency stops from the risk assessment."
)
LIFT = (
    "Masses are those of empty pieces, common practice without a source; the load on the floor is that in use, spread "
    "over the base: feet and plates press harder in places. What comes in pieces is no single lift."
)
HOLD_CAUTION, LIFT_CAUTION = holding_on.CAUTION, footing.CAUTION


def form_of(fact: Fact) -> str:
    """The format of a time, finer for a short one and never short for a stop or the walk meanwhile; "" for anything
    else: its own unit's."""
    if fact.unit != "s":
        return "asked" if fact.id.endswith(WALKED) else ""
    if fact.id.endswith(STOPPING):
        return "stop_time"
    return "timed" if fact.value < SHORT_S else own_form(fact)
