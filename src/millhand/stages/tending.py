"""Where parts are lost today, and how else the machines could be tended: from runs that differ in one thing each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.formulas.hours import WEEK_H
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Output
from millhand.model.tending import Cause, Lost, TendingWay, Whose
from millhand.model.walk import with_facts
from millhand.trace import Sheet, apply, found

NEVER = 1e12  # so many seconds or parts between two calls: none in any run
TODAY, LOSS = "concepts.today.performance.", "unexplained_loss"
SIMULATED = f"{TODAY}simulated_parts_per_h"
BUSY = ("working", "handled", "failed", "in_repair", "worn")  # of a machine: everything but waiting
HERE = ("travelling", "carrying", "handling", "on_duty")  # of a person: at work
COUNTED: Mapping[Cause, tuple[Whose, tuple[str, ...]]] = {
    "handover": ("people", ("handover",)),
    "absence": ("people", ("absence",)),
    "stops": ("machines", ("clear",)),
    "wear": ("machines", ("tools", "chips")),
}  # causes whose hours the simulation counts, by how the names of their duties begin


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What all rows share: the inquiry, today's facts, and the run of today as it is."""

    inquiry: Inquiry
    sheet: Sheet
    output: Output

    def apply(self, formula: str, name: str, /, **inputs: Fact | tuple[Fact, ...]) -> Fact:
        """A computed fact of this page."""
        return apply(self.sheet, formula, f"tending.{name}", **inputs)

    def number(self, name: str, value: float, unit: str, output: Output) -> Fact:
        """A number that a simulation counted."""
        source = f"simulation, seed {output.seed}, {output.replications} weeks, of cell {output.cell}"
        return found(self.sheet, Fact(id=f"tending.{name}", value=value, unit=unit, basis="computed", source=source))

    def of(self, name: str) -> Fact:
        """A fact of today's performance."""
        return self.sheet[f"{TODAY}{name}"]

    @property
    def shifts(self) -> float:
        """Manned shifts of a week."""
        return self.sheet.value("shifts.per_week")


# --- what is taken out, one at a time ---


def without(inquiry: Inquiry) -> Iterator[tuple[Cause, Inquiry]]:
    """Today without one cause of lost time, for each that there is."""
    people = inquiry.people
    covered = people.break_cover.value == "relief"
    if any(shift.breaks for shift in inquiry.shifts) and not covered:
        yield "breaks", replace(inquiry, shifts=tuple(replace(shift, breaks=()) for shift in inquiry.shifts))
    parts: tuple[tuple[Cause, Fact], ...] = (
        ("handover", people.handover_s), ("absence", people.unreplaced), ("away", people.away),
    )  # fmt: skip
    for cause, fact in parts:
        if fact.value > 0.0 and (cause != "absence" or people.absence.value > 0.0):
            yield cause, with_facts(inquiry, {fact.id: exact(fact, 0.0)})
    yield "stops", never(inquiry, [machine.stops.short_every_s for machine in inquiry.machines])
    limits = [operation.tool_life_parts for part in inquiry.parts for operation in part.operations]
    yield "wear", never(inquiry, [*limits, *(machine.chip_limit_parts for machine in inquiry.machines)])


def never(inquiry: Inquiry, facts: Sequence[Fact]) -> Inquiry:
    """The inquiry with so much between two calls that none comes."""
    return with_facts(inquiry, {fact.id: exact(fact, NEVER) for fact in facts})


def exact(fact: Fact, value: float) -> Fact:
    """The fact with another value, as if it were certain."""
    return replace(fact, value=value, low=None, high=None, shape="point")


# --- losses ---


def made(bench: Bench, name: str, output: Output) -> Fact:
    """Parts off the machines in a mean shift of a run."""
    loads = bench.sheet[SIMULATED].inputs
    each = next(bench.sheet.value(fact_id) for key, fact_id in loads if key == "parts_per_load")
    return bench.number(f"{name}.made", output.parts_per_h.mean * WEEK_H * each / bench.shifts, "parts", output)


def taken_out(bench: Bench, cause: Cause, output: Output, base: Fact) -> Lost:
    """A cause of the simulated week: its hours, and what is made more without it."""
    parts = bench.apply("lost_parts", f"{cause}.parts", without_parts=made(bench, cause, output), made_parts=base)
    whose, hours = hours_of(bench, cause)
    return Lost(cause=cause, whose=whose, hours=hours.id, parts=parts.id, simulated=True)


def hours_of(bench: Bench, cause: Cause) -> tuple[Whose, Fact]:
    """Hours of a mean shift that a cause takes: counted by the simulation, or by the pattern of the shifts."""
    if cause in COUNTED:
        whose, begins = COUNTED[cause]
        share = sum(each.mean for name, each in bench.output.duty_share.items() if name.startswith(begins))
        return whose, bench.number(f"{cause}.hours", share * WEEK_H / bench.shifts, "h", bench.output)
    heads, shifts = bench.sheet["shifts.assigned_heads"], bench.sheet["shifts.per_week"]
    if cause == "away":
        present, away = bench.sheet["shifts.present_h"], bench.inquiry.people.away
        gone = bench.apply("share_h", "away.h_per_week", hours_h=present, share=away)
        return "people", bench.apply("there_h", "away.hours", heads=heads, worked_h=gone, shifts=shifts)
    manned = [shift for shift in bench.inquiry.shifts if shift.manned.value == "yes"]
    pauses = tuple(bench.sheet[f"shifts.{shift.name}.breaks"] for shift in manned)
    weekly = bench.apply(
        "worked_h_per_week", "breaks.h_per_week", lengths_s=pauses,
        breaks_s=tuple(bench.apply("attendant_work_s", "no_break", elements_s=()) for _ in manned),
        days=tuple(shift.days_per_week for shift in manned),
    )  # fmt: skip
    return "people", bench.apply("there_h", "breaks.hours", heads=heads, worked_h=weekly, shifts=shifts)


