"""Does what moves keep so far from the fence that nobody reaches it over the fence?"""

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, shown, verdict
from millhand.trace import apply

OPEN = (
    "Counted are arm, hand and a held part, turned anyhow, on the ways that were planned, and the fence alone: where "
    "a stand closes it, or where it ends at one that somebody fills, reaching in is another question. What keeps the "
    "arm from going further than its ways belongs to the risk assessment too."
)


def over_fence(asked: Asked) -> Verdict | None:
    """The distance that a table asks for behind a fence so high, against how near the arm comes to it.

    Demand and limit count from the middle line of the arm, as for the gaps inside. Of all heights up to the highest
    point that the arm gets to the worst counts. It warns, as a higher fence or one further out mends it.
    """
    arm, mount, sheet = asked.concept.arm, asked.concept.mount, asked.sheet
    if arm is None or mount is None or not asked.layout.fence_gap:
        return None
    gap, height = sheet[asked.layout.fence_gap], asked.figure("fence_height_m")
    foot = mount.figures["base_height_m"]
    top = apply(sheet, "sum_of_lengths_m", asked.id("over_fence.top"), lengths_m=(foot, arm.figures["reach_m"]))
    demand = apply(
        sheet, "over_fence_distance_m", asked.id("over_fence.distance"), fence_m=height,
        low_m=asked.figure("floor_level_m"), top_m=top,
    )  # fmt: skip
    half = arm.figures["bar_radius_m"]
    words = (
        f"{kept(gap)}; over a fence "
        f"{shown(height, 'metres')} high the table for a high risk asks for {shown(demand, 'asked_mm')}"
    )
    return verdict(
        asked,
        Finding(
            check="over_fence",
            demand=apply(sheet, "sum_of_lengths_m", asked.id("over_fence.asked"), lengths_m=(half, demand)),
            limit=apply(sheet, "sum_of_lengths_m", asked.id("over_fence.offered"), lengths_m=(half, gap)),
            well=f"{words}.",
            ill=f"{words}: {mends(asked, demand, top) if gap.value < demand.value else ''}.",
            formula="over_fence_distance_m",
            coarse=True,
            caution=f"{caution_of('over_fence_distance_m')} {OPEN}",
        ),
    )


def kept(gap: Fact) -> str:
    """What is left to the fence with the part in the hand, or that the part may come past it."""
    if gap.value < 0.0:
        return (
            f"On its ways a part in the hand may come past the fence: {shown(gap, 'left_mm')} is left, seen from above"
        )
    return (
        f"On its ways what moves, the part in the hand counted, keeps {shown(gap, 'left_mm')} to its fence, from above"
    )


def mends(asked: Asked, demand: Fact, top: Fact) -> str:
    """What would do: a fence so high where it stands, or the same one so much further out; where the part may come past
    it, the latter alone."""
    sheet, gap = asked.sheet, asked.sheet[asked.layout.fence_gap]
    out = apply(sheet, "difference_m", asked.id("over_fence.further_out"), length_m=demand, less_m=gap)
    further = f"one that stands {shown(out, 'asked_mm')} further out and takes more floor than is drawn"
    if gap.value < 0.0:
        return f"no height would do where it stands, but {further}"
    higher = apply(
        sheet, "fence_for_distance_m", asked.id("over_fence.higher"), distance_m=gap,
        low_m=asked.figure("floor_level_m"), top_m=top,
    )  # fmt: skip
    return f"a higher fence, of {shown(higher, 'asked_m')}, would do where it stands, or {further}"
