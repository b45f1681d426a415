"""May it run alone at all, where neat oil, magnesium or titanium can burn?"""

from millhand.model.machine import Machine
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, operations, part_of, shown, verdict
from millhand.stages.feasibility.rate import groups
from millhand.trace import apply

BURNS = ("magnesium", "titanium")  # their chips and dust burn, and water feeds the fire
CHIPS = ("mill", "lathe", "grinder", "other")  # machines that make chips or dust
CAUTION = (
    "An aid for concept work. It knows neat oil, magnesium and titanium only; oil mist, dust, hot chips, electrical "
    "faults and what stands beside the machine burn too. Insurer, fire brigade, the machine's supplier and competent "
    "persons decide what runs with nobody there, and with which detection and extinguishing."
)


def fire(asked: Asked) -> Verdict | None:
    """Machines that would run alone against those of which nothing says that they must not; None if none would.

    It warns: with somebody there the same machines run as they do today. What it takes back is the claim of running
    alone.
    """
    if asked.concept.arm is None or not runs_alone(asked):
        return None
    machines = groups(asked)
    open_ones = unsettled(asked)
    demand = apply(
        asked.sheet, "count_of_all", asked.id("fire.demand"), counts=tuple(machine.count for machine in machines)
    )
    limit = apply(
        asked.sheet, "count_of_all", asked.id("fire.limit"),
        counts=tuple(machine.count for machine in machines if machine not in open_ones),
    )  # fmt: skip
    words = (
        f"{shown(demand, 'count')} of the machines would run alone; {shown(limit, 'count')} of them cut without neat "
        "oil, magnesium and titanium, or have their protection against fire settled"
    )
    return verdict(
        asked,
        Finding(
            check="fire",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: no running alone until the protection is settled with insurer, fire brigade, the "
            "machine's supplier and competent persons; attended running stays as it is.",
            formula="count_of_all",
            caution=CAUTION,
        ),
    )


def runs_alone(asked: Asked) -> bool:
    """Whether somebody wishes hours alone, or a shift has nobody there."""
    manned = all(shift.manned.value == "yes" for shift in asked.inquiry.shifts)
    return asked.inquiry.wishes.unattended_s.value > 0.0 or not manned


def unsettled(asked: Asked) -> tuple[Machine, ...]:
    """The machines that cut with neat oil or cut what burns, with nothing settled."""
    used = {operation.machine for operation, _ in operations(asked)}
    burns = part_of(asked).material.value in BURNS
    return tuple(
        machine
        for machine in asked.inquiry.machines
        if machine.name in used
        and machine.inside.fire_settled.value != "yes"
        and (machine.inside.fluid.value == "neat_oil" or (burns and machine.kind.value in CHIPS))
    )


def claim(asked: Asked) -> str:
    """What is said beside every claim of running alone while fire is not settled."""
    return "; not alone until protection against fire is settled" if unsettled(asked) else ""
