"""How today's machines use the hours in which somebody is there: the standard's key figures, from simulated states."""

from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.performance import MachineUse, Output
from millhand.model.timing import OperationTiming
from millhand.stages.performance.shared import Scope, in_time, simulated_words, stations_of

PRODUCING = ("working", "handled")  # as in the key figures of every simulated station


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """One station as simulated."""

    states: tuple[Fact, ...]  # shares of the time of cutting and of loading
    production: Fact  # both as a time
    pace: Fact  # planned time of its parts over that


def uses(scope: Scope, losses: tuple[Fact, Fact, Fact]) -> tuple[MachineUse, ...]:
    """One record an operation; nothing where nothing was simulated. losses: set-ups, long stops, and unexplained.

    Of the unexplained loss each hour has the same share, and it counts as time in which a machine did not run: so it
    lies in availability, and the three parts multiply up to the good parts that are really shipped.
    """
    if scope.output is None or not scope.output.effectiveness:
        return ()
    return tuple(
        _use(scope, scope.output, number, timed, losses) for number, timed in enumerate(scope.timing.operations)
    )


def _use(
    scope: Scope, output: Output, number: int, timed: OperationTiming, losses: tuple[Fact, Fact, Fact]
) -> MachineUse:
    """The machines of one operation together."""
    operation, machine, name = scope.operations[number], scope.machines[number], timed.operation
    stations = [_counted(scope, output, name, each) for each in stations_of(scope, machine.name)]
    horizon = _horizon(scope, output)
    production = scope.apply(
        "production_time_s", f"{name}.production_s",
        state_shares=tuple(share for each in stations for share in each.states), horizon_s=horizon,
    )  # fmt: skip
    process = scope.apply(
        "time_a_part_s", f"{name}.planned_s_per_part",
        load_s=scope.of(timed.whole_run), parts_per_load=scope.of(timed.parts_per_load),
    )  # fmt: skip
    made = _produced(scope, output, timed, stations)
    planned = scope.apply(
        "planned_busy_s", f"{name}.planned_busy_s", machines=machine.count, covered_h=scope.of(scope.hours.covered_h)
    )
    up = scope.apply("availability", f"{name}.availability", production_s=production, planned_busy_s=planned)
    pace = scope.apply(
        "effectiveness", f"{name}.effectiveness",
        planned_s_per_part=process, produced_parts=made, production_s=production,
    )  # fmt: skip
    quality = operation.good
    if output.late_at:
        quality = scope.apply("joint_good_share", f"{name}.quality", good_shares=(quality, in_time(scope)))
    set_ups, available, loss = losses
    real = scope.apply(
        "availability_after_losses", f"{name}.real_availability",
        availability_share=up, set_up_share=set_ups, available_share=available, loss_share=loss,
    )  # fmt: skip
    return MachineUse(
        operation=name,
        availability=real.id,
        simulated_availability=up.id,
        effectiveness=pace.id,
        quality=quality.id,
        oee=scope.apply(
            "oee", f"{name}.oee", availability_share=real, effectiveness_share=pace, quality_share=quality
        ).id,
    )


def _produced(scope: Scope, output: Output, timed: OperationTiming, stations: list[Counted]) -> Fact:
    """Parts made at the machines of one operation, from the time that their cycles took; where hands are held through
    all of a cycle it counts as handling, and what left the cell is counted."""
    name, free, parts = timed.operation, scope.of(timed.process), scope.of(timed.parts_per_load)
    if free.value <= 0.0:
        left = output.parts_per_h.mean * output.horizon_s / 3600.0 * parts.value
        return scope.solved(f"{name}.produced_parts", left, "parts", simulated_words(output))
    each = scope.apply("time_a_part_s", f"{name}.free_s_per_part", load_s=free, parts_per_load=parts)
    return scope.apply(
        "produced_parts", f"{name}.produced_parts",
        effectiveness_shares=tuple(station.pace for station in stations),
        stations_s=tuple(station.production for station in stations), planned_s_per_part=each,
    )  # fmt: skip


def _counted(scope: Scope, output: Output, operation: str, station: str) -> Counted:
    """What the simulation counted at one station."""
    name, words = f"{operation}.{station}", simulated_words(output)
    states = tuple(
        scope.solved(f"{name}.{state}_share", output.states[station].get(state, 0.0), "1", words) for state in PRODUCING
    )
    pace = output.effectiveness[station]["effectiveness"] or 0.0
    return Counted(
        states=states,
        production=scope.apply(
            "production_time_s", f"{name}.production_s", state_shares=states, horizon_s=_horizon(scope, output)
        ),
        pace=scope.solved(f"{name}.effectiveness", pace, "1", words),
    )


def _horizon(scope: Scope, output: Output) -> Fact:
    """How long each replication was counted."""
    return scope.solved("simulated_s", output.horizon_s, "s", simulated_words(output))
