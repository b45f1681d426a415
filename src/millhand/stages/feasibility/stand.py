"""Does a movable stand stay where it is when the arm on it stops hard?"""

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, shown, verdict
from millhand.stages.feasibility.payload import flange_mass
from millhand.trace import apply


def stand(asked: Asked) -> Verdict | None:
    """The factor that is asked for against the one that weight and friction alone give, arm stretched out.

    Only for a stand that moves. It warns: the docking can hold what weight and friction do not.
    """
    arm, mount = asked.concept.arm, asked.concept.mount
    if arm is None or mount is None or "stand_kg" not in mount.figures:
        return None
    demand, tips, slides = asked.figure("stand_factor"), tipping(asked, arm, mount), sliding(asked, arm, mount)
    limit = apply(asked.sheet, "least", asked.id("stand.limit"), values=(tips, slides))
    happens = "tip" if tips.value <= slides.value else "slide"
    words = (
        f"When the arm stops hard, stretched out, the stand's own weight holds {shown(limit, 'ratio')} times what "
        f"would make it {happens}; {shown(demand, 'ratio')} times are asked"
    )
    return verdict(
        asked,
        Finding(
            check="stand",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: the docking has to anchor it to the floor, with a check that it does, or it takes ballast, "
            "a wider foot or a lighter arm.",
            formula="tipping_factor" if happens == "tip" else "sliding_factor",
            coarse=True,
            caution=caution_of("tipping_factor"),
        ),
    )


def tipping(asked: Asked, arm: Component, mount: Component) -> Fact:
    """Over the nearest edge of the stand."""
    sheet = asked.sheet
    edge = apply(
        sheet, "half_of_length_m", asked.id("stand.edge"),
        length_m=min((mount.figures[f"footprint_{side}_m"] for side in ("length", "width")), key=lambda f: f.value),
    )  # fmt: skip
    overhang = apply(
        sheet, "moving_overhang_m", asked.id("stand.overhang"), reach_m=arm.figures["reach_m"],
        centre_share=asked.figure("moving_centre_share"), edge_m=edge,
    )  # fmt: skip
    height = apply(
        sheet, "sum_of_lengths_m", asked.id("stand.height"),
        lengths_m=(mount.figures["base_height_m"], asked.figure("shoulder_m")),
    )  # fmt: skip
    return apply(
        sheet, "tipping_factor", asked.id("stand.tipping"), stand_kg=mount.figures["stand_kg"],
        moving_kg=moving(asked, arm), edge_m=edge, overhang_m=overhang, height_m=height,
        stop_accel_m_s2=stops(asked, arm),
    )  # fmt: skip


def sliding(asked: Asked, arm: Component, mount: Component) -> Fact:
    """On an oily floor."""
    return apply(
        asked.sheet, "sliding_factor", asked.id("stand.sliding"), stand_kg=mount.figures["stand_kg"],
        moving_kg=moving(asked, arm), friction=asked.figure("floor_friction"), stop_accel_m_s2=stops(asked, arm),
    )  # fmt: skip


def moving(asked: Asked, arm: Component) -> Fact:
    """Moving masses of the arm and all that hangs on it."""
    masses = (arm.figures["moving_mass_kg"], flange_mass(asked))
    return apply(asked.sheet, "sum_of_masses_kg", asked.id("stand.moving"), masses_kg=masses)


def stops(asked: Asked, arm: Component) -> Fact:
    """Deceleration of their common centre."""
    return apply(
        asked.sheet, "moving_stop_accel_m_s2", asked.id("stand.stop"),
        stop_accel_m_s2=arm.figures["stop_accel_m_s2"], centre_share=asked.figure("moving_centre_share"),
    )  # fmt: skip
