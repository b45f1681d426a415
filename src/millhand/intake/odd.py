"""What is possible and odd, as questions in words: the file can be used, and somebody should ask."""

from collections.abc import Iterator, Mapping

from millhand.intake.clashes import clashes
from millhand.intake.feeding_clashes import feeder_in_line, place_in_line, window_by_chance
from millhand.intake.inquiry_sums import (
    HOUR_S,
    asked_s,
    loading_s,
    machine_count,
    manned,
    operations_at,
    outside_s,
    present_s,
    setups_s,
    shifts_per_y,
    written,
)
from millhand.intake.mesh_odd import odd_mesh
from millhand.intake.route_clashes import lot_by_lot
from millhand.intake.solid_odd import odd_solid
from millhand.intake.text import duration
from millhand.intake.today_held import FAR, MORE_THAN_MADE, likely
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.odd import Odd

FULL, IDLE = 0.97, 0.55  # share of the present machine hours: above and below is asked about
SHIPPED_UNSOLD, SHIPPED_ODD = 2.0, 1.1  # parts shipped a year for each part ordered


FEEDING = (window_by_chance, place_in_line, feeder_in_line, lot_by_lot)


def oddities(inquiry: Inquiry, densities: Mapping[str, float]) -> tuple[Odd, ...]:
    """Figures that do not go together first, then what is only unusual. densities: of materials by their words."""
    checks = (clashes, odd_load, odd_handling, odd_orders, odd_people, odd_hours, *FEEDING, odd_mesh)
    told = (odd for check in checks for odd in check(inquiry))
    return (*told, *odd_solid(inquiry, densities), *unsaid(inquiry))


def odd(code: str, words: str, *facts: Fact | Choice) -> Odd:
    """A question about these facts."""
    return Odd(code=code, words=words, facts=tuple(dict.fromkeys(fact.id for fact in facts)))


def odd_load(inquiry: Inquiry) -> Iterator[Odd]:
    """Machines that are busier or idler than they are in common shops."""
    there = present_s(inquiry)
    used = {operation.machine for part in inquiry.parts for operation in part.operations}
    shipped, likeliest = inquiry.today.parts_per_shift, likely(inquiry)
    for machine in inquiry.machines:
        offered = machine.count.value * there
        if machine.name not in used:
            words = f"{machine.name}: no part has an operation there, so it is left out of all figures."
            yield odd("unused_machine", f"{words} Does a part go there?", machine.count)
            continue
        load, used_share = asked_s(inquiry, machine) / offered, used_s(inquiry, machine) / offered
        if load > FULL:
            words = f"{machine.name}: parts shipped x time fill {load:.0%} of the hours present."
            asked = "Is the time one machine cycle, and are all hours there?"
            yield odd("machines_full", f"{words} {asked}", shipped, machine.count)
        elif likeliest is not None and likeliest.machine == machine.name and likeliest.told > FAR * likeliest.made:
            words = (
                f"{machine.name}: {likeliest.told:g} parts a shift are shipped, and its times with loading and stops "
                f"let through {likeliest.made:.0f}, before anybody waits for another. {MORE_THAN_MADE}"
            )
            asked = "Are the output, the times of one cycle and the number of machines right?"
            times = (operation.time_s for _, operation in operations_at(inquiry, machine))
            yield odd("output_over_times", f"{words} {asked}", shipped, *times, machine.count, *likeliest.assumed)
        elif used_share < IDLE:
            words = (
                f"{machine.name}: parts shipped x time, loading and set-ups fill only {used_share:.0%} of the hours "
                "present."
            )
            asked = "What else runs there, does one cycle make several parts, or is there no work?"
            yield odd("machines_idle", f"{words} {asked}", shipped, machine.count)


def used_s(inquiry: Inquiry, machine: Machine) -> float:
    """Time of a shift in which the machines of one kind run, are loaded or are set up."""
    return asked_s(inquiry, machine) + loading_s(inquiry, machine) + setups_s(inquiry, machine)


def odd_handling(inquiry: Inquiry) -> Iterator[Odd]:
    """A time from floor to floor that leaves nothing for cutting once the assumed loading is taken off."""
    for part in inquiry.parts:
        for op in part.operations:
            cycles = op.cycles_per_visit.value if op.cycles_per_visit is not None else 1.0
            handling = outside_s(inquiry, op) / cycles
            if op.time_is.value == "floor_to_floor" and op.time_s.value <= handling:
                words = (
                    f"{part.name}, {op.name}: {op.time_s.value:g} s from floor to floor, and loading by hand is taken "
                    f"to be {handling:g} s of it. How long does the machine cut, and how long does loading take?"
                )
                yield odd("nothing_left_to_cut", words, op.time_s)


def odd_orders(inquiry: Inquiry) -> Iterator[Odd]:
    """Shipments well above or below the orders."""
    facts = (inquiry.today.parts_per_shift, *(part.orders_per_y for part in inquiry.parts))
    ordered = sum(part.orders_per_y.value for part in inquiry.parts)
    shipped = inquiry.today.parts_per_shift.value * shifts_per_y(inquiry)
    if shipped > SHIPPED_ODD * ordered:
        words = f"{shipped:.0f} parts a year are shipped and {ordered:.0f} are ordered. Who takes the rest?"
        yield odd("shipped_over_orders", words, *facts)
    elif ordered > SHIPPED_UNSOLD * shipped:
        words = f"{ordered:.0f} parts a year are ordered and {shipped:.0f} are shipped. Where do the others come from?"
        yield odd("orders_over_shipped", words, *facts)


def odd_people(inquiry: Inquiry) -> Iterator[Odd]:
    """Heads and freed hours that do not go together."""
    people, machines = inquiry.people, machine_count(inquiry)
    heads, tended = people.operators, people.machines_per_operator
    if written(heads) and heads.value > machines:
        yield odd("many_heads", f"{heads.value:g} operators at {machines:g} machines. What else do they do?", heads)
    if written(tended) and tended.value > machines:
        words = f"One operator tends {tended.value:g} machines, and {machines:g} stand here."
        yield odd("other_machines", f"{words} Which others does he tend?", tended)
    if written(people.freed_use, people.share_usable) and people.freed_use.value == "none" and (
        people.share_usable.value > 0.3
    ):  # fmt: skip
        words = f"Nothing is planned for freed hours, and {people.share_usable.value:.0%} of them count."
        yield odd("freed_for_nothing", f"{words} Who uses them?", people.share_usable, people.freed_use)


def odd_hours(inquiry: Inquiry) -> Iterator[Odd]:
    """Times so far from a day's work that a unit may be wrong."""
    for shift in manned(inquiry):
        if shift.length_s.value > 13 * HOUR_S:
            words = f"The shift {shift.name} lasts {duration(shift.length_s.value)}. Does one crew stay that long?"
            yield odd("long_shift", words, shift.length_s)


def unsaid(inquiry: Inquiry) -> Iterator[Odd]:
    """Words that are no facts and still decide which assumptions count."""
    wide = {"on-cost": inquiry.people.on_cost, "work days": inquiry.shop.work_days_per_y}
    assumed = [name for name, fact in wide.items() if fact.basis == "assumed"]
    if assumed and not inquiry.shop.country:
        span = f"{' and '.join(assumed)} {'span' if assumed != ['on-cost'] else 'spans'} several countries"
        words = f"shop.country is not said: {span}. Where does the shop stand?"
        yield odd("no_country", words)
