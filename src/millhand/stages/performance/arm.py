"""What a cell with an arm puts out, with people there and alone, and what people still do for it."""

from millhand.formulas.hours import WEEK_H
from millhand.model.fact import Fact
from millhand.model.performance import PeopleTime, Performance
from millhand.solvers.cycle.bounds import load_bounds
from millhand.solvers.cycle.steady import steady
from millhand.stages.performance.hand import LOSS
from millhand.stages.performance.kept import kept
from millhand.stages.performance.nights import note_nights, runs_a_week
from millhand.stages.performance.people import beside_a_cell
from millhand.stages.performance.phases import bound_in_phases, cycle_of, phases
from millhand.stages.performance.shared import (
    TODAY_H,
    Scope,
    a_shift,
    achieved_rate,
    availability,
    bound_parts,
    changes_lots,
    duties,
    good_share,
    net_rate,
    nothing,
    pace_words,
    rate_with_changeovers,
    simulated_words,
    tended_parts,
)
from millhand.stages.performance.shared_people import shared
from millhand.stages.performance.waits import waits


def arm_performance(scope: Scope, pockets: str) -> Performance:
    """Attended output after losses and changeovers, output alone by closed form times what the simulation gave."""
    bound, in_turn = bound_in_phases(scope), phases(scope)
    available = availability(scope, with_arm=True)
    steady = net_rate(
        scope, achieved_rate(scope, bound), scope.of(LOSS),
        kept=scope.figures["loss_kept_share"], available=available, most=(_pace(scope, bound),),
    )  # fmt: skip
    rate, changeover = _with_changeovers(scope, steady)
    limits = _limits(scope, pockets)
    alone = _alone(scope, bound, limits, available)
    capacity = scope.apply(
        "capacity_parts_per_y", "capacity_parts_per_y",
        attended_parts_per_h=rate, attended_h_per_y=scope.of(scope.hours.attended_h_per_y),
        alone_parts=alone, runs_per_y=scope.of(scope.hours.runs_per_y),
    )  # fmt: skip
    alone_hours = scope.apply(
        "alone_h_per_y", "unattended_h_per_y",
        alone_h=scope.of(scope.hours.alone_h), runs_per_y=scope.of(scope.hours.runs_per_y),
    )  # fmt: skip
    shift = a_shift(scope, rate)
    autonomy = scope.apply("autonomy_time_s", "autonomy", limits_parts=limits, rate_parts_per_h=_pace(scope, bound))
    work = _hours(scope, capacity, changeover)
    return Performance(
        concept=scope.concept.id,
        cell=scope.cell_hash,
        bound_per_h=_pace(scope, bound).id,
        cycle_per_h=cycle_of(scope),
        attended_per_h=rate.id,
        unattended_per_h=_alone_rate(scope, alone),
        parts_per_shift=shift.id,
        attended_h_per_y=scope.hours.attended_h_per_y,
        unattended_h_per_y=alone_hours.id,
        autonomy_s=autonomy.id,
        parts_per_y=capacity.id,
        operator_h_per_y=work.id,
        pace_setter=pace_words(scope.cell),
        output=scope.output,
        parts_alone=alone.id if scope.inquiry.wishes.unattended_s.value > 0.0 else None,
        bound_loads_per_h=scope.id("bound_loads_per_h"),
        people=shared(scope, _people(scope, shift, changeover), work),
        waits=waits(scope),
        phases=in_turn,
    )


def _pace(scope: Scope, bound: Fact) -> Fact:
    """Parts an hour at the load bound; alone too: no loss that waits for people is in it, faults come separately."""
    return bound_parts(scope, bound)


def _alone_rate(scope: Scope, alone: Fact) -> str | None:
    """Parts an hour in the hours alone, None where none are wished."""
    if scope.inquiry.wishes.unattended_s.value <= 0.0:
        return None
    return scope.apply(
        "alone_parts_per_h", "unattended_parts_per_h", parts=alone, alone_h=scope.of(scope.hours.alone_h)
    ).id


def _with_changeovers(scope: Scope, steady: Fact) -> tuple[Fact, Fact | None]:
    """Several families cost the set-up that today has too, and the cell's own changeover, for each lot.

    Back come the rate and the work of people on one lot: a set-up at every operation.
    """
    if not changes_lots(scope):
        return steady, None
    own, set_up = scope.figures["cell_changeover_s"], scope.inquiry.today.setup_s
    stands = scope.apply("attendant_work_s", "changeover_stands", elements_s=(set_up, _stands_for(scope, own)))
    work = scope.apply("attendant_work_s", "changeover_work", elements_s=(*(set_up for _ in scope.operations), own))
    return rate_with_changeovers(scope, steady, stands), work


def _stands_for(scope: Scope, own: Fact) -> Fact:
    """What of the cell's changeover the machines stand for: with a tool changer people fit fingers to hands in its dock
    while the machines run, with a trolley that docks they put the next inserts into the other one."""
    for name, each in (("hands", scope.concept.gripper), ("inserts", scope.concept.presenter)):
        if each is not None and "changeover_left_share" in each.figures:
            factor = each.figures["changeover_left_share"]
            own = scope.apply("changed_time_s", f"changeover_left_{name}", time_s=own, factor=factor)
    return own


