"""Is the track that the layout asks for built, does its drive move what rides on it, and does the motor stay cool?"""

from collections.abc import Iterator
from itertools import chain, pairwise

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import (
    Asked,
    Finding,
    Strength,
    caution_of,
    of_class,
    operations,
    out_of_reach,
    shown,
    tightest,
    verdict,
)
from millhand.stages.feasibility.payload import flange_mass
from millhand.trace import apply

Way = tuple[str, Fact, Fact]
DRIVE = (
    "carriage_kg", "pinion_module_m", "pinion_teeth", "pinion_helix_rad", "gear_ratio", "drive_efficiency",
    "motor_inertia_kg_m2", "motor_torque_nm", "motor_rated_nm", "motor_speed_rad_s",
)  # fmt: skip
PULLEY = ("belt_pitch_m", "pulley_teeth")  # in the place of a pinion


def track_travel(asked: Asked) -> Verdict | None:
    """Travel that the places ask for, against what is built. Beyond the longest one of the class ends the concept."""
    mount = asked.concept.mount
    if mount is None or not asked.layout.track or "travel_most_m" not in mount.figures:
        return None
    demand, limit = asked.sheet[asked.layout.track], mount.figures["travel_most_m"]
    words = (
        f"The carriage travels {shown(demand, 'metres')}; tracks of this class are built up to {shown(limit, 'metres')}"
    )
    return of_class(
        asked,
        Strength(
            check="track_travel", demand=demand, limit=limit, words=words, formula="margin_share",
            mends="machines closer together, two arms in the place of one, or a longer track",
            caution=caution_of("carriage_thrust_n"),
        ),
    )  # fmt: skip


def track_drive(asked: Asked) -> Verdict | None:
    """Torque and speed of the motor, whichever is nearer to what drives of the class give.

    A weak drive warns, as a slower carriage mends it; one that not even the best of the class gives ends the concept.
    """
    mount = driven(asked)
    if mount is None:
        return None
    ways = (turning(asked, mount), pushing(asked, mount))
    beyond = [way for way in ways if out_of_reach(*way[1:])]
    words, demand, limit = tightest(beyond or ways)
    return of_class(
        asked,
        Strength(
            check="track_drive", demand=demand, limit=limit, words=words, coarse=True,
            mends="a slower carriage or a stronger drive", hopeless="no drive of the class gives that",
            formula="motor_torque_nm" if demand.formula == "motor_torque_nm" else "motor_speed_rad_s",
            caution=caution_of("carriage_thrust_n"),
        ),
    )  # fmt: skip


def track_duty(asked: Asked) -> Verdict | None:
    """What heats the motor while every machine is served once without a rest, against its torque for good. It warns."""
    mount = driven(asked)
    ways = rides(asked)
    if mount is None or not ways:
        return None
    demand, limit = heat(asked, mount, ways), mount.figures["motor_rated_nm"]
    words = (
        f"Serving one machine after the other without a rest heats the motor of the track like a steady "
        f"{shown(demand, 'moment')}; motors of this class bear {shown(limit, 'moment')}"
    )
    return verdict(
        asked,
        Finding(
            check="track_duty",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: gentler ramps, machines closer together, or a stronger drive.",
            formula="carriage_rms_torque_nm",
            coarse=True,
            caution=caution_of("carriage_thrust_n"),
        ),
    )


def two_apart(asked: Asked) -> Verdict | None:
    """What two carriages keep from middle to middle against how far neighbouring machines are apart. It warns: where
    machines stand closer one arm waits while the other serves the next machine, and the simulation counts that."""
    sharing = asked.concept.sharing
    if sharing is None:
        return None
    demand, ways = asked.sheet[f"layout.{sharing.id}.keep"], tuple(neighbours(asked))
    if not ways:
        return None
    limit = min(ways, key=lambda each: each.value)
    words = (
        f"Two carriages keep {shown(demand, 'metres')} from middle to middle, so that both still come to stand when "
        f"they run towards each other; the arm stops {shown(limit, 'metres')} apart for two machines side by side"
    )
    return verdict(
        asked,
        Finding(
            check="two_apart",
            demand=demand,
            limit=limit,
            well=f"{words}: both can be at work there.",
            ill=f"{words}: there only one of them is at work at a time.",
            formula="buffer_zone_m",
            coarse=True,
            caution=caution_of("buffer_zone_m"),
        ),
    )


