"""Ways of a part that no study can follow yet: refused where the file is read, with what to write in their place."""

from collections.abc import Iterator

from millhand.errors import InputError
from millhand.intake.inquiry_sums import place_of, written
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.odd import Odd
from millhand.model.part import Operation, Part
from millhand.model.route import comes_again, unlike

APART = {
    "parts_per_cycle": "the same parts_per_cycle in all of them",
    "time_is": "the same time_is in all of them",
    "sides": "the same sides in all of them",
}


def routes(inquiry: Inquiry) -> Iterator[InputError]:
    """Operations of the part that is worked out (the first) which do not go together on one way."""
    part = inquiry.parts[0] if inquiry.parts else None
    if part is None or len(part.operations) < 2:
        return
    if comes_again(part):
        yield from passes(inquiry, part)
        return
    machines = {machine.name: machine for machine in inquiry.machines}
    for number, one in enumerate(part.operations):
        before = next((each for each in part.operations[:number] if each.machine == one.machine), None)
        if before is not None:
            yield back_again(machines[one.machine], before, one)
        else:
            yield from in_line(part, machines[one.machine], one)


def passes(inquiry: Inquiry, part: Part) -> Iterator[InputError]:
    """Passes of a lot over the same machines that differ in more than their times."""
    what = unlike(part.operations)
    if not what:
        return
    machine = next(each for each in inquiry.machines if each.name == part.operations[0].machine)
    names = " and ".join(each.name for each in part.operations)
    same = APART.get(what, f"no {what} there")
    read = f"{names} on {machine.name}, which differ in {what}" if what in APART else f"{names} with {what}"
    yield InputError(place_of(part.operations[-1].time_s), read, f"{same}, or {instead(machine)}", "unlike_passes")


def back_again(machine: Machine, before: Operation, one: Operation) -> InputError:
    """A part that goes elsewhere in between and comes back."""
    read = f"{one.name} on {machine.name}, where {before.name} was, and another machine in between"
    return InputError(place_of(one.time_s), read, instead(machine), "back_again")


def instead(machine: Machine) -> str:
    """How to write it so that it can be worked out."""
    if machine.count.value >= 2.0:
        return (
            f"a machine of its own name for each operation, the {machine.count.value:g} of {machine.name} divided "
            "among them"
        )
    return (
        "an inquiry for each operation with its share of the hours, or one operation with sides: two_vises and the "
        "time of both where both are exchanged in one door opening"
    )


def in_line(part: Part, machine: Machine, one: Operation) -> Iterator[InputError]:
    """What a machine in a line with others cannot be."""
    first = part.operations[0]
    if machine.kind.value == "moulding":
        write = "an inquiry for the moulding and one for what comes after it"
        yield InputError(place_of(one.time_s), f"moulding in a line with other operations ({one.name})", write, "line")
    elif one.cycles_per_visit is not None:
        write = "no bar and no cycles_per_visit there (each part is then a visit), or an inquiry for each operation"
        yield InputError(place_of(one.time_s), f"{one.name}, which feeds itself, in a line with others", write, "line")
    elif one.parts_per_cycle.value != first.parts_per_cycle.value:
        read = f"{one.parts_per_cycle.value:g} parts per cycle, and {first.parts_per_cycle.value:g} in {first.name}"
        write = "as many in both, with the time of so many, or an inquiry for each operation"
        yield InputError(place_of(one.parts_per_cycle if written(one.parts_per_cycle) else one.time_s), read, write,
                         "line")  # fmt: skip


def lot_by_lot(inquiry: Inquiry) -> Iterator[Odd]:
    """Which reading a part that comes to the same machines again is given, and how to write another."""
    part = inquiry.parts[0]
    if not comes_again(part):
        return
    machine = next(each for each in inquiry.machines if each.name == part.operations[0].machine)
    names = " and ".join(each.name for each in part.operations)
    where = machine.name if machine.count.value < 2.0 else f"the {machine.count.value:g} of {machine.name}"
    other = (
        "If each of these machines does one operation alone, write them as machines of their own names."
        if machine.count.value >= 2.0
        else "If both sides sit in two vises and are exchanged in one door opening, write one operation with "
        "sides: two_vises."
    )
    words = (
        f"{part.name} comes to {where} for {names}: counted lot by lot, because all of them are written on the same "
        f"machines. A whole lot is machined in {part.operations[0].name}, the machines are set up anew, and the lot is "
        f"turned over by hand as it is laid in for the next. {other} Is it done lot by lot?"
    )
    facts = (*(each.time_s.id for each in part.operations), part.lot_size.id, machine.count.id)
    yield Odd(code="lot_by_lot", words=words, facts=facts)
