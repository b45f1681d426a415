"""How fast the arm of a concept moves: between its places, and straight into a machine and out again."""

from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.layout import Leg
from millhand.stages.timing.shared import Scope


def near_people(scope: Scope) -> bool:
    """True where the arm is force-limited and people pass, or nothing else keeps them away: it then moves at the speed
    that contact allows."""
    arm, guard = scope.concept.arm, scope.concept.safeguarding
    if arm is None or arm.words["class"] != "force_limited":
        return False
    return scope.inquiry.wishes.people_pass.value == "yes" or (guard is not None and guard.id == "force_limiting")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """What the tool may do, and what its load leaves of speed and acceleration."""

    tool: Fact  # m/s
    inside: Fact  # m/s, between the walls of a machine
    speed_factor: Fact
    accel_factor: Fact


def pace(scope: Scope) -> Pace:
    """The speed that the concept and its safeguarding leave."""
    figures, arm = scope.catalogue.figures, scope.concept.arm
    assert arm is not None
    tool = figures["arm_speed_near_people_m_s"] if near_people(scope) else arm.figures["speed_m_s"]
    lever = figures["hand_length_m"]  # an arm that states none is taken to be rated for a usual hand
    use = scope.apply(
        "load_use_share", "load_use", mass_kg=_flange_mass(scope), rated_kg=arm.figures["payload_kg"],
        lever_m=lever, rated_lever_m=arm.figures.get("payload_lever_m", lever),
    )  # fmt: skip
    use = scope.apply("capped_share", "load_counted", share=use)
    # Between the walls of a machine somebody may be clamped, where near people half the speed is left.
    between = scope.apply("clamping_speed_m_s", "clamping_speed", speed_m_s=tool) if near_people(scope) else tool
    inside = scope.apply("least", "inside_speed", values=(between, figures["inside_speed_m_s"]))
    return Pace(
        tool=tool,
        inside=inside,
        speed_factor=scope.apply(
            "payload_speed_factor", "speed_left", load_use=use, loss_at_full=figures["payload_speed_loss"]
        ),
        accel_factor=scope.apply(
            "payload_accel_factor", "accel_left", load_use=use, inertia_ratio=figures["payload_inertia_ratio"]
        ),
    )


def _flange_mass(scope: Scope) -> Fact:
    """What hangs on the flange with a part in every hand; of a mould, all parts of a shot."""
    gripper, part = scope.concept.gripper, scope.inquiry.parts[0]
    assert gripper is not None
    hands = gripper.figures["hands"]
    fingers = scope.apply("mass_of_hands_kg", "fingers", each_kg=gripper.figures["fingers_kg"], hands=hands)
    mould = scope.inquiry.machines[0].kind.value == "moulding"
    return scope.apply(
        "payload_demand_kg", "flange_mass", part_kg=max(part.raw_mass_kg, part.finished_mass_kg, key=_value),
        gripper_kg=gripper.figures["mass_kg"], fingers_kg=fingers,
        parts_at_once=part.operations[0].parts_per_cycle if mould else hands,
    )  # fmt: skip


def _value(fact: Fact) -> float:
    return fact.value


def arm_travel(scope: Scope, places: tuple[str, ...]) -> dict[str, Fact]:
    """Travel time between any two places that the arm serves: joints, tool and track at once, the slowest counts."""
    speeds = pace(scope)
    travel: dict[str, Fact] = {}
    for a in places:
        for b in places:
            if a == b:
                continue
            times = tuple(_times(scope, speeds, a, b))
            if f"{b} {a}" in travel:
                travel[f"{a} {b}"] = travel[f"{b} {a}"]
            elif times:
                travel[f"{a} {b}"] = scope.apply("longest_time_s", f"travel.{a}.{b}", times_s=times)
    return travel


