"""The shop's figures against each other: what cannot be is an error in words; what is odd is asked about in `odd`.

Assumed figures accuse nobody: only what was said can contradict what was said.
"""

from collections.abc import Iterator

from millhand.errors import InputError
from millhand.intake.feeding_clashes import feeding
from millhand.intake.floor_clashes import pinned_clear
from millhand.intake.inquiry_sums import (
    DAY_S,
    HOUR_S,
    asked_s,
    breaks_s,
    covered_s,
    machine_count,
    manned,
    operations_at,
    outside_s,
    place_of,
    present_s,
    shifts_per_y,
    written,
)
from millhand.intake.route_clashes import routes
from millhand.intake.text import duration
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.part import Part

MOST_HEADS_A_MACHINE = 3.0
SHIPPED_UNSOLD = 2.0  # parts shipped a year for each part ordered
SLACK_S = 1.0
WEEKS_A_YEAR, WEEK_S = 53.0, 7 * DAY_S


def contradictions(inquiry: Inquiry) -> tuple[InputError, ...]:
    """Every pair of figures that cannot both be right."""
    checks = (
        hours_a_day,
        hours_a_week,
        days_a_year,
        breaks,
        tending,
        output,
        orders,
        sizes,
        operations,
        feeding,
        routes,
        stands,
        pinned_clear,
        stops,
    )
    return tuple(error for check in checks for error in check(inquiry))


def hours_a_day(inquiry: Inquiry) -> Iterator[InputError]:
    """A day has 24 hours, for shifts that follow each other and for the hours with nobody there."""
    one_after_another = [shift for shift in inquiry.shifts if not written(shift.start_s)]
    total = sum(shift.length_s.value for shift in one_after_another)
    if total > DAY_S + SLACK_S:
        read = f"{len(one_after_another)} shifts of together {duration(total)}"
        write = "shifts of together at most 24 h a day, or a list of shifts with 'from' and 'to' where they overlap"
        yield InputError(place_of(one_after_another[0].length_s), read, write, "over_24_h")
        return
    alone, there = inquiry.wishes.unattended_s, covered_s(inquiry)
    if written(alone) and alone.value + there > DAY_S + SLACK_S:
        rest = DAY_S - there
        most = f"at most {duration(rest)}" if rest > SLACK_S else "0 h"
        write = f"{most}: the shifts cover {duration(there)} of the day"
        yield InputError(place_of(alone), f"unattended {duration(alone.value)}", write, "over_24_h")


def hours_a_week(inquiry: Inquiry) -> Iterator[InputError]:
    """The shifts of a week come to 168 h at most, but for an hour at each shift in which two hand over."""
    worked = sum(shift.length_s.value * shift.days_per_week.value for shift in inquiry.shifts)
    most = sum((shift.days_per_week.value for shift in inquiry.shifts), 0.0) * HOUR_S + WEEK_S
    said = [shift.length_s for shift in inquiry.shifts if written(shift.start_s)]
    if said and worked > most + SLACK_S:
        read = f"{len(inquiry.shifts)} shifts of together {worked / HOUR_S:g} h a week"
        write = (
            f"shifts of together at most {WEEK_S / HOUR_S:g} h a week, and an hour each to hand over "
            f"({most / HOUR_S:g} h): {worked / most - 1.0:.0%} too much; where two crews stand there together, one "
            "shift with the heads of both under operators"
        )
        yield InputError(place_of(said[0]), read, write, "over_168_h")


def days_a_year(inquiry: Inquiry) -> Iterator[InputError]:
    """A year has 53 weeks at most, and a shift works its days in each."""
    days, week = inquiry.shop.work_days_per_y, max(shift.days_per_week.value for shift in inquiry.shifts)
    if written(days, *(shift.days_per_week for shift in inquiry.shifts)) and days.value > WEEKS_A_YEAR * week:
        write = f"at most {WEEKS_A_YEAR * week:g} days: no shift works more than {week:g} days a week"
        yield InputError(place_of(days), f"{days.value:g} days a year", write, "days_over_week")


