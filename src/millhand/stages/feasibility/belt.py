"""A track whose carriage hangs on a belt: does the belt bear the pull, and how far does the carriage swing on it?"""

from millhand.model.concept import Component
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Strength, caution_of, of_class, shown, tightest
from millhand.stages.feasibility.placing import left_by_others
from millhand.stages.feasibility.track import Way, driven, thrust
from millhand.trace import apply


def belt(asked: Asked) -> Verdict | None:
    """Pull while the carriage speeds up against what belts bear, and how far it gives way against what the seat leaves,
    whichever is nearer. Beyond it the concept ends: a rack does the same stiffly."""
    mount = driven(asked)
    if mount is None or "belt_pull_n" not in mount.figures:
        return None
    swing = swinging(asked, mount)
    ways = (pulling(asked, mount), *((swing,) if swing is not None else ()))
    words, demand, limit = tightest(ways)
    return of_class(
        asked,
        Strength(
            check="belt", demand=demand, limit=limit, words=words, formula=demand.formula or "belt_stretch_m",
            mends="a rack in the place of the belt, gentler ramps, or a shorter way", coarse=True,
            caution=caution_of("carriage_thrust_n"),
        ),
    )  # fmt: skip


def pulling(asked: Asked, mount: Component) -> Way:
    """Force that speeds the carriage up against the greatest pull of the belt."""
    demand, limit = thrust(asked, mount), mount.figures["belt_pull_n"]
    words = f"To speed the carriage up the belt pulls with {shown(demand, 'force')}; belts of this class bear "
    return words + shown(limit, "force"), demand, limit


def swinging(asked: Asked, mount: Component) -> Way | None:
    """How far the belt gives way under that force midway, where it is softest; None where no seat takes a part."""
    limit = left_by_others(asked)
    if limit is None or "belt_stiffness_n" not in mount.figures:
        return None
    whole = asked.sheet[f"concepts.{asked.concept.id}.layout.track.length"]
    half = apply(asked.sheet, "half_of_length_m", asked.id("belt.strand"), length_m=whole)
    demand = apply(
        asked.sheet, "belt_stretch_m", asked.id("belt.stretch"), thrust_n=thrust(asked, mount), strand_m=half,
        other_strand_m=half, stiffness_n=mount.figures["belt_stiffness_n"],
    )  # fmt: skip
    words = (
        f"As it stops the carriage swings by {shown(demand, 'mm')} on its belt; the seat of a part leaves "
        f"{shown(limit, 'mm')} after all other errors"
    )
    return words, demand, limit
