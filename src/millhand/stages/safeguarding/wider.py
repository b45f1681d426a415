"""What it costs to keep the distances from fence to arm where the drawn fence stands nearer: metres, floor, money."""

from collections.abc import Iterator, Sequence

from millhand.model.safeguarding import Distance
from millhand.stages.safeguarding.distances import FROM_FENCE
from millhand.stages.safeguarding.placed import Placed
from millhand.trace import found

BUILT = "layout.fence.built"  # the fence as it is built, under the concept


def wider_fence(at: Placed, asked: Sequence[Distance]) -> Iterator[str]:
    """The ids of `safeguarding.wider.out`, `.fence`, `.floor` and `.price` under the concept, once they are written.

    All sides stand so much further out as the longest distance lacks: an upper end, for where machines close a side or
    one side alone is near, less is added. Nothing where there is no fence, or where all distances are kept.
    """
    layout, guard, sheet = at.layout, at.post.concept.safeguarding, at.sheet
    if layout is None or not layout.fence_gap or guard is None or "price_per_m" not in guard.figures:
        return
    gap = sheet[layout.fence_gap]
    short = [sheet[each.fact] for each in asked if each.fact.endswith(FROM_FENCE)]
    most = max(short, key=lambda each: each.value, default=gap)
    if most.value <= gap.value or "money.price_factor" not in sheet:
        return
    out = at.post.apply("difference_m", "wider.out", length_m=most, less_m=gap)
    fence = at.post.apply("wider_fence_m", "wider.fence", out_m=out)
    whole = next(each for each in at.spots("fence"))
    top = f"concepts.{at.post.concept.id}.{BUILT}"
    width, depth = (
        sheet[f"{top}.{name}" if f"{top}.{name}" in sheet else other]
        for name, other in (("width", whole.width_m), ("depth", whole.depth_m))
    )
    floor = at.post.apply("wider_floor_m2", "wider.floor", out_m=out, width_m=width, depth_m=depth)
    price = at.post.apply(
        "metres_money", "wider.price", length_m=fence, money_per_m=found(sheet, guard.figures["price_per_m"]),
        price_factor=sheet["money.price_factor"],
    )  # fmt: skip
    yield from (each.id for each in (out, fence, floor, price))
