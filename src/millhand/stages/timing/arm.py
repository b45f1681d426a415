"""The arm's part of the timing: travel by swing or track, the machine's own phases, exchange and presenter."""

from dataclasses import dataclass
from itertools import product

from millhand.model.fact import Fact
from millhand.model.layout import Layout
from millhand.model.machine import Machine
from millhand.model.timing import OperationTiming
from millhand.stages.timing.shared import Line, Scope, grips_of, vises_of


def near_people(scope: Scope) -> bool:
    """True where the arm is force-limited and people pass: it then moves at the speed that contact allows."""
    arm = scope.concept.arm
    return arm is not None and arm.id.startswith("force_limited") and scope.inquiry.wishes.people_pass.value == "yes"


def family_of(scope: Scope) -> str:
    """Which exchange figures count: those of a fenced or of a force-limited arm."""
    arm = scope.concept.arm
    return "force_limited" if arm is not None and arm.id.startswith("force_limited") else "fenced"


def arm_travel(scope: Scope, layout: Layout, places: tuple[str, ...]) -> dict[str, Fact]:
    """Travel time between any two places that the arm serves, from the layout's distances."""
    speed, ramp, settle = _motion(scope)
    travel: dict[str, Fact] = {}
    for a in places:
        for b in places:
            distance_id = layout.distances.get(f"{a} {b}") or layout.distances.get(f"{b} {a}")
            if a == b or distance_id is None:
                continue
            back = travel.get(f"{b} {a}")
            travel[f"{a} {b}"] = back or scope.apply(
                "swing_time_s",
                f"travel.{a}.{b}",
                distance_m=scope.sheet[distance_id],
                speed_m_s=speed,
                ramp_s=ramp,
                settle_s=settle,
            )
    return travel


def _motion(scope: Scope) -> tuple[Fact, Fact, Fact]:
    """Speed, ramp and settling of what carries the load: the track if there is one, else the arm's swing."""
    figures, arm = scope.catalogue.figures, scope.concept.arm
    assert arm is not None
    if scope.concept.mount is not None and scope.concept.mount.id == "floor_track":
        speed = figures["track_speed_near_people_m_s" if near_people(scope) else "track_speed_m_s"]
        ramp = scope.apply("ramp_s", "track_ramp", speed_m_s=speed, accel_m_s2=figures["track_accel_m_s2"])
        return speed, ramp, figures["track_settle_s"]
    speed = figures["arm_speed_near_people_m_s"] if near_people(scope) else arm.figures["speed_m_s"]
    return speed, figures["arm_ramp_loaded_s"], scope.none("arm_settle")


