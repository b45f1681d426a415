"""How far reach, room and gap move when a door or a load position is not where it was taken to be.

The place found is held: nothing is placed again. Each uncertain measure of a machine goes to both ends of its range,
alone, and the answer is taken to run evenly in between; where a check turns, its value is found by halving. Only the
machines are looked at that are worst by one of the three checks at the likely values.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from millhand.model.fact import Fact
from millhand.model.verdict import Turn
from millhand.model.walk import with_facts
from millhand.solvers.placing.held import held
from millhand.solvers.placing.serving import Served
from millhand.solvers.placing.site import Site
from millhand.solvers.placing.ways import under_beam
from millhand.stages.layout.ground import Door
from millhand.stages.layout.placing import Span, Stage
from millhand.stages.layout.site import doorway

HALVINGS = 7  # a range of half a metre to 4 mm
TURNS_AT = "the arm's links from the place found, this measure moved alone; halved between two that differ"
Ends = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One machine from the place found: how it is served at the likely values, and what is asked of it."""

    stage: Stage
    site: Site  # with the beam where one hangs
    door: Door
    own: Served

    def moved(self, fact: Fact, value: float) -> Served:
        """With one measure of the machine otherwise."""
        was = next(each for each in self.site.doorways if each.name == self.door.name)
        machine = with_facts(self.door.machine, {fact.id: replace(fact, value=value)})
        new = doorway(replace(self.door, machine=machine), self.stage.ground.figure("sill_share").value)
        return held(self.stage.kit, self.site, self.stage.plan, replace(new, roof=was.roof))

    def uncertain(self) -> Iterator[tuple[Fact, Ends]]:
        """The measures of the machine that have a range."""
        machine = self.door.machine
        for fact in (
            machine.load_depth_m, machine.load_height_m, machine.inside.door_width_m, machine.inside.door_height_m
        ):  # fmt: skip
            if fact.low is not None and fact.high is not None and fact.low < fact.high:
                yield fact, (fact.low, fact.high)


def figures(stage: Stage, each: Served) -> dict[str, float]:
    """By check what is left beyond what it asks for, below 0 it fails; only what there is a figure for."""
    found = {"reach": each.slack_m}
    if each.slack_m >= 0.0 and math.isfinite(each.margin):
        slides = stage.kit.arm.joints[each.joint - 1].slides
        kept = stage.ground.figure("joint_room_m" if slides else "joint_room_rad").value
        found["joint_room"] = each.margin - kept
    if each.there and each.beside:
        found["arm_gap"] = each.gap_m - stage.ground.figure("arm_clearance_m").value
    return found


def looked_at(stage: Stage, fronts: tuple[Door, ...]) -> Iterator[Held]:
    """The machines that are worst by one of the checks, and those that fail one, each once."""
    by_name = {each.name: each for each in stage.plan.served}
    left = {door.name: figures(stage, by_name[door.name]) for door in fronts}
    worst = [
        min((name for name, each in left.items() if check in each), key=lambda name: left[name][check], default="")
        for check in ("reach", "joint_room", "arm_gap")
    ]
    site = under_beam(stage.kit, stage.site, stage.plan)
    for door in fronts:
        if door.name in worst or any(value < 0.0 for value in left[door.name].values()):
            yield Held(stage=stage, site=site, door=door, own=by_name[door.name])


def ranges(stage: Stage, fronts: tuple[Door, ...]) -> tuple[dict[tuple[str, str], Span], tuple[Turn, ...]]:
    """By machine and check how far the figure moves down and up; and the measures that turn a check in their range."""
    spans: dict[tuple[str, str], Span] = {}
    turns: list[Turn] = []
    for each in looked_at(stage, fronts):
        likely = figures(stage, each.moved(*of_own(each)))
        for fact, ends in each.uncertain():
            at_ends = [figures(stage, each.moved(fact, end)) for end in ends]
            for check, middle in likely.items():
                found = [one[check] - middle for one in at_ends if check in one]
                down, up = spans.get((each.door.name, check), (0.0, 0.0))
                low, high = min((0.0, *found)), max((0.0, *found))
                spans[each.door.name, check] = math.hypot(down, low), math.hypot(up, high)
            turns += turned(each, fact, ends, (likely, *at_ends))
    return spans, tuple(turns)


def of_own(each: Held) -> tuple[Fact, float]:
    """A measure at its likely value: nothing is moved."""
    fact = each.door.machine.load_depth_m
    return fact, fact.value


def turned(each: Held, fact: Fact, ends: Ends, left: tuple[Mapping[str, float], ...]) -> Iterator[Turn]:
    """The checks that hold at the likely value and not at an end of the range, or the other way round.

    left: what is left at the likely value and at both ends.
    """
    likely, *at_ends = left
    own = figures(each.stage, each.own)
    for check, value in likely.items():
        if check not in own or (own[check] >= 0.0) != (value >= 0.0):
            continue  # another way in is taken for the sake of the ways between: nothing is told of it
        for end, there in zip(ends, at_ends, strict=True):
            if check in there and (there[check] >= 0.0) != (value >= 0.0):
                yield Turn(check=check, target=each.door.name, fact=fact.id, at=turning(each, fact, end, check).id)
                break


def turning(each: Held, fact: Fact, end: float, check: str) -> Fact:
    """Where the check turns between the likely value and an end: the last value looked at that is still as likely."""
    near, far = fact.value, end
    holds = figures(each.stage, each.moved(fact, near))[check] >= 0.0
    for _ in range(HALVINGS):
        middle = (near + far) / 2.0
        left = figures(each.stage, each.moved(fact, middle)).get(check, -1.0)
        near, far = (middle, far) if (left >= 0.0) == holds else (near, middle)
    return each.stage.fact(f"turn.{check}.{each.door.name}.{fact.id.rpartition('.')[2]}", near, "m", TURNS_AT)