def neighbours(asked: Asked) -> Iterator[Fact]:
    """The carriage's ways between machines that stand side by side."""
    here = [place for machine in asked.inquiry.machines for place in places(asked, machine.name)]
    rows = sorted(here, key=lambda place: _from_first(asked, place))
    for a, b in pairwise(rows):
        found = way(asked, a, b)
        if found is not None:
            yield found


def _from_first(asked: Asked, place: str) -> float:
    """How far along the track a place lies from where the first arm waits."""
    found = way(asked, "parking_1", place)
    return found.value if found is not None else 0.0


def driven(asked: Asked) -> Component | None:
    """The track of the concept, where all of its drive is known; None else."""
    mount = asked.concept.mount
    if mount is None or asked.concept.arm is None or not asked.layout.track:
        return None
    belt = all(name in mount.figures for name in PULLEY)
    asked_for = [name for name in DRIVE if not (belt and name.startswith("pinion_"))]
    return mount if all(name in mount.figures for name in asked_for) else None


def turning(asked: Asked, mount: Component) -> Way:
    """Speed of the motor at full speed of the carriage."""
    demand = apply(
        asked.sheet, "motor_speed_rad_s", asked.id("track_drive.speed"), speed_m_s=speed(asked),
        radius_m=radius(asked, mount), ratio=mount.figures["gear_ratio"],
    )  # fmt: skip
    limit = mount.figures["motor_speed_rad_s"]
    words = (
        f"At {shown(speed(asked), 'number')} m/s the motor of the track makes {shown(demand, 'turning')}; drives of "
        f"this class make {shown(limit, 'turning')}"
    )
    return words, demand, limit


def pushing(asked: Asked, mount: Component) -> Way:
    """Torque of the motor while the carriage speeds up with all that rides on it."""
    demand, limit = ramp_torque(asked, mount), mount.figures["motor_torque_nm"]
    words = (
        f"Carriage, arm and load of {shown(riding(asked, mount), 'mass')} take {shown(thrust(asked, mount), 'force')} "
        f"to speed up, which is {shown(demand, 'moment')} at the motor; drives of this class give "
        f"{shown(limit, 'moment')}"
    )
    return words, demand, limit


def speed(asked: Asked) -> Fact:
    """Speed of the carriage, as the ways are timed: slower for a force-limited arm where people pass."""
    arm = asked.concept.arm
    assert arm is not None
    near = arm.words["class"] == "force_limited" and asked.inquiry.wishes.people_pass.value == "yes"
    return asked.figure("track_speed_near_people_m_s" if near else "track_speed_m_s")


def radius(asked: Asked, mount: Component) -> Fact:
    """Of the pinion, or of the pulley of a belt."""
    if PULLEY[0] in mount.figures:
        return apply(
            asked.sheet, "pulley_radius_m", asked.id("track_drive.radius"), pitch_m=mount.figures["belt_pitch_m"],
            teeth=mount.figures["pulley_teeth"],
        )  # fmt: skip
    return apply(
        asked.sheet, "pinion_radius_m", asked.id("track_drive.radius"), module_m=mount.figures["pinion_module_m"],
        teeth=mount.figures["pinion_teeth"], helix_rad=mount.figures["pinion_helix_rad"],
    )  # fmt: skip


def riding(asked: Asked, mount: Component) -> Fact:
    """The moving mass: the carriage, the whole arm on it, and what hangs on the flange."""
    arm, sheet = asked.concept.arm, asked.sheet
    assert arm is not None
    whole = apply(
        sheet, "whole_arm_kg", asked.id("track_drive.arm"), moving_kg=arm.figures["moving_mass_kg"],
        whole_over_moving=asked.figure("arm_whole_over_moving"),
    )  # fmt: skip
    masses = (mount.figures["carriage_kg"], whole, flange_mass(asked))
    return apply(sheet, "sum_of_masses_kg", asked.id("track_drive.mass"), masses_kg=masses)


