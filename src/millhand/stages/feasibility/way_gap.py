"""Does anything stand in the way between two places of the arm?"""

from millhand.model.layout import Move
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.stages.feasibility.reach import ON_SITE, nth, thing
from millhand.trace import apply

PLACE = {
    "presenter": "the presenter", "outfeed": "the outfeed", "home": "its rest",
    "parking_1": "where the first arm waits", "parking_2": "where the second arm waits",
}  # fmt: skip


def way_gap(asked: Asked) -> Verdict | None:
    """The narrowest gap that the arm keeps on its ways between machines, presenter and outfeed.

    Demand and limit count from the middle line of the arm, as for the ways in. A way that is not free does not end a
    concept: only a direct one and a few round it were tried.
    """
    arm = asked.concept.arm
    told = {pair: move for pair, move in asked.layout.moves.items() if move.gap}
    if arm is None or not told:
        return None
    pair, worst = min(told.items(), key=lambda each: asked.sheet.value(each[1].gap))
    gap, kept, half = asked.sheet[worst.gap], asked.figure("arm_clearance_m"), arm.figures["bar_radius_m"]
    demand = apply(asked.sheet, "sum_of_lengths_m", asked.id("way_gap.asked"), lengths_m=(half, kept))
    free = apply(asked.sheet, "sum_of_lengths_m", asked.id("way_gap.free"), lengths_m=(half, gap))
    left = apply(asked.sheet, "gap_left_m", asked.id("way_gap.left"), gap_m=gap)
    return verdict(
        asked,
        Finding(
            check="way_gap",
            demand=demand,
            limit=apply(asked.sheet, "gap_left_m", asked.id("way_gap.offered"), gap_m=free),
            well=f"{way(pair)} the arm keeps at least {shown(left, 'mm')} to the {thing(worst.beside)}{how(worst)}; "
            f"{shown(kept, 'mm')} are asked for.",
            ill=f"{ill(pair, worst, gap.value, shown(left, 'mm'))}; {shown(kept, 'mm')} are asked for. Ways led over, "
            "drawn back or with the hand hung down were tried: teach points on the way, or move what stands there.",
            formula="margin_share",
            caution=ON_SITE,
        ),
    )


def ill(pair: str, worst: Move, gap_m: float, left: str) -> str:
    """A way that is not free, in words."""
    beside = thing(worst.beside)
    if gap_m <= 0.0:
        return f"{way(pair)} the arm touches the {beside}{how(worst)}"
    return f"{way(pair)} the arm keeps {left} to the {beside}{how(worst)}"


def way(pair: str) -> str:
    """Two places in words.

    >>> way("presenter machine_2")
    'Between the presenter and the second machine'
    """
    one, other = (PLACE.get(each) or f"the {nth(int(each.removeprefix('machine_')))} machine" for each in pair.split())
    return f"Between {one} and {other}"


def how(move: Move) -> str:
    """How a way is led where it does not go directly."""
    return f", {move.led}" if move.led else ""