def _limits(scope: Scope, pockets: str) -> tuple[Fact, ...]:
    """What ends a run alone, in parts of its machines: presenter, lot, tools and chip box of each operation; and what
    the check on running alone found, which knows the loose volume of chips and the parts that wait for gauging."""
    limits = [scope.of(pockets)] if pockets in scope.sheet else []
    for operation, machine in zip(scope.operations, scope.machines, strict=True):
        for name, each in (("tool", operation.tool_life_parts), ("chip", machine.chip_limit_parts)):
            figure = f"{operation.name}.{name}_limit_parts"
            limits.append(scope.apply("limit_of_machines_parts", figure, each_parts=each, machines=machine.count))
    if scope.inquiry.parts[0].families.value > 1:
        limits.append(scope.inquiry.parts[0].lot_size)
    checked = f"concepts.{scope.concept.id}.feasibility.capacity_night.limit"
    return (*limits, scope.of(checked)) if checked in scope.sheet else tuple(limits)


def _alone(scope: Scope, bound: Fact, limits: tuple[Fact, ...], available: Fact) -> Fact:
    """Parts of one run alone; nothing where no hours alone are wished."""
    if scope.inquiry.wishes.unattended_s.value <= 0.0:
        return nothing(scope, "alone_parts")
    most = scope.apply(
        "alone_limit_parts", "alone_limit",
        rate_parts_per_h=_pace(scope, bound), alone_h=scope.of(scope.hours.alone_h), limits_parts=limits,
    )  # fmt: skip
    bound_parts = scope.apply(  # no fault, and what is in the machines, which comes out no sooner than the rate lets it
        "alone_bound_parts", "alone_parts" if scope.output is None else "alone_bound",
        limit_parts=most, rate_parts_per_h=_pace(scope, bound), alone_h=scope.of(scope.hours.alone_h),
        machines=scope.of("shifts.machines"), parts_per_load=scope.parts_per_load,
    )  # fmt: skip
    if scope.output is None:
        return bound_parts
    note_nights(scope)
    stop = scope.apply(
        "stop_share_alone", "stop_share_alone",
        fault_share=scope.of(f"concepts.{scope.concept.id}.cells.fault_share"),
        processes_s=tuple(scope.of(operation.process) for operation in scope.timing.operations),
        stops_every_s=tuple(machine.stops.short_every_s for machine in scope.machines),
    )  # fmt: skip
    loads = scope.apply("loads_alone", "loads_alone", limit_parts=most, parts_per_load=scope.parts_per_load)
    expected = scope.apply("expected_unattended_parts", "expected_loads_alone", fault_share=stop, pockets=loads)
    parts = scope.apply("parts_of_loads", "expected_alone", loads=expected, parts_per_load=scope.parts_per_load)
    return scope.apply(
        "unattended_parts", "alone_parts",
        expected_parts=parts, factor=_factor(scope, expected), bound_parts=bound_parts, available_share=available,
        good_share=good_share(scope),
    )  # fmt: skip


def _factor(scope: Scope, expected: Fact) -> Fact:
    """What the simulation made alone against the closed form: several machines, empty start, repairs next morning."""
    assert scope.output is not None
    loads = scope.output.counts["unattended"].mean * WEEK_H / runs_a_week(scope)
    factor = loads / expected.value if expected.value > 0.0 else 0.0
    return scope.solved("alone_factor", factor, "1", simulated_words(scope.output))


def _called(scope: Scope) -> Fact:
    """People's time a part on what the cell calls them for: stops, tools, chips, refills, faults of the arm."""
    return tended(scope) if scope.output is None else duties(scope)


def _people(scope: Scope, shift: Fact, changeover: Fact | None) -> PeopleTime:
    """What people do in a shift beside the cell: what it calls for and its lots, and the work on parts that stays."""
    care = [_called(scope)]
    if changeover is not None:
        lot = scope.inquiry.parts[0].lot_size
        care.append(scope.apply("time_a_part_s", "people.set_up_a_part_s", load_s=changeover, parts_per_load=lot))
    return beside_a_cell(scope, shift, care, kept(scope))


def _hours(scope: Scope, capacity: Fact, changeover: Fact | None) -> Fact:
    """Duties of the simulation a part, the work on parts that stays, and changeovers, for the parts tended."""
    made = tended_parts(scope, capacity)
    work = (kept(scope), _called(scope))
    if changeover is not None:
        scope.apply("changeovers_per_y", "changeovers", parts_per_y=made, lot=scope.inquiry.parts[0].lot_size)
    lots = nothing(scope, "changeovers_h") if changeover is None else scope.apply(
        "changeover_h_per_y", "changeovers_h",
        parts_per_y=made, lot=scope.inquiry.parts[0].lot_size, changeover_s=changeover,
    )  # fmt: skip
    return scope.apply(
        "operator_h_per_y", "operator_h_per_y",
        parts_per_y=made, good_share=good_share(scope), work_s_per_part=work, changeovers_h_per_y=lots,
        most_h_per_y=scope.of(TODAY_H),
    )  # fmt: skip


def tended(scope: Scope) -> Fact:
    """Where nothing was simulated, people's work on a part by the load bound: the mean of every call, no waiting."""
    bound = next((each for each in load_bounds(scope.cell) if each.resource == "tender"), None)
    loads = steady(scope.cell).set_size
    seconds = bound.steps * scope.cell.grid_s / loads / scope.parts_per_load.value if bound is not None else 0.0
    return scope.solved("duties_s", seconds, "s", "not simulated: the load bound")
