"""The placed cell as facts: where each piece stands, how the arm gets to each target, and what it moves in between.

The places are decisions of a search on this floor, not estimates: they carry no range. What they rest on does (the
size of a machine, its opening, the height of a stand) and is in the map with its question. Reach, room and gap carry
the range of ranges.py: how far they move while the place is held.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise, permutations

from millhand.model.fact import Fact
from millhand.model.layout import Leg, Move, Option, Reach, WayIn
from millhand.solvers.moves.axes import AxisLimits, ToolLimits
from millhand.solvers.moves.between import between, limits_of
from millhand.solvers.moves.straight import straight_move, tool_path
from millhand.solvers.placing.floor import nearest_foot
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.serving import Served
from millhand.solvers.placing.shared_track import PARKED, waits_as
from millhand.solvers.placing.site import Kit, Site
from millhand.solvers.placing.ways import Free
from millhand.stages.layout.ground import Ground
from millhand.trace import apply, found

PLACED = "placed on the floor by search; reach, joints and gaps by the arm's links"
MOVED = "the arm's links between two places"
KEPT = "the arm's links all along the way between two places"
ALONG = "the arm's links along a straight way"
RANGED = "its range: the place found is held, and load position and door each go to both ends of theirs"
OPTIONS = 3  # places of the foot that are kept beside the chosen one

Span = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One concept's placed cell while its facts are written."""

    ground: Ground
    kit: Kit
    site: Site
    plan: Placed

    def fact(self, name: str, value: float, unit: str, source: str, by: Span = (0.0, 0.0)) -> Fact:
        """A result of the search or of the links, under the concept's layout; `by`: how far it moves down and up."""
        fact_id = f"concepts.{self.ground.concept.id}.layout.{name}"
        fact = Fact(id=fact_id, value=value + 0.0, unit=unit, basis="computed", source=source)
        if any(by):
            fact = replace(fact, low=value - by[0], high=value + by[1], shape="triangular", note=RANGED)
        return found(self.ground.sheet, fact)


def limits_of_axes(ground: Ground, kit: Kit) -> AxisLimits:
    """What the axes can do without a load."""
    ramp, jerk = ground.figure("axis_ramp_s"), ground.figure("jerk_ramp_s")
    return limits_of(kit.arm, ramp_s=ramp.value, jerk_ramp_s=jerk.value)


def tool_speed(ground: Ground) -> float:
    """How fast the tool goes where a way is chosen: of an arm that limits its force, as fast as beside people."""
    arm = ground.concept.arm
    assert arm is not None
    if arm.id.startswith("force_limited"):
        return ground.figure("arm_speed_near_people_m_s").value
    return arm.figures["speed_m_s"].value


def reaches(stage: Stage, spans: Mapping[tuple[str, str], Span]) -> Iterator[Reach]:
    """How the arm gets to each target; by target and check how far a figure of it moves down and up."""
    for each in stage.plan.served:
        name = each.name.replace(" ", "_")
        left, bent, past = (spans.get((each.name, check), (0.0, 0.0)) for check in ("reach", "joint_room", "arm_gap"))
        slack = stage.fact(f"reach.{name}.left", each.slack_m, "m", PLACED, left).id
        if not each.joint:
            torn = stage.fact(f"reach.{name}.joined", each.joined, "1", PLACED).id if each.joined < 1.0 else ""
            yield Reach(target=each.name, slack=slack, joined=torn)
            continue
        slides = stage.kit.arm.joints[each.joint - 1].slides
        room = stage.fact(f"reach.{name}.room", each.margin, "m" if slides else "rad", PLACED, bent).id
        gap = stage.fact(f"reach.{name}.gap", each.gap_m, "m", PLACED, past).id if each.beside else ""
        yield Reach(target=each.name, slack=slack, room=room, joint=each.joint, gap=gap, beside=each.beside)


def stops(free: Free) -> dict[str, Served]:
    """What an arm does at each place. Home is where it takes parts, or brings them; of two arms each has its own place
    to wait, the hand held as before the machine next to it."""
    at = dict(free.stops)
    waiting = waits_as(free.plan.feet, at)
    if waiting:
        return at | {name: at[machine] for name, machine in waiting.items()}
    home = at.get("presenter") or at.get("outfeed")
    return at | {"home": home} if home is not None else at


