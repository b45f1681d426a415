"""People's hours of a way by hand: those assigned today, and what a change makes of them, each change a function."""

from millhand.model.fact import Fact
from millhand.model.shop import Shift
from millhand.stages.performance.hours import heads_are_told
from millhand.stages.performance.shared import (
    TODAY_H,
    Scope,
    as_ordered,
    changes_lots,
    duties,
    effect_of,
    good_share,
    nothing,
    set_up_of,
    tended_parts,
)


def peoples_hours(scope: Scope, capacity: Fact) -> Fact:
    """The hours assigned today, as far as there are orders for them; fewer where one operator then tends more machines,
    as far as the work lets him."""
    assigned = scope.of(scope.hours.assigned_h_per_y)
    more, less = _more(scope), _less(scope)
    if more is not None or less is not None:
        changed = scope.apply(
            "changed_h_per_y", "full_h_per_y", assigned_h=assigned,
            more_h=more or nothing(scope, "no_more_h"), less_h=less or nothing(scope, "no_less_h"),
        )  # fmt: skip
        return as_ordered(scope, "operator_h_per_y", changed, capacity)
    spread = effect_of(scope, "machines_per_operator")
    if spread is None:
        return as_ordered(scope, "operator_h_per_y", assigned, capacity)
    ordered = as_ordered(scope, "ordered_h_per_y", assigned, capacity)
    return scope.apply(
        "spread_h_per_y", "operator_h_per_y", assigned_h=ordered, factor=spread, work_h=_work(scope, capacity)
    )


def _more(scope: Scope) -> Fact | None:
    """Hours a year of people who come in: through the breaks, or as helpers."""
    if scope.change is not None and scope.change.hours == "relief":
        return _relieved(scope)
    machines = effect_of(scope, "machines_per_helper")
    return None if machines is None else _helped(scope, machines)


def _less(scope: Scope) -> Fact | None:
    """Hours a year of the one who stays away in the last shift."""
    return _lighter(scope) if scope.change is not None and scope.change.hours == "lighter" else None


def _relieved(scope: Scope) -> Fact:
    """The breaks of all that the machines bind, worked by others."""
    shifts = _manned(scope)
    weekly = scope.apply(
        "worked_h_per_week", "breaks_h_per_week",
        lengths_s=tuple(_breaks(scope, shift) for shift in shifts),
        breaks_s=tuple(scope.apply("attendant_work_s", f"{shift.name}.no_break", elements_s=()) for shift in shifts),
        days=tuple(shift.days_per_week for shift in shifts),
    )  # fmt: skip
    heads = scope.of("shifts.assigned_heads")
    return scope.apply("assigned_h_per_y", "more_h", heads=heads, worked_h_per_y=_yearly(scope, "breaks_h", weekly))


def _helped(scope: Scope, machines: Fact) -> Fact:
    """Helpers in all shifts, each for so many machines; of one that also helps elsewhere, his share here."""
    heads = scope.apply(
        "assigned_heads", "helpers", machines=scope.of("shifts.machines"), machines_per_operator=machines
    )
    return scope.apply("assigned_h_per_y", "more_h", heads=heads, worked_h_per_y=scope.of("shifts.at_machines_h_per_y"))


def _lighter(scope: Scope) -> Fact:
    """What one head of the last shift is of the hours that the machines bind in it."""
    last = max(_manned(scope), key=lambda shift: shift.start_s.value + shift.length_s.value)
    weekly = scope.apply(
        "worked_h_per_week", "last_shift_h_per_week",
        lengths_s=(last.length_s,), breaks_s=(_breaks(scope, last),), days=(last.days_per_week,),
    )  # fmt: skip
    bound = last.operators if heads_are_told(scope.inquiry) else scope.of("shifts.assigned_heads")
    one = scope.apply("assigned_heads", "one_head", machines=bound, machines_per_operator=last.operators)
    return scope.apply("assigned_h_per_y", "less_h", heads=one, worked_h_per_y=_yearly(scope, "last_shift_h", weekly))


def _manned(scope: Scope) -> list[Shift]:
    """The shifts in which somebody is there."""
    return [shift for shift in scope.inquiry.shifts if shift.manned.value == "yes"]


def _breaks(scope: Scope, shift: Shift) -> Fact:
    """All breaks of one shift together, as the pattern's hours have them."""
    return scope.of(f"shifts.{shift.name}.breaks")


def _yearly(scope: Scope, name: str, weekly: Fact) -> Fact:
    """Hours a year of weekly hours, without those in which nobody came or somebody was called away."""
    came = scope.apply("present_h", f"{name}_came", hours_h=weekly, absent_share=scope.of("shifts.absent_share"))
    there = scope.apply("present_h", f"{name}_there", hours_h=came, absent_share=scope.inquiry.people.away)
    longest = max((shift.days_per_week for shift in _manned(scope)), key=lambda fact: fact.value)
    work_days = scope.inquiry.shop.work_days_per_y
    return scope.apply("yearly_h_per_y", name, h_per_week=there, work_days=work_days, days_per_week=longest)


def _work(scope: Scope, capacity: Fact) -> Fact:
    """Hours of a year in which people do something: handling and ways of every part, stops and tools, set-ups."""
    each = [
        scope.apply(
            "time_a_part_s", f"{timed.operation}.work_a_part",
            load_s=scope.of(timed.work), parts_per_load=scope.of(timed.parts_per_load),
        )
        for timed in scope.timing.operations
    ]  # fmt: skip
    made = tended_parts(scope, capacity)
    work_s = (*each, duties(scope)) if scope.output is not None else tuple(each)
    return scope.apply(
        "operator_h_per_y", "work_h",
        parts_per_y=made, good_share=good_share(scope), work_s_per_part=work_s,
        changeovers_h_per_y=_set_ups(scope, made), most_h_per_y=scope.of(TODAY_H),
    )  # fmt: skip


def _set_ups(scope: Scope, made: Fact) -> Fact:
    """Hours of a year in which somebody sets a machine up, at every operation for each lot."""
    if not changes_lots(scope):
        return nothing(scope, "set_ups_h")
    set_up = set_up_of(scope)
    once = scope.apply("attendant_work_s", "set_ups_work", elements_s=tuple(set_up for _ in scope.operations))
    return scope.apply(
        "changeover_h_per_y", "set_ups_h", parts_per_y=made, lot=scope.inquiry.parts[0].lot_size, changeover_s=once
    )
