"""How an end of arm holds its part when air or power fails, and for how long where that can be reckoned."""

from millhand.model.fact import Fact
from millhand.model.safety import Holding
from millhand.stages.safeguarding.placed import Placed

UNKNOWN = "unknown"


def holding(at: Placed) -> Holding:
    """The way that the catalogue says of this end of arm, and who brings the answer."""
    rules = at.rules.holding
    rule = rules.get(at.gripper.words.get("holds", UNKNOWN)) or rules[UNKNOWN]
    time = hold_time(at, rule.id)
    return Holding(
        title=at.gripper.title, how=rule.title, lasts=rule.lasts, words=rule.words, time=time.id if time else None,
        ask=rule.ask,
    )  # fmt: skip


def hold_time(at: Placed, how: str) -> Fact | None:
    """Until the force that the part asks for in a hard stop is no longer there; None where nothing is reckoned."""
    force = at.verdict("grip_force")
    if force is None or how not in ("check_valve", "reservoir"):
        return None
    demand, limit = at.sheet[force.demand], at.sheet[force.limit]
    return vacuum_time(at, demand, limit) if how == "reservoir" else air_time(at, demand, limit)


def vacuum_time(at: Placed, demand: Fact, limit: Fact) -> Fact:
    """Of cups with a reservoir: from the vacuum that the leak leaves."""
    own = f"concepts.{at.post.concept.id}.feasibility.grip_force.vacuum"
    held = at.sheet[own] if own in at.sheet else at.gripper.figures["pressure_drop_pa"]
    return at.post.apply(
        "reservoir_hold_s", "hold.time", volume_m3=at.post.figure("reservoir_m3"), held_pa=held,
        least_pa=at.post.apply("least_pressure_pa", "hold.least", held_pa=held, demand_n=demand, limit_n=limit),
        gap_m2=at.post.figure("vacuum_gap_m2"), density_kg_m3=at.post.figure("air_density_kg_m3"),
    )  # fmt: skip


def air_time(at: Placed, demand: Fact, limit: Fact) -> Fact:
    """Of jaws with a check valve: from the pressure of the shop's air."""
    air = at.post.figure("air_supply_pa")
    volume = at.post.apply(
        "cylinder_air_m3", "hold.volume", force_n=at.gripper.figures["force_n"],
        stroke_m=at.gripper.figures["stroke_m"], pressure_pa=air,
    )  # fmt: skip
    return at.post.apply(
        "trapped_air_hold_s", "hold.time", volume_m3=volume, held_pa=air,
        least_pa=at.post.apply("least_pressure_pa", "hold.least", held_pa=air, demand_n=demand, limit_n=limit),
        leak_m3_s=at.post.figure("air_leak_m3_s"),
    )  # fmt: skip