def moves(stage: Stage, free: Free) -> dict[str, Move]:
    """What the arm moves between any two places; nothing where both are one."""
    found_moves: dict[str, Move] = {}
    at, ways = stops(free), free.ways
    alike = {"home": home_of(at), **waits_as(free.plan.feet, free.stops)}
    limits = limits_of_axes(stage.ground, stage.kit)
    for a, b in permutations(at, 2):
        if f"{b} {a}" in found_moves:
            found_moves[f"{a} {b}"] = found_moves[f"{b} {a}"]
            continue
        one, other = (alike.get(name, name) for name in (a, b))
        way = ways.get((one, other)) or ways.get((other, one))
        rests = (at[a].front, at[b].front) if way is None else way.rests
        legs = []
        for number, (start, end) in enumerate(pairwise(rests), start=1):
            leg = between(stage.kit.arm, start, end, limits=limits, tool_m=stage.kit.hand.tool_m)
            unit = "m" if stage.kit.arm.joints[leg.joint - 1].slides else "rad"
            name = f"move.{a}.{b}.{number}" if len(rests) > 2 else f"move.{a}.{b}"
            turn, tip = (
                stage.fact(f"{name}.{what}", value, of, MOVED).id
                for what, value, of in (("joint", leg.way, unit), ("tool", leg.tool_m, "m"))
            )
            legs.append(Leg(joint=leg.joint, way=turn, tool=tip))
        tool = legs[0].tool if len(legs) == 1 else whole_way(stage, f"move.{a}.{b}.tool", legs)
        if way is None:
            found_moves[f"{a} {b}"] = Move(legs=tuple(legs), tool=tool)
            continue
        gap = stage.fact(f"move.{a}.{b}.gap", way.gap_m, "m", KEPT).id
        found_moves[f"{a} {b}"] = Move(legs=tuple(legs), tool=tool, led=way.led, gap=gap, beside=way.beside)
    return found_moves


def whole_way(stage: Stage, name: str, legs: list[Leg]) -> str:
    """How far the tool goes over all legs."""
    sheet = stage.ground.sheet
    fact_id = f"concepts.{stage.ground.concept.id}.layout.{name}"
    return apply(sheet, "sum_of_lengths_m", fact_id, lengths_m=tuple(sheet[leg.tool] for leg in legs)).id


def home_of(at: Mapping[str, Served]) -> str:
    """The place at which the arm is at home."""
    return "presenter" if "presenter" in at else "outfeed"


def ways_in(stage: Stage, at: Mapping[str, Served]) -> dict[str, WayIn]:
    """The straight way to each target, and what the joints allow along it."""
    lengths = {door.name: door.way_m for door in stage.site.doorways}
    found_ways = {}
    for name, each in at.items():
        if name in ("home", *PARKED) or each.way is None:
            continue
        length = lengths.get(name, stage.kit.hand.front_m)
        move = straight_move(
            tool_path(each.way, length_m=length), limits=limits_of_axes(stage.ground, stage.kit), tool=_free(stage)
        )
        found_ways[name] = WayIn(
            length=stage.fact(f"way_in.{name}.length", length, "m", ALONG).id,
            speed=stage.fact(f"way_in.{name}.speed", move.speed_m_s, "m/s", ALONG).id,
            accel=stage.fact(f"way_in.{name}.accel", move.accel_m_s2, "m/s2", ALONG).id,
            jerk=stage.fact(f"way_in.{name}.jerk", move.jerk_m_s3, "m/s3", ALONG).id,
        )
    return found_ways


def _free(stage: Stage) -> ToolLimits:
    """What the tool may do at the arm's own full speed."""
    arm = stage.ground.concept.arm
    assert arm is not None
    speed = arm.figures["speed_m_s"].value
    accel = speed / stage.ground.figure("axis_ramp_s").value
    return ToolLimits(speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=accel / stage.ground.figure("jerk_ramp_s").value)


def nearest(stage: Stage) -> tuple[str, ...]:
    """Where a pinned foot would have to go to serve the machines, and how far that is."""
    pin = stage.kit.pin("arm")
    if pin is None or stage.plan.works:
        return ()
    foot = nearest_foot(stage.kit, stage.site)
    if foot is None:
        return ()
    far = math.dist(foot[:2], (pin.x_m, pin.y_m))
    return tuple(
        stage.fact(f"nearest.{name}", value, "m", PLACED).id
        for name, value in (("x", foot[0]), ("y", foot[1]), ("away", far))
    )


def options(stage: Stage, plans: tuple[Placed, ...]) -> Iterator[Option]:
    """The places that were furnished and are not the chosen one, the best first; from the first door's middle."""
    first = stage.site.doorways[0]
    for number, plan in enumerate(plans[:OPTIONS], start=2):
        foot = plan.feet[first.name]
        name = f"option.{number}"
        yield Option(
            x_m=stage.fact(f"{name}.x", foot[0] - first.x_m, "m", PLACED).id,
            y_m=stage.fact(f"{name}.y", foot[1] - first.y_m, "m", PLACED).id,
            score=stage.fact(f"{name}.score", plan.worst.score, "1", PLACED).id,
            travel=stage.fact(f"{name}.travel", plan.travel, "m" if stage.kit.on_track else "rad", PLACED).id,
            floor=stage.fact(f"{name}.floor", plan.floor_m2, "m2", PLACED).id,
        )
