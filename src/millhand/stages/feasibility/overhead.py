"""An arm under a beam: is there height for all of it, and does the beam bend less than the seats of the parts bear?"""

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.layout import Overhead
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, Strength, caution_of, of_class, shown, verdict
from millhand.stages.feasibility.placing import left_by_others
from millhand.stages.feasibility.track import riding
from millhand.trace import apply

ABOVE = (
    "An aid for concept work. A beam shuts off what comes from above: ask how cranes, sprinklers and lamps pass it, "
    "and how spindles and roofs of the machines are lifted out under it. What hangs can fall, with the part that it "
    "holds: nobody stands under it, and the risk assessment decides what keeps people away and what holds after a "
    "failure."
)


def ceiling(asked: Asked) -> Verdict | None:
    """The top of beam or arm and the room kept over it, against the clear height. A height that was only assumed ends
    the concept where not even the high end of its range would do."""
    over = asked.layout.overhead
    if over is None:
        return None
    top, kept, limit = asked.sheet[over.top], asked.figure("above_beam_m"), asked.sheet[over.ceiling]
    demand = apply(asked.sheet, "sum_of_lengths_m", asked.id("ceiling.demand"), lengths_m=(top, kept))
    words = (
        f"Hung {shown(asked.sheet[over.foot], 'metres')} above the floor, {highest(asked, over)} goes up to "
        f"{shown(top, 'metres')}; with {shown(kept, 'metres')} kept over it that is {shown(demand, 'metres')} of "
        f"{shown(limit, 'metres')} of clear height"
    )
    unsure = " The clear height was assumed: measure it first." if limit.basis == "assumed" else ""
    return of_class(
        asked,
        Strength(
            check="ceiling", demand=demand, limit=limit, words=words, formula="sum_of_lengths_m", coarse=True,
            mends="too low for it, and it is not tried lower. A track on the floor", after=unsure, caution=ABOVE,
        ),
    )  # fmt: skip


def highest(asked: Asked, over: Overhead) -> str:
    """What goes up furthest, in words."""
    value = asked.sheet.value
    return "the beam" if value(over.beam_top) >= value(over.arm_top) else "the arm"


def _hanging(asked: Asked, mount: Component) -> Fact:
    """What moves along the beam; of two arms both, as if they were at one place, which is more than there ever is."""
    one = riding(asked, mount)
    if asked.concept.sharing is None:
        return one
    return apply(asked.sheet, "sum_of_masses_kg", asked.id("beam_deflection.mass"), masses_kg=(one, one))


def beam_deflection(asked: Asked) -> Verdict | None:
    """How far the carriage with all that hangs on it bends the beam midway between two columns, against what the seat
    leaves after the other errors. It warns: stops taught under load, more columns or a stiffer beam help."""
    over, mount, limit = asked.layout.overhead, asked.concept.mount, left_by_others(asked)
    if over is None or mount is None or limit is None or "beam_moment_m4" not in mount.figures:
        return None
    two = asked.concept.sharing is not None
    load = apply(
        asked.sheet, "moving_load_n", asked.id("beam_deflection.load"), mass_kg=_hanging(asked, mount),
        dynamic_factor=asked.figure("moving_load_factor"),
    )  # fmt: skip
    span = asked.sheet[over.span]
    demand = apply(
        asked.sheet, "supported_point_deflection_m", asked.id("beam_deflection.demand"), load_n=load, span_m=span,
        elasticity_pa=mount.figures["beam_elasticity_pa"], area_moment_m4=mount.figures["beam_moment_m4"],
    )  # fmt: skip
    what = "Two carriages at one place, each with its arm and load, together" if two else "Carriage, arm and load"
    words = (
        f"{what} of {shown(load, 'force')} bend the beam by {shown(demand, 'mm')} midway between columns "
        f"{shown(span, 'metres')} apart; the seat of a part leaves {shown(limit, 'mm')} after all other errors"
    )
    return verdict(
        asked,
        Finding(
            check="beam_deflection",
            demand=demand,
            limit=limit,
            well=f"{words}. What the beam bends by its own weight is levelled out when it is put up.",
            ill=f"{words}: columns closer together, a stiffer beam, or every stop taught with the load in the hand.",
            formula="supported_point_deflection_m",
            coarse=True,
            caution=caution_of("supported_point_deflection_m"),
        ),
    )
