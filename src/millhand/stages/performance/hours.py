"""Hours of the shop's pattern as facts: covered by somebody, worked by a head, a year; shared by all concepts."""

from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.trace import Sheet, apply

SAME_HEADS = 1e-6  # of machines, so near to it that told heads are those that the machines a head come to


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Fact ids of the pattern's hours and of the heads that the machines bind."""

    covered_h: str  # of a week
    shifts: str  # manned shifts of a week
    attended_h_per_y: str
    assigned_h_per_y: str
    runs_per_y: str  # working days, each with one run alone after its last shift
    alone_h: str


def hours(inquiry: Inquiry, sheet: Sheet) -> Hours:
    """The pattern's hours; `shifts.` is the prefix of every id."""
    shifts = [shift for shift in inquiry.shifts if shift.manned.value == "yes"]
    days = tuple(shift.days_per_week for shift in shifts)
    lengths = tuple(shift.length_s for shift in shifts)
    longest = max(days, key=lambda fact: fact.value)
    covered = apply(
        sheet, "covered_h_per_week", "shifts.covered_h",
        starts_s=tuple(shift.start_s for shift in shifts), lengths_s=lengths, days=days,
    )  # fmt: skip
    rests = tuple(
        apply(
            sheet, "attendant_work_s", f"shifts.{shift.name}.breaks",
            elements_s=tuple(pause.length_s for pause in shift.breaks),
        )
        for shift in shifts
    )  # fmt: skip
    worked = apply(sheet, "worked_h_per_week", "shifts.worked_h", lengths_s=lengths, breaks_s=rests, days=days)
    attended = _yearly(inquiry, sheet, "shifts.attended_h_per_y", covered, longest)
    filled = _yearly(inquiry, sheet, "shifts.worked_h_per_y", worked, longest)
    per_week = apply(sheet, "shifts_per_week", "shifts.per_week", days=days)
    apply(sheet, "head_h_per_y", "shifts.head_h_per_y", worked_h_per_y=filled, shifts=per_week, days=longest)
    there = _present(inquiry, sheet, worked, (lengths, days))
    return Hours(
        covered_h=covered.id,
        shifts=per_week.id,
        attended_h_per_y=attended.id,
        assigned_h_per_y=_assigned(
            inquiry, sheet, _yearly(inquiry, sheet, "shifts.at_machines_h_per_y", there, longest), rests
        ).id,
        runs_per_y=inquiry.shop.work_days_per_y.id,
        alone_h=apply(sheet, "alone_h", "shifts.alone_h", unattended_s=inquiry.wishes.unattended_s).id,
    )


def _present(inquiry: Inquiry, sheet: Sheet, worked: Fact, posts: tuple[tuple[Fact, ...], tuple[Fact, ...]]) -> Fact:
    """Hours a week of a post at these machines: through the breaks where others load then, not where nobody came and
    nobody stood in, and not while he is called away for something else."""
    people, (lengths, days) = inquiry.people, posts
    share = apply(sheet, "absent_share", "shifts.absent_share", absence=people.absence, unreplaced=people.unreplaced)
    filled = worked
    if people.break_cover.value == "relief":
        none = tuple(apply(sheet, "attendant_work_s", "shifts.no_break", elements_s=()) for _ in lengths)
        filled = apply(sheet, "worked_h_per_week", "shifts.filled_h", lengths_s=lengths, breaks_s=none, days=days)
    present = apply(sheet, "present_h", "shifts.present_h", hours_h=filled, absent_share=share)
    return apply(sheet, "present_h", "shifts.at_machines_h", hours_h=present, absent_share=people.away)


def _yearly(inquiry: Inquiry, sheet: Sheet, fact_id: str, weekly: Fact, longest: Fact) -> Fact:
    """Hours a year of weekly hours."""
    return apply(
        sheet,
        "yearly_h_per_y",
        fact_id,
        h_per_week=weekly,
        work_days=inquiry.shop.work_days_per_y,
        days_per_week=longest,
    )


def heads_are_told(inquiry: Inquiry) -> bool:
    """Whether the heads of the shifts are followed as somebody said them, and not what the machines a head come to.

    Who is said to tend more machines than stand here also tends others, and only a part of him is here.
    """
    tended, machines = inquiry.people.machines_per_operator, _visited(inquiry)
    count = sum(machine.count.value for machine in machines)
    if tended.basis != "assumed" and tended.value > count:
        return False
    heads = [shift.operators for shift in inquiry.shifts if shift.manned.value == "yes"]
    return any(each.basis != "assumed" and abs(each.value * tended.value - count) > SAME_HEADS for each in heads)


def _visited(inquiry: Inquiry) -> list[Machine]:
    """The machines that some part comes to."""
    visited = {operation.machine for part in inquiry.parts for operation in part.operations}
    return [machine for machine in inquiry.machines if machine.name in visited]


def _assigned(inquiry: Inquiry, sheet: Sheet, present: Fact, rests: tuple[Fact, ...]) -> Fact:
    """People's hours a year that today's machines bind: those of the heads of each shift, or of so many machines a
    head where nobody said more."""
    counts = tuple(machine.count for machine in _visited(inquiry))
    count = apply(sheet, "all_machines", "shifts.machines", counts=counts)
    if heads_are_told(inquiry):
        shifts = [shift for shift in inquiry.shifts if shift.manned.value == "yes"]
        heads = apply(
            sheet, "mean_heads", "shifts.assigned_heads", heads=tuple(shift.operators for shift in shifts),
            lengths_s=tuple(shift.length_s for shift in shifts), breaks_s=rests,
            days=tuple(shift.days_per_week for shift in shifts),
        )  # fmt: skip
    else:
        heads = apply(
            sheet, "assigned_heads", "shifts.assigned_heads",
            machines=count, machines_per_operator=inquiry.people.machines_per_operator,
        )  # fmt: skip
    return apply(sheet, "assigned_h_per_y", "shifts.assigned_h_per_y", heads=heads, worked_h_per_y=present)