def thrust(asked: Asked, mount: Component) -> Fact:
    """Force that speeds it up."""
    return apply(
        asked.sheet, "carriage_thrust_n", asked.id("track_drive.thrust"), mass_kg=riding(asked, mount),
        accel_m_s2=asked.figure("track_accel_m_s2"), friction=asked.figure("track_friction"),
        slope_rad=asked.figure("track_slope_rad"),
    )  # fmt: skip


def ramp_torque(asked: Asked, mount: Component) -> Fact:
    """Torque of the motor for that force and for its own inertia."""
    return apply(
        asked.sheet, "motor_torque_nm", asked.id("track_drive.torque"), thrust_n=thrust(asked, mount),
        radius_m=radius(asked, mount), ratio=mount.figures["gear_ratio"],
        efficiency=mount.figures["drive_efficiency"], inertia_kg_m2=mount.figures["motor_inertia_kg_m2"],
        accel_m_s2=asked.figure("track_accel_m_s2"),
    )  # fmt: skip


def heat(asked: Asked, mount: Component, ways: tuple[Fact, ...]) -> Fact:
    """The root mean square of its torque over these rides and the arm's work between them."""
    sheet = asked.sheet
    ride = {"speed_m_s": speed(asked), "accel_m_s2": asked.figure("track_accel_m_s2")}
    cruise = apply(
        sheet, "cruise_torque_nm", asked.id("track_duty.cruise"), mass_kg=riding(asked, mount),
        friction=asked.figure("track_friction"), radius_m=radius(asked, mount), ratio=mount.figures["gear_ratio"],
        efficiency=mount.figures["drive_efficiency"],
    )  # fmt: skip
    works = tuple(
        sheet[timing.work] for operation, timing in operations(asked) for _ in places(asked, operation.machine)
    )
    return apply(
        sheet, "carriage_rms_torque_nm", asked.id("track_duty.demand"), ramp_nm=ramp_torque(asked, mount),
        cruise_nm=cruise, ramps_s=apply(sheet, "carriage_ramps_s", asked.id("track_duty.ramps"), ways_m=ways, **ride),
        cruise_s=apply(sheet, "carriage_cruise_s", asked.id("track_duty.cruising"), ways_m=ways, **ride),
        period_s=apply(sheet, "attendant_work_s", asked.id("track_duty.period"), elements_s=works),
    )  # fmt: skip


def rides(asked: Asked) -> tuple[Fact, ...]:
    """The carriage's ways while each machine is loaded once: to it, on to where its part goes, and back for the next.

    A load of several parts takes them one after the other. Of several places where a part may come from or go to, each
    machine takes the one of its own turn.
    """
    moulding = asked.inquiry.machines[0].kind.value == "moulding"
    made = [places(asked, each.machine) for each, _ in operations(asked)]
    stops = [("outfeed" if moulding else "presenter",), *made, ("outfeed",)]
    found: list[Fact | None] = []
    for (operation, _), before, here, after in zip(operations(asked), stops, made, stops[2:], strict=False):
        grips = 1 if moulding else round(operation.parts_per_cycle.value)
        for turn, place in enumerate(here):
            source, sink = before[turn % len(before)], after[turn % len(after)]
            found += grips * [way(asked, source, place), way(asked, place, sink), way(asked, sink, source)]
    return tuple(each for each in found if each is not None)


def way(asked: Asked, a: str, b: str) -> Fact | None:
    """The carriage's way between two places; None where there is none."""
    distances = asked.layout.distances
    fact_id = distances.get(f"{a} {b}") or distances.get(f"{b} {a}")
    return asked.sheet[fact_id] if fact_id is not None else None


def places(asked: Asked, machine: str) -> tuple[str, ...]:
    """The places of the machines of one name, counted on through the inquiry."""
    names = list(chain.from_iterable([each.name] * round(each.count.value) for each in asked.inquiry.machines))
    return tuple(f"machine_{number}" for number, name in enumerate(names, start=1) if name == machine)
