"""The floor that a cell takes with one way to guard it."""

from collections.abc import Sequence

from millhand.model.fact import Fact
from millhand.model.layout import Layout
from millhand.model.safeguarding import Distance
from millhand.stages.safeguarding.post import Post

SIDES = ("xs_m", "ys_m", "lengths_m", "widths_m")


def floor(post: Post, stands: Layout, fenced: Layout, kept: Sequence[Distance]) -> Fact:
    """The layout's own where nothing must stay clear in front; else what a guard at that distance encloses.

    In front of a curtain that is the distance of the curtain, of a scanner that must stop the arm the stop field; of
    several editions the longest counts.
    """
    front = deepest(post, kept)
    if front is None:
        return post.sheet[stands.floor_area]
    whole, outside = (post.sheet[each] for _, each in post.sheet[fenced.floor_area].inputs)
    plan = whole.inputs
    sides = {side: tuple(post.sheet[fact] for key, fact in plan if key == f"{side}[]") for side in SIDES}
    assert post.concept.safeguarding is not None
    guarded = post.apply(
        "guarded_area_m2", "floor.whole", **sides, margin_m=post.concept.safeguarding.figures["margin_m"],
        front_m=front,
    )  # fmt: skip
    return post.apply("area_inside_m2", "floor", whole_m2=guarded, outside_m2=outside)


def deepest(post: Post, kept: Sequence[Distance]) -> Fact | None:
    """The longest of the distances that must stay clear in front."""
    facts = [post.sheet[each.fact] for each in kept]
    return max(facts, key=lambda fact: fact.value) if facts else None
