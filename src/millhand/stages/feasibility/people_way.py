"""Do people get to where they have to be: to each door, to what they fill and to what they empty?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.reach import nth

CAUTION = (
    "An aid for concept work. Only what the inquiry tells stands on this floor; escape routes, doors that open, and "
    "what somebody carries or pushes follow from the site. A fence's gate is interlocked, and nobody passes it while "
    "the arm runs."
)
PLACE = {"presenter": "the presenter", "outfeed": "the outfeed"}


def people_way(asked: Asked) -> Verdict | None:
    """The narrowest of the ways from outside to doors, presenter and outfeed, against the width that somebody needs."""
    walks = asked.layout.walks
    if asked.concept.arm is None or not walks:
        return None
    worst = min(walks, key=lambda each: asked.sheet.value(each.width))
    width, needed = asked.sheet[worst.width], asked.figure("walk_width_m")
    place = PLACE.get(worst.place) or f"the door of the {nth(int(worst.place.removeprefix('machine_')))} machine"
    words = f"The way to {place} is {shown(width, 'left_mm')} wide at its narrowest"
    if width.value <= 0.0:
        words = f"No way leads to {place}"
    return verdict(
        asked,
        Finding(
            check="people_way",
            demand=needed,
            limit=width,
            well=f"{words}; {shown(needed, 'asked_mm')} are needed.",
            ill=f"{words}; {shown(needed, 'asked_mm')} are needed. Of the places tried that serve as well this one "
            "comes nearest. Move what stands in it, or pin presenter or outfeed elsewhere.",
            formula="margin_share",
            coarse=True,
            caution=CAUTION,
        ),
    )