def breaks(inquiry: Inquiry) -> Iterator[InputError]:
    """Breaks lie inside their shift and leave some of it."""
    for shift in inquiry.shifts:
        given = [pause for pause in shift.breaks if written(pause.length_s)]
        if given and breaks_s(shift, assumed=False) >= shift.length_s.value:
            read = f"breaks of {duration(breaks_s(shift, assumed=False))} in {shift.name}"
            write = f"breaks shorter than the shift of {duration(shift.length_s.value)}"
            yield InputError(place_of(given[0].length_s), read, write, "breaks_over_shift")
            continue
        for pause in given:
            into = (pause.start_s.value - shift.start_s.value) % DAY_S
            if written(pause.start_s) and into + pause.length_s.value > shift.length_s.value + SLACK_S:
                begin, end = shift.start_s.value, shift.start_s.value + shift.length_s.value
                write = f"a break inside the shift {shift.name}, {clock(begin)} to {clock(end)}"
                yield InputError(place_of(pause.start_s), clock(pause.start_s.value), write, "break_outside_shift")


def tending(inquiry: Inquiry) -> Iterator[InputError]:
    """Heads, machines a head and machines fit together."""
    people, machines = inquiry.people, machine_count(inquiry)
    heads, tended = people.operators, people.machines_per_operator
    if written(heads) and heads.value > MOST_HEADS_A_MACHINE * machines:
        write = f"the heads at these {machines:g} machines alone, at most {MOST_HEADS_A_MACHINE * machines:g}"
        yield InputError(place_of(heads), f"{heads.value:g} operators", write, "too_many_operators")
    elif written(heads, tended) and heads.value * tended.value < 0.99 * machines:
        read = f"{heads.value:g} operators with {tended.value:g} machines each"
        write = f"figures that cover all {machines:g} machines, or fewer machines"
        yield InputError(place_of(tended), read, write, "machines_untended")
    for shift in inquiry.shifts:
        own = shift.operators
        if own.id != heads.id and written(own) and own.value > MOST_HEADS_A_MACHINE * machines:
            write = f"the heads at these {machines:g} machines alone, at most {MOST_HEADS_A_MACHINE * machines:g}"
            yield InputError(place_of(own), f"{own.value:g} operators in {shift.name}", write, "too_many_operators")


def output(inquiry: Inquiry) -> Iterator[InputError]:
    """What is shipped in a shift must have fitted into the hours of the machines."""
    parts, there = inquiry.today.parts_per_shift, present_s(inquiry, assumed_breaks=False)
    if not manned(inquiry):
        where = place_of(inquiry.shifts[0].manned) if inquiry.shifts else place_of(parts)
        yield InputError(
            where, "no manned shift", "at least one shift with somebody there: manned: yes", "nobody_there"
        )
        return
    for machine in inquiry.machines:
        asked, offered = asked_s(inquiry, machine), machine.count.value * there
        if there > 0.0 and asked > offered + SLACK_S:
            read = f"{parts.value:g} parts a shift, which take {asked / 3600.0:.3g} h at {machine.name}"
            write = (
                f"fewer parts or a shorter time: {machine.count.value:g} x {there / 3600.0:.3g} h present are "
                f"{offered / 3600.0:.3g} h, {asked / offered - 1.0:.0%} too few (breaks: [] where others take over; "
                f"{several_words(inquiry, machine)})"
            )
            yield InputError(place_of(parts), read, write, "over_capacity")


def several_words(inquiry: Inquiry, machine: Machine) -> str:
    """What to ask of cycles that make several parts, or could."""
    counts = {op.parts_per_cycle.value for part, op in operations_at(inquiry, machine)}
    if counts == {1.0}:
        return "parts_per_cycle where a cycle makes several"
    told = " or ".join(f"{count:g}" for count in sorted(counts))
    return f"counted are {told} parts of each cycle: are all cavities or places in use, or are there more?"


def orders(inquiry: Inquiry) -> Iterator[InputError]:
    """Lots and shipments fit to what is ordered in a year."""
    for part in inquiry.parts:
        if written(part.lot_size) and part.lot_size.value > part.orders_per_y.value:
            write = f"at most the {part.orders_per_y.value:g} parts that are ordered in a year"
            yield InputError(place_of(part.lot_size), f"lots of {part.lot_size.value:g}", write, "lot_over_orders")
    ordered = sum(part.orders_per_y.value for part in inquiry.parts)
    shipped = inquiry.today.parts_per_shift.value * shifts_per_y(inquiry)
    if shipped > SHIPPED_UNSOLD * ordered:
        read = f"{ordered:.0f} parts ordered a year"
        write = f"orders that fit to the {shipped:.0f} parts a year which parts_per_shift comes to, or fewer of those"
        yield InputError(place_of(inquiry.parts[0].orders_per_y), read, write, "shipped_over_orders")


