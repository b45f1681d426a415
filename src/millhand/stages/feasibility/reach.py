"""Does the arm reach the load position of every machine and the presenter? Coarse: straight lines from its shoulder."""

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, shown, verdict
from millhand.trace import apply

NEAR_PEOPLE = (
    " Within this reach somebody can be hit: room, speed and guards follow from the risk assessment of the real cell."
)


def reach(asked: Asked) -> Verdict | None:
    """The furthest place, from the shoulder, against the arm's reach."""
    arm = asked.concept.arm
    if arm is None:
        return None
    demands = distances(asked)
    demand = apply(asked.sheet, "greatest_of_lengths_m", asked.id("reach.demand"), lengths_m=tuple(demands.values()))
    limit = arm.figures["reach_m"]
    furthest = max(demands, key=lambda place: demands[place].value)
    where = "the presenter" if furthest == "presenter" else "the load position of a machine"
    words = (
        f"The furthest place, {where}, lies {shown(demand, 'metres')} from the shoulder of an arm that reaches "
        f"{shown(limit, 'metres')}"
    )
    return verdict(
        asked,
        Finding(
            check="reach",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: {missing(asked, demand, limit)}. A larger arm, a track, or machines closer together.",
            formula="reach_demand_m",
            kills=True,
            coarse=True,
            caution=caution_of("reach_demand_m") + NEAR_PEOPLE,
        ),
    )


def missing(asked: Asked, demand: Fact, limit: Fact) -> str:
    """By how much a place is out of reach, in mm: two lengths that read the same may differ by a hand."""
    if demand.value <= limit.value:
        return "in reach"
    short = apply(asked.sheet, "difference_m", asked.id("reach.missing"), length_m=demand, less_m=limit)
    return f"out of reach by {shown(short, 'mm')}"


def distances(asked: Asked) -> dict[str, Fact]:
    """Distance from the shoulder to each machine's load position and to the presenter."""
    presenter, mount = asked.concept.presenter, asked.concept.mount
    assert mount is not None
    shoulder = apply(
        asked.sheet, "sum_of_lengths_m", asked.id("reach.shoulder"),
        lengths_m=(mount.figures["base_height_m"], asked.figure("shoulder_m")),
    )  # fmt: skip
    heights = machine_heights(asked)
    if presenter is not None and "stand_height_m" in presenter.figures:
        heights["presenter"] = presenter.figures["stand_height_m"]
    return {place: demand(asked, place, height, shoulder) for place, height in heights.items()}


def machine_heights(asked: Asked) -> dict[str, Fact]:
    """Height of the load position of each machine, by place."""
    kinds = [machine for machine in asked.inquiry.machines for _ in range(round(machine.count.value))]
    return {f"machine_{number}": machine.load_height_m for number, machine in enumerate(kinds, start=1)}


def demand(asked: Asked, place: str, height: Fact, shoulder: Fact) -> Fact:
    """Distance from the shoulder to one place."""
    drop = apply(asked.sheet, "difference_m", asked.id(f"reach.{place}.height"), length_m=height, less_m=shoulder)
    return apply(
        asked.sheet, "reach_demand_m", asked.id(f"reach.{place}"),
        horizontal_m=asked.sheet[asked.layout.distances[f"base {place}"]], height_difference_m=drop,
    )  # fmt: skip