def in_turn(bench: Bench, base: Fact) -> tuple[Lost, ...]:
    """What the simulation leaves out, each a share of what was left: down to the parts that are shipped."""
    shares: list[tuple[Cause, Fact]] = [
        ("long_stops", bench.apply("lost_share", "long_stops.share", kept_share=bench.of("available"))),
        ("scrap", bench.apply("lost_share", "scrap.share", kept_share=bench.of("good_share"))),
    ]
    if f"{TODAY}set_ups" in bench.sheet:
        shares.append(("set_ups", bench.of("set_ups")))
    shares.append(("unexplained", bench.of(LOSS)))
    found_losses, before = [], tuple[Fact, ...]()
    for cause, share in shares:
        parts = bench.apply(
            "lost_in_turn_parts", f"{cause}.parts", made_parts=base, before_shares=before, lost_share=share
        )
        before = (*before, share)
        hours = machine_hours(bench, cause)
        whose: Whose = "machines" if hours is not None else ""
        found_losses.append(
            Lost(cause=cause, whose=whose, hours=hours.id if hours else None, parts=parts.id, simulated=False)
        )
    return tuple(found_losses)


def machine_hours(bench: Bench, cause: Cause) -> Fact | None:
    """Machine hours of a mean shift in long stops or set-ups; None for what is no time of a machine."""
    part, machines = bench.inquiry.parts[0], bench.inquiry.machines
    if cause == "long_stops":
        return bench.apply(
            "stood_h", "long_stops.hours",
            hours_h=bench.sheet["shifts.covered_h"], shifts=bench.sheet["shifts.per_week"],
            machines=tuple(each.count for each in machines),
            every_s=tuple(each.stops.long_every_s for each in machines),
            takes_s=tuple(each.stops.long_takes_s for each in machines),
        )  # fmt: skip
    if cause == "set_ups":
        today = bench.inquiry.today
        return bench.apply(
            "set_up_h", "set_ups.hours", parts=today.parts_per_shift, lot=part.lot_size, set_up_s=today.setup_s
        )
    return None


# --- other ways to tend ---


def ways(inquiry: Inquiry) -> tuple[Inquiry, ...]:
    """Today first, then each other way to share the machines out and to cover the breaks."""
    several = max((shift.operators.value for shift in inquiry.shifts), default=1.0) > 1.0
    pauses = any(shift.breaks for shift in inquiry.shifts)
    kept = inquiry.people.tend.value
    pairs = [("own", "none"), ("together", "none")] if several else [(kept, "none")]
    if pauses:
        pairs += [("together", "each_other")] if several else []
        pairs += [("own", "relief"), ("together", "relief")] if several else [(kept, "relief")]
    others = [other_way(inquiry, tend, cover) for tend, cover in pairs]
    return (inquiry, *(each for each in others if each.people != inquiry.people))


def other_way(inquiry: Inquiry, tend: str, cover: str) -> Inquiry:
    """The inquiry with another way to tend."""
    people = inquiry.people
    new = {people.tend.id: replace(people.tend, value=tend)}
    new |= {people.break_cover.id: replace(people.break_cover, value=cover)}
    return with_facts(inquiry, dict(new))


def tended(bench: Bench, way: Inquiry, output: Output) -> TendingWay:
    """What one way gives: parts, how long machines wait, how busy people are."""
    tend, cover = way.people.tend.value, way.people.break_cover.value
    name = f"{tend}.{cover}"
    open_share = bench.sheet.value("shifts.covered_h") / WEEK_H
    machines = [states for each, states in output.states.items() if each.startswith("machine_")]
    people = [states for each, states in output.states.items() if each.startswith("operator")]
    busy = sum(states.get(state, 0.0) for states in machines for state in BUSY) / len(machines)
    work = sum(states.get(state, 0.0) for states in people for state in HERE)
    gone = sum(each.mean for duty, each in output.duty_share.items() if duty.startswith("absence"))
    there = sum(1.0 - states.get("off", 0.0) - states.get("break", 0.0) for states in people) - gone
    return TendingWay(
        tend=tend,  # type: ignore[arg-type]
        break_cover=cover,  # type: ignore[arg-type]
        today=way is bench.inquiry,
        parts=made(bench, name, output).id,
        waiting_share=bench.number(f"{name}.waiting", max(0.0, 1.0 - busy / open_share), "1", output).id,
        busy_share=bench.number(f"{name}.busy", min(1.0, (work - gone) / there), "1", output).id,
    )