def _times(scope: Scope, speeds: Pace, a: str, b: str) -> list[Fact]:
    """What each of joints, tool and track needs from one place to another."""
    layout = scope.layout
    found: list[Fact] = []
    move = layout.moves.get(f"{a} {b}")
    if move is not None and len(move.legs) == 1:
        found += _leg(scope, speeds, f"travel.{a}.{b}", move.legs[0])
    elif move is not None:
        legs = []
        for number, leg in enumerate(move.legs, start=1):
            name = f"travel.{a}.{b}.{number}"
            legs.append(scope.apply("longest_time_s", name, times_s=tuple(_leg(scope, speeds, name, leg))))
        found.append(scope.apply("attendant_work_s", f"travel.{a}.{b}.legs", elements_s=tuple(legs)))
    distance = layout.distances.get(f"{a} {b}") or layout.distances.get(f"{b} {a}")
    if distance is not None:
        found.append(_on_track(scope, f"travel.{a}.{b}.track", scope.sheet[distance]))
    return found


def _leg(scope: Scope, speeds: Pace, name: str, leg: Leg) -> list[Fact]:
    """What joints and tool need for one leg of a move."""
    arm = scope.concept.arm
    assert arm is not None
    joint = arm.figures[f"joint_{leg.joint}_speed"]
    return [
        _ramped(scope, speeds, f"{name}.joint", scope.sheet[leg.way], joint),
        _ramped(scope, speeds, f"{name}.tool", scope.sheet[leg.tool], speeds.tool),
    ]


def _ramped(scope: Scope, speeds: Pace, name: str, way: Fact, speed: Fact) -> Fact:
    """One move under the load."""
    figures = scope.catalogue.figures
    return scope.apply(
        "ramped_move_s", name, distance_m=way, speed_m_s=speed, ramp_s=figures["axis_ramp_s"],
        jerk_ramp_s=figures["jerk_ramp_s"], speed_factor=speeds.speed_factor, accel_factor=speeds.accel_factor,
    )  # fmt: skip


def _on_track(scope: Scope, name: str, way: Fact) -> Fact:
    """The carriage from one place to another, settled."""
    figures = scope.catalogue.figures
    speed = figures["track_speed_near_people_m_s" if near_people(scope) else "track_speed_m_s"]
    ramp = scope.apply("ramp_s", "track_ramp", speed_m_s=speed, accel_m_s2=figures["track_accel_m_s2"])
    return scope.apply(
        "swing_time_s", name, distance_m=way, speed_m_s=speed, ramp_s=ramp, settle_s=figures["track_settle_s"]
    )


def way_in(scope: Scope, speeds: Pace, places: tuple[str, ...], name: str, *, slow_end: bool) -> Fact:
    """The straight way into a machine, or out of it: the mean of alike machines. Into it the last piece is slow."""
    times = []
    for place in places:
        way = scope.layout.ways_in.get(place)
        if way is None:  # nothing leads there, and a verdict says so: taken at the usual speed over the depth
            continue
        speed = scope.apply("least", f"way_in.{place}.speed", values=(scope.sheet[way.speed], speeds.inside))
        times.append(
            scope.apply(
                "s_curve_move_time_s", f"way_in.{place}.time", distance_m=scope.sheet[way.length], speed_m_s=speed,
                accel_m_s2=scope.sheet[way.accel], jerk_m_s3=scope.sheet[way.jerk],
            )
        )  # fmt: skip
    if not times:
        return scope.none(name)
    mean = times[0] if len(times) == 1 else scope.apply("mean_time_s", f"{name}.mean", times_s=tuple(times))
    return slowed(scope, name, mean) if slow_end else mean


def slowed(scope: Scope, name: str, time: Fact) -> Fact:
    """A way whose last piece is gone slowly."""
    figures = scope.catalogue.figures
    return scope.apply(
        "with_slow_end_s", name, time_s=time, way_m=figures["last_way_m"], speed_m_s=figures["last_speed_m_s"]
    )


def short_way(scope: Scope, speeds: Pace) -> Fact:
    """Back from the seat while two hands are turned, and forth again."""
    return _ramped(scope, speeds, "short_way", scope.catalogue.figures["retract_m"], speeds.inside)


def turn(scope: Scope, speeds: Pace) -> Fact:
    """The wrist from one hand to the other: as long as usual, and not faster at the tip than the tool may be."""
    figures = scope.catalogue.figures
    way = scope.apply("half_turn_m", "turn.way", radius_m=figures["hand_length_m"])
    tip = _ramped(scope, speeds, "turn.tip", way, speeds.tool)
    return scope.apply("longest_time_s", "turn", times_s=(figures["turn_s"], tip))