def _door(scope: Scope, machine: Machine) -> Fact:
    """One way of the door: there already, retrofitted where it is opened by hand today, or none."""
    if machine.door.value == "none":
        return scope.none(f"{machine.name}.door")
    kind = "door_fitted" if machine.door.value == "powered" else "door_retrofit"
    return scope.catalogue.components[kind].figures["each_way_s"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """From a machine with its finished part to where that goes, to where the next one is, and back to the machine."""

    leave: Fact
    put: Fact
    back: Fact
    take: Fact
    arrive: Fact

    @property
    def all(self) -> tuple[Fact, ...]:
        """Its elements in order."""
        return self.leave, self.put, self.back, self.take, self.arrive


def arm_visit(scope: Scope, line: Line, index: int, process: Fact) -> OperationTiming:
    """All phases of one load. A single gripper fetches the next part while the machine stands, a double one before."""
    operation, machine = line.operations[index], line.machines[index]
    name, figures = operation.name, scope.catalogue.figures
    moulding = machine.kind.value == "moulding"
    door, exchange = _door(scope, machine), exchange_of(scope, line, index)
    around = _round(scope, line, index)
    load = scope.apply(
        "load_exchange_s",
        f"{name}.load_exchange",
        exchange_s=exchange,
        grips=grips_of(scope, operation),
        round_s=scope.apply("attendant_work_s", f"{name}.round", elements_s=around.all),
        vises=vises_of(scope, operation),
        turn_s=figures["turn_over_s"],
    )
    blow = figures[f"blow_off_{machine.kind.value}_s"]
    bound = scope.apply("attendant_work_s", f"{name}.exchange", elements_s=(load, blow))
    tail = scope.apply("attendant_work_s", f"{name}.tail", elements_s=(door, figures["handshake_s"]))
    away = () if hands_of(scope) == 2 or moulding else around.all
    other = scope.apply("attendant_work_s", f"{name}.other", elements_s=_elsewhere(line, index, around))
    travel = scope.apply("attendant_work_s", f"{name}.travel", elements_s=_ways(scope, line, index, around))
    return OperationTiming(
        operation=name,
        process=process.id,
        lead=door.id,
        exchange=bound.id,
        tail=tail.id,
        gap=scope.apply("attendant_work_s", f"{name}.gap", elements_s=(door, bound, *away, tail)).id,
        other=other.id,
        travel=travel.id,
        work=scope.apply("attendant_work_s", f"{name}.work", elements_s=(bound, other, travel)).id,
        parts_per_load=operation.parts_per_cycle.id,
    )


def exchange_of(scope: Scope, line: Line, index: int) -> Fact:
    """One part out and the next one in; the mould fills itself, so taking out is all."""
    exchange = scope.catalogue.figures[f"exchange_double_{family_of(scope)}_s"]
    if line.machines[index].kind.value != "moulding":
        return exchange
    return scope.apply("half_exchange_s", f"{line.operations[index].name}.take_out", exchange_s=exchange)


def hands_of(scope: Scope) -> int:
    """How many parts the gripper holds at once."""
    gripper = scope.concept.gripper
    return round(gripper.figures["hands"].value) if gripper is not None else 1


def _round(scope: Scope, line: Line, index: int) -> Round:
    """The round of one operation: by presenter and outfeed at the ends of the line, by its neighbours within it."""
    name, presenter, outfeed = line.operations[index].name, scope.concept.presenter, scope.concept.outfeed
    assert presenter is not None
    assert outfeed is not None
    first, last = index == 0, index == len(line.operations) - 1
    here, before, after = line.places(index), line.before(index), line.after(index)
    take = presenter.figures["pick_s"]
    put = outfeed.figures.get("place_s") or presenter.figures["place_s"]
    half = {} if first and last else {"exchange_s": scope.catalogue.figures[f"exchange_double_{family_of(scope)}_s"]}
    return Round(
        leave=way(scope, line, f"{name}.leave", (here, after)),
        put=put if last else scope.apply("half_exchange_s", f"{name}.put_next", **half),
        back=way(scope, line, f"{name}.back", (after, before)),
        take=take if first else scope.apply("half_exchange_s", f"{name}.take_before", **half),
        arrive=way(scope, line, f"{name}.arrive", (before, here)),
    )


def way(scope: Scope, line: Line, name: str, ends: tuple[tuple[str, ...], tuple[str, ...]]) -> Fact:
    """The way from one group of alike places to another: the mean of all pairs."""
    ways = tuple(line.travel[f"{a} {b}"] for a, b in product(*ends) if f"{a} {b}" in line.travel)
    if len(ways) == 1:
        return ways[0]
    return scope.apply("mean_time_s", name, times_s=ways) if ways else scope.none(name)


def _elsewhere(line: Line, index: int, around: Round) -> tuple[Fact, ...]:
    """What the arm does for a load away from machines: picking at the presenter first, placing at the outfeed last."""
    picks = index == 0 and line.machines[0].kind.value != "moulding"
    return (*((around.take,) if picks else ()), *((around.put,) if index == len(line.operations) - 1 else ()))


def _ways(scope: Scope, line: Line, index: int, around: Round) -> tuple[Fact, ...]:
    """The arm's ways for one load: with two hands along the line and back, with one also back for each next part."""
    first, last = index == 0, index == len(line.operations) - 1
    one_hand = hands_of(scope) == 1
    ways = [around.arrive, *((around.back,) if one_hand or (first and last) else ())]
    if last:
        ways.append(around.leave)
    if last and not first:
        ends = (line.places(0), line.places(index)) if one_hand else (line.after(index), line.before(0))
        ways.append(way(scope, line, "line.back", ends))
    return tuple(ways)
