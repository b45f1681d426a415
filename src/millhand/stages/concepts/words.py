"""What rules may ask about an inquiry."""

import math

from millhand.model.inquiry import Inquiry
from millhand.model.shop import Shift

SLENDER = 2.0  # a round part longer than so many diameters is held across
LIGHT_KG = 0.9  # held by the strongest adaptive fingers of the class when a fenced arm stops hard (judged)
LONG_M = 0.25  # a longer part has no second one beside it on the table of a usual mill (judged)
THICK_BAR_M = 0.08  # a thicker bar goes through the spindle of few lathes (common practice, no source)
ROW = 3.0  # machines from which on two arms find work apart from each other (judged)
# Machines that together ask for a part less often than so leave one arm with one hand idle: judged, what picking, ways
# and an exchange take at the usual speeds of a fenced arm, and some.
OFTEN_S = 45.0
NAMED = {"inserts": ("insert",), "degating": ("degat", "gate", "sprue", "trim"), "gauging": ("gaug", "measur")}


def inquiry_words(inquiry: Inquiry) -> dict[str, str]:
    """What rules may ask about the inquiry; of the parts the first family counts, of the machines the first kind."""
    part, machine = inquiry.parts[0], inquiry.machines[0]
    count = sum(each.count.value for each in inquiry.machines)
    tended = inquiry.people.machines_per_operator.value
    slender = part.raw.length_m.value > SLENDER * part.raw.width_m.value
    return {
        "kind": machine.kind.value,
        "shape": part.shape.value,
        "material": part.material.value,
        "bore": "none" if part.raw.bore_m is None else "yes",
        "light": "yes" if heaviest_kg(inquiry) <= LIGHT_KG else "no",
        "slender": "yes" if slender else "no",
        "bar": "thick" if part.raw.width_m.value > THICK_BAR_M else "usual",
        "condition": part.condition.value,
        "film": part.film.value,
        "arrives": part.arrives.value,
        "leaves": part.leaves.value,
        "delicate": part.delicate.value,
        "machines": "one" if count == 1 else "several",
        "row": "long" if count >= ROW else "short",
        "asks": "often" if asked_every_s(inquiry) <= OFTEN_S else "seldom",
        "must_move": inquiry.wishes.must_move.value,
        "from_above": "yes" if all(each.inside.from_above.value == "yes" for each in inquiry.machines) else "no",
        "extra": machine.extra.value,
        "clamping": machine.clamping.value.partition("_")[0],
        "door": machine.door.value,
        "spare_machines": "yes" if count > tended else "no",
        "operations": "one" if len(part.operations) == 1 else "several",
        "sides": part.operations[0].sides.value if part.operations[0].passes is None else "lot_by_lot",
        "per_load": "one" if part.operations[0].parts_per_cycle.value <= 1.0 else "several",
        "feeds": "no" if part.operations[0].cycles_per_visit is None else "yes",
        **{word: named_so(inquiry, stems) for word, stems in NAMED.items()},
        "long": "yes" if max(part.raw.length_m.value, part.raw.width_m.value) > LONG_M else "no",
        "lots": "one" if part.families.value <= 1.0 else "several",
        "changes": "often" if within_a_shift(inquiry) else "seldom",
        **people_words(inquiry),
    }


def asked_every_s(inquiry: Inquiry) -> float:
    """How often the machines of the quickest operation together ask for a part while they cut."""
    counts = {machine.name: machine.count.value for machine in inquiry.machines}
    return min(
        each.time_s.value / (each.parts_per_cycle.value * counts[each.machine]) for each in inquiry.parts[0].operations
    )


def within_a_shift(inquiry: Inquiry) -> bool:
    """Whether one family follows another within a shift: several of them, in lots no larger than what a shift makes."""
    part = inquiry.parts[0]
    return part.families.value > 1.0 and part.lot_size.value <= inquiry.today.parts_per_shift.value


def heaviest_kg(inquiry: Inquiry) -> float:
    """The heaviest part of all families, raw or finished."""
    return max(max(each.raw_mass_kg.value, each.finished_mass_kg.value) for each in inquiry.parts)


def named_so(inquiry: Inquiry, stems: tuple[str, ...]) -> str:
    """Whether the name of an element of today's work begins a word with one of these."""
    names = (f"_{each.name}" for each in inquiry.today.elements)
    return "yes" if any(f"_{stem}" in name for name in names for stem in stems) else "no"


def people_words(inquiry: Inquiry) -> dict[str, str]:
    """What rules may ask about the people and their hours."""
    manned = [shift for shift in inquiry.shifts if shift.manned.value == "yes"]
    late = max(manned, key=lambda shift: shift.start_s.value + shift.length_s.value, default=None)
    several_late = late is not None and late.operators.value > 1.0
    return {
        "operators": "one" if inquiry.people.operators.value <= 1.0 else "several",
        "breaks": "yes" if any(shift.breaks for shift in manned) else "no",
        "own_machines": own_machines(inquiry, manned),
        "break_cover": inquiry.people.break_cover.value,
        "shifts": "one" if len(manned) == 1 else "several",
        "late_heads": "several" if several_late else "one",
    }


def own_machines(inquiry: Inquiry, manned: list[Shift]) -> str:
    """Whether each operator has machines of his own: where they and the shifts come out even, as in today's cell."""
    people, machines = inquiry.people, sum(round(each.count.value) for each in inquiry.machines)
    heads = {max(1, math.ceil(shift.operators.value)) for shift in manned}
    even = heads == {machines / max(1, round(people.machines_per_operator.value))}
    own = people.tend.value == "own" and people.break_cover.value != "each_other"
    return "yes" if own and even and len(inquiry.parts[0].operations) == 1 else "no"
