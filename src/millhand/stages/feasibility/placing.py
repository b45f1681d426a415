"""Does the seat of chuck, vise or nest still take the part in, as far off as it comes?"""

from collections.abc import Sequence

from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.model.verdict import Verdict
from millhand.solvers.placing.chain import Chain, Link, chain_of
from millhand.stages.feasibility.asked import Asked, Finding, out_of_reach, part_of, shown, verdict
from millhand.stages.feasibility.rate import groups
from millhand.trace import apply

MOST_AT = {
    "play": "play in the pocket",
    "arm": "the arm's repeatability",
    "grip": "scatter of the grip",
    "raw": "scatter of the raw part",
    "tilt": "tilt of the held part",
    "stand": "place of the docked stand",
}
CAUTION = (
    "An aid for concept work. A part that sits wrong breaks tools or is thrown: prove the seat by trial with the worst "
    "raw parts; how a wrong seat is found and what happens then is for the risk assessment and competent persons."
)
SEAT_CHECK = (
    "a seat check by air or by the way of the jaws, with a second try, finds the part that sits wrong before it is cut"
)


def placing(asked: Asked) -> Verdict | None:
    """The likely error of the chain from pocket to seat against what the seat catches; of moulds parts are only taken.

    It ends the concept only where the scatter of the raw part alone is more than the seat catches, an assumed seat than
    the best usual one: against all else something in the cell helps, such as a centring station.
    """
    machine = seat_of(asked)
    if machine is None:
        return None
    named = links(asked)
    limit, facts = machine.inside.catch_m, tuple(named.values())
    demand = likely_error(asked)
    worst = apply(asked.sheet, "worst_case_m", asked.id("placing.worst"), links_m=facts)
    most = MOST_AT[chain(named, machine).greatest]
    words = (
        f"A part comes to its seat up to {shown(demand, 'mm')} off, at the very worst {shown(worst, 'mm')}, most of it "
        f"by {most}; the seat catches {shown(limit, 'mm')}"
    )
    return verdict(
        asked,
        Finding(
            check="placing",
            demand=demand,
            limit=limit,
            well=f"{words}. {SEAT_CHECK[0].upper()}{SEAT_CHECK[1:]}.",
            ill=f"{words}: it takes {cure(named)}; {SEAT_CHECK}.",
            formula="root_sum_square_m",
            kills=out_of_reach(named["raw"], limit),
            coarse=True,
            caution=CAUTION,
        ),
    )


def seat_of(asked: Asked) -> Machine | None:
    """The machine whose seat catches least; None where no arm puts a part into a seat."""
    seats = [machine for machine in groups(asked) if machine.clamping.value != "mould"]
    if asked.concept.arm is None or asked.concept.gripper is None or not seats:
        return None
    return min(seats, key=lambda each: each.inside.catch_m.value)


def likely_error(asked: Asked) -> Fact:
    """How far off a part is likely to come to its seat."""
    facts = tuple(links(asked).values())
    return apply(asked.sheet, "root_sum_square_m", asked.id("placing.demand"), links_m=facts)


def left_by_others(asked: Asked) -> Fact | None:
    """What the tightest seat catches beyond the likely error of arm, hand and pocket; None where parts have none."""
    seat = seat_of(asked)
    if seat is None:
        return None
    error = likely_error(asked)
    return apply(asked.sheet, "placing_margin_m", asked.id("placing.left"), catch_m=seat.inside.catch_m, error_m=error)


def links(asked: Asked) -> dict[str, Fact]:
    """Every error on the way, each +/- so much; jaws that centre take the play in the pocket out."""
    arm, mount, part, sheet = asked.concept.arm, asked.concept.mount, part_of(asked), asked.sheet
    gripper = asked.concept.gripper
    assert arm is not None
    assert gripper is not None
    lever = apply(sheet, "half_of_length_m", asked.id("placing.lever"), length_m=part.raw.length_m)
    found = {
        "arm": arm.figures["repeatability_m"],
        "grip": asked.figure("grip_scatter_m"),
        "raw": apply(sheet, "half_of_length_m", asked.id("placing.raw"), length_m=part.raw_tolerance_m),
        "tilt": apply(
            sheet, "tilt_error_m", asked.id("placing.tilt"), angle_rad=asked.figure("tilt_rad"), lever_m=lever
        ),
    }
    if gripper.words["jaws"] not in ("centric", "inside"):
        found["play"] = asked.figure("pocket_play_m")
    if mount is not None and "stand_kg" in mount.figures:  # it moves
        found["stand"] = asked.figure("docking_m")
    if asked.concept.presenter is not None and "dock_m" in asked.concept.presenter.figures:
        found["dock"] = asked.concept.presenter.figures["dock_m"]
    return found


def chain(named: dict[str, Fact], machine: Machine) -> Chain:
    """The chain as the solver adds it up."""
    whole: Sequence[Link] = [Link(name=name, half_range_m=fact.value) for name, fact in named.items()]
    return chain_of(whole, catch_m=machine.inside.catch_m.value)


def cure(named: dict[str, Fact]) -> str:
    """What helps against the greatest link."""
    greatest = max(named, key=lambda name: named[name].value)
    return {
        "play": "a centring station or pockets with less play",
        "arm": "a more repeatable arm",
        "grip": "fingers shaped to the part",
        "raw": "raw parts that scatter less, a wider seat or a probe that tells where the part lies",
        "tilt": "fingers that hold more of the part",
        "dock": "a dock that centres more exactly, or presenters that stay",
        "stand": "a fixed pedestal, or a probe that references the stand",
    }[greatest]
