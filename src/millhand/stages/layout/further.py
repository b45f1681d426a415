"""A fence that stands further out than its margin where the distances behind it ask for it: set out, and as facts."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.formulas.guarding import fence_distances_m
from millhand.model.fact import Fact
from millhand.solvers.placing.fencing import length_m
from millhand.solvers.placing.further import SIDES, STEP_M, set_out
from millhand.solvers.placing.people import built_round, enclosed, fence_lines, floor_inside_m2, walk_share
from millhand.solvers.placing.placed import Out, Placed
from millhand.solvers.placing.site import Kit, Site
from millhand.solvers.placing.ways import Free
from millhand.stages.layout.ground import Ground
from millhand.stages.layout.placing import Stage
from millhand.trace import apply

FURTHER = (
    "placed on the floor by search; by what this side lacks, beyond the margin, of the distance asked for behind it, a "
    f"held part counted, in steps of {STEP_M:g} m"
)
CORNER = "placed on the floor by search; a corner of what the fence goes round by its margin, its sides further out"
ALL_ROUND = "placed on the floor by search; all stretches and gates of the fence together"
BY_MARGIN = "placed on the floor by search; the same of a fence that no distance moves out"
MORE_FENCE = "fence.more"  # under the layout; only where the fence got longer


def fence_asked(ground: Ground) -> Fact:
    """The longest distance that is asked for between a fence and what moves behind it."""
    concept, under = ground.concept, f"concepts.{ground.concept.id}.layout.fence"
    assert concept.arm is not None
    assert concept.mount is not None
    lengths = (concept.mount.figures["base_height_m"], concept.arm.figures["reach_m"])
    over = apply(
        ground.sheet, "over_fence_distance_m", f"{under}.over", fence_m=ground.figure("fence_height_m"),
        low_m=ground.figure("floor_level_m"),
        top_m=apply(ground.sheet, "sum_of_lengths_m", f"{under}.top", lengths_m=lengths),
    )  # fmt: skip
    return apply(
        ground.sheet, "fence_distance_m", f"{under}.asked", over_m=over, opening_m=ground.figure("fence_mesh_m")
    )


def with_fence(ground: Ground, kit: Kit, site: Site, free: Free) -> Free:
    """The plan with its fence where the distances hold, as far as the floor given holds it and people's ways stay as
    wide; shorter distances are tried before none is kept."""
    if not ground.concept.is_fenced or not free.plan.works:
        return free
    fence_asked(ground)
    over = ground.sheet[f"concepts.{ground.concept.id}.layout.fence.over"].value
    floor = ground.inquiry.wishes.floor_m2
    most_m2 = floor.value if floor is not None and floor.basis != "assumed" else None

    def fits(plan: Placed) -> bool:
        if most_m2 is not None and floor_inside_m2(kit, site, plan) > most_m2:
            return False
        return walk_share(kit, site, plan) >= walk_share(kit, site, free.plan)

    asked = fence_distances_m(over, ground.figure("fence_mesh_m").value)
    return replace(free, plan=set_out(kit, site, free, asked, fits))


def moved_corners(stage: Stage) -> tuple[tuple[Fact, Fact], ...]:
    """Two corners that a fence further out goes round with its margin, from which its floor is counted; none where no
    side stands further out."""
    people, out = stage.kit.people, replace(stage.plan.out, kept=())
    if people is None or people.fence_m is None or out == Out():
        return ()
    for name in SIDES:
        if (value := float(getattr(out, name))) > 0.0:
            stage.fact(f"fence.out.{name.removesuffix('_m')}", value, "m", FURTHER)
    whole = enclosed(stage.kit, stage.site, stage.plan, people.fence_m)
    return tuple(
        (
            stage.fact(f"fence.{name}.x", whole.x_m + side * (whole.width_m / 2.0 - people.fence_m), "m", CORNER),
            stage.fact(f"fence.{name}.y", whole.y_m + side * (whole.depth_m / 2.0 - people.fence_m), "m", CORNER),
        )
        for name, side in (("low", -1.0), ("high", 1.0))
    )


def more_fence(stage: Stage) -> None:
    """How many metres of fence there are beyond those of a fence by its margin alone, for its price."""
    near = replace(stage.plan, out=Out())
    if stage.plan.out == near.out:
        return
    whole, own = (sum(_lengths(stage, plan)) for plan in (stage.plan, near))
    if whole > own:
        apply(
            stage.ground.sheet, "difference_m", f"concepts.{stage.ground.concept.id}.layout.{MORE_FENCE}",
            length_m=stage.fact("fence.length", whole, "m", ALL_ROUND),
            less_m=stage.fact("fence.near_length", own, "m", BY_MARGIN),
        )  # fmt: skip


def _lengths(stage: Stage, plan: Placed) -> Iterator[float]:
    """Of each stretch, gates among them."""
    people = stage.kit.people
    if people is not None and people.fence_m is not None:
        whole = built_round(stage.kit, stage.site, plan, people.fence_m)
        yield from (length_m(each) for each in fence_lines(stage.kit, stage.site, plan, whole))
