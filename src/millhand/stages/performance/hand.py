"""Today's output, calibrated to what the shop ships; and that of a better way by hand, with the same loss."""

from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.performance import Performance
from millhand.stages.performance.assigned import peoples_hours
from millhand.stages.performance.people import by_hand_time
from millhand.stages.performance.phases import bound_in_phases, cycle_of, phases
from millhand.stages.performance.shared import (
    Scope,
    a_shift,
    achieved_rate,
    availability,
    bound_parts,
    changes_lots,
    fewest,
    good_share,
    net_rate,
    nothing,
    pace_words,
    rate_with_changeovers,
    set_up_of,
)
from millhand.stages.performance.use import uses

LOSS = "concepts.today.performance.unexplained_loss"


def today_performance(scope: Scope) -> Performance:
    """What leaves the shop is given; the model says how much of its own output that is, and names the rest a loss."""
    bound = bound_in_phases(scope)
    modelled = achieved_rate(scope, bound)
    available = availability(scope, with_arm=False)
    explained = scope.apply(
        "net_parts_per_h", "explained_parts_per_h",
        rate_parts_per_h=modelled, loss_share=nothing(scope, "no_loss"),
        kept_share=whole(scope), available_share=available, good_share=good_share(scope), most_parts_per_h=(),
    )  # fmt: skip
    shipped = scope.apply(
        "shipped_parts_per_h", "net_parts_per_h",
        parts_per_shift=scope.inquiry.today.parts_per_shift,
        shifts=scope.of(scope.hours.shifts), covered_h=scope.of(scope.hours.covered_h),
    )  # fmt: skip
    set_ups = _set_up_share(scope, shipped) if changes_lots(scope) else nothing(scope, "no_loss")
    if changes_lots(scope):
        explained = scope.apply(
            "between_set_ups_parts_per_h", "between_set_ups_parts_per_h",
            rate_parts_per_h=explained, set_up_share=set_ups,
        )  # fmt: skip
    loss = scope.apply("unexplained_loss_share", "unexplained_loss", shipped_parts=shipped, modelled_parts=explained)
    return replace(_by_hand(scope, bound, shipped), uses=uses(scope, (set_ups, available, loss)))


def hand_performance(scope: Scope) -> Performance:
    """A better way by hand loses the same share as today, and is set up as often for as many parts."""
    bound = bound_in_phases(scope)
    rate = achieved_rate(scope, bound)
    available = availability(scope, with_arm=False)
    net = net_rate(scope, rate, scope.of(LOSS), kept=whole(scope), available=available, most=machines_parts(scope))
    if changes_lots(scope):
        net = rate_with_changeovers(scope, net, set_up_of(scope))
    return _by_hand(scope, bound, net)


def _set_up_share(scope: Scope, shipped: Fact) -> Fact:
    """Share of the hours in which a machine is being set up for the lots that are shipped."""
    return scope.apply(
        "set_up_share", "set_ups",
        shipped_parts_per_h=shipped, set_up_s=scope.inquiry.today.setup_s,
        lot=scope.inquiry.parts[0].lot_size, machines=fewest(scope),
    )  # fmt: skip


def machines_parts(scope: Scope) -> tuple[Fact, ...]:
    """Parts an hour of each operation's machines if they never stood: more than that no process makes."""
    return tuple(
        scope.apply(
            "machines_parts_per_h",
            f"{operation.name}.machines_parts_per_h",
            machines=machine.count,
            process_s=scope.of(timed.whole_run),
            parts_per_load=scope.of(timed.parts_per_load),
        )
        for operation, machine, timed in zip(scope.operations, scope.machines, scope.timing.operations, strict=True)
    )


def whole(scope: Scope) -> Fact:
    """All of a loss stays."""
    return scope.solved("kept_whole", 1.0, "1", "the same people, the same losses: kept whole; nothing")


def _by_hand(scope: Scope, bound: Fact, rate: Fact) -> Performance:
    """Output and hours of a process that nobody leaves alone."""
    alone = nothing(scope, "alone_parts")
    capacity = scope.apply(
        "capacity_parts_per_y", "capacity_parts_per_y",
        attended_parts_per_h=rate, attended_h_per_y=scope.of(scope.hours.attended_h_per_y),
        alone_parts=alone, runs_per_y=scope.of(scope.hours.runs_per_y),
    )  # fmt: skip
    shift, in_turn = a_shift(scope, rate), phases(scope)
    return Performance(
        concept=scope.concept.id,
        cell=scope.cell_hash,
        bound_per_h=bound_parts(scope, bound).id,
        cycle_per_h=cycle_of(scope),
        attended_per_h=rate.id,
        unattended_per_h=None,
        parts_per_shift=shift.id,
        attended_h_per_y=scope.hours.attended_h_per_y,
        unattended_h_per_y=nothing(scope, "unattended_h_per_y").id,
        autonomy_s=nothing(scope, "autonomy").id,
        parts_per_y=capacity.id,
        operator_h_per_y=peoples_hours(scope, capacity).id,
        pace_setter=pace_words(scope.cell),
        output=scope.output,
        bound_loads_per_h=scope.id("bound_loads_per_h"),
        people=by_hand_time(scope, shift),
        phases=in_turn,
    )