def sizes(inquiry: Inquiry) -> Iterator[InputError]:
    """A machine takes material off: no finished part is larger or heavier than its raw part."""
    for part in inquiry.parts:
        yield from larger(part.finished.length_m, part.raw.length_m, "length")
        yield from larger(part.finished.width_m, part.raw.width_m, "width")
        if part.finished.height_m.id != part.finished.width_m.id:
            yield from larger(part.finished.height_m, part.raw.height_m, "height")
        if written(part.finished_mass_kg) and part.finished_mass_kg.value > part.raw_mass_kg.value:
            read, write = (
                f"finished {part.finished_mass_kg.value:g} kg",
                f"at most the raw {part.raw_mass_kg.value:g} kg",
            )
            yield InputError(place_of(part.finished_mass_kg), read, write, "finished_heavier")


def larger(finished: Fact, raw: Fact, name: str) -> Iterator[InputError]:
    """One measure that grows."""
    if written(finished) and finished.value > raw.value * (1 + 1e-9):
        read, write = f"finished {name} {finished.value * 1000:g} mm", f"at most the raw {raw.value * 1000:g} mm"
        yield InputError(place_of(finished), read, write, "finished_larger")


def operations(inquiry: Inquiry) -> Iterator[InputError]:
    """Times, lots and fixtures of the operations."""
    kinds = {machine.name: machine for machine in inquiry.machines}
    for part in inquiry.parts:
        yield from cycles_over_lot(part)
        for op in part.operations:
            cycles = op.cycles_per_visit.value if op.cycles_per_visit is not None else 1.0
            handling = outside_s(inquiry, op, assumed=False) / cycles
            if written(op.time_is) and op.time_is.value == "floor_to_floor" and op.time_s.value <= handling:
                read = f"floor to floor {op.time_s.value:g} s"
                write = f"a time longer than the {handling:g} s of outside work on one load, or time_is: cycle"
                yield InputError(place_of(op.time_s), read, write, "floor_to_floor_too_short")
            clamping = kinds[op.machine].clamping
            if op.sides.value == "two_vises" and written(op.sides, clamping) and "vise" not in clamping.value:
                write = f"sides: one, or clamping: hand_vise or powered_vise for {op.machine}"
                yield InputError(place_of(op.sides), f"two_vises with {clamping.value}", write, "vises_missing")


def cycles_over_lot(part: Part) -> Iterator[InputError]:
    """One machine cycle makes at most one lot."""
    for op in part.operations:
        if written(op.parts_per_cycle) and op.parts_per_cycle.value > part.lot_size.value:
            read, write = f"{op.parts_per_cycle.value:g} parts per cycle", f"at most the lot of {part.lot_size.value:g}"
            yield InputError(place_of(op.parts_per_cycle), read, write, "cycle_over_lot")


def stands(inquiry: Inquiry) -> Iterator[InputError]:
    """Each machine stands somewhere of its own."""
    counts = {machine.name: machine.count.value for machine in inquiry.machines}
    seen: dict[tuple[float, float], str] = {}
    for stand in inquiry.places:
        spot = (stand.x_m.value, stand.y_m.value)
        if stand.number > counts[stand.machine]:
            write = f"at most {counts[stand.machine]:g} stands for {stand.machine}, one for each"
            yield InputError(place_of(stand.x_m), f"stand {stand.number}", write, "more_stands_than_machines")
        elif spot in seen:
            write = f"a place of its own: {seen[spot]} stands there already"
            yield InputError(place_of(stand.x_m), f"x {spot[0]:g} m, y {spot[1]:g} m", write, "same_stand")
        seen.setdefault(spot, f"{stand.machine} {stand.number}")


def stops(inquiry: Inquiry) -> Iterator[InputError]:
    """A machine runs longer than it stands."""
    for machine in inquiry.machines:
        own = machine.stops
        for takes, every in ((own.short_takes_s, own.short_every_s), (own.long_takes_s, own.long_every_s)):
            if written(takes, every) and takes.value > every.value:
                read, write = (
                    f"{duration(takes.value)} to clear",
                    f"less than the {duration(every.value)} between stops",
                )
                yield InputError(place_of(takes), read, write, "stops_longer_than_runs")


def clock(seconds: float) -> str:
    """Seconds since midnight as a time of day."""
    minutes = round(seconds % DAY_S / 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
