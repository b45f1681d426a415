"""The arm's part of the timing: travel by swing or track, the machine's own phases, exchange and presenter."""

from millhand.model.fact import Fact
from millhand.model.layout import Layout
from millhand.model.machine import Machine
from millhand.model.part import Operation
from millhand.model.timing import OperationTiming
from millhand.stages.timing.shared import Scope, grips_of, vises_of


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


def arm_visit(scope: Scope, operation: Operation, machine: Machine, process: Fact, swing: Fact) -> OperationTiming:
    """All phases of one load. A single gripper fetches the raw part while the machine stands, a double one before."""
    name, figures = operation.name, scope.catalogue.figures
    presenter, outfeed = scope.concept.presenter, scope.concept.outfeed
    assert presenter is not None
    assert outfeed is not None
    moulding = machine.kind.value == "moulding"
    double = hands_of(scope) == 2 and not moulding
    pick = presenter.figures["pick_s"]
    place = outfeed.figures.get("place_s") or presenter.figures["place_s"]
    door = _door(scope, machine)
    exchange = figures[f"exchange_double_{family_of(scope)}_s"]
    if moulding:  # the mould fills itself: taking out is all
        exchange = scope.apply("half_exchange_s", f"{name}.take_out", exchange_s=exchange)
    round_trip = scope.apply("attendant_work_s", f"{name}.round", elements_s=(place, pick, swing, swing))
    load = scope.apply(
        "load_exchange_s",
        f"{name}.load_exchange",
        exchange_s=exchange,
        grips=grips_of(scope, operation),
        round_s=round_trip,
        vises=vises_of(scope, operation),
        turn_s=figures["turn_over_s"],
    )
    blow = figures[f"blow_off_{machine.kind.value}_s"]
    bound = scope.apply("attendant_work_s", f"{name}.exchange", elements_s=(load, blow))
    tail = scope.apply("attendant_work_s", f"{name}.tail", elements_s=(door, figures["handshake_s"]))
    away = () if double or moulding else (round_trip,)
    other = scope.apply("attendant_work_s", f"{name}.other", elements_s=(place,) if moulding else (pick, place))
    travel = scope.apply("attendant_work_s", f"{name}.travel", elements_s=(swing, swing))
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


def hands_of(scope: Scope) -> int:
    """How many parts the gripper holds at once."""
    gripper = scope.concept.gripper
    return round(gripper.figures["hands"].value) if gripper is not None else 1
