"""A part that comes to the same machines several times, lot by lot: its operations there as one, in their mean.

A whole lot is machined on its first side, the machines are changed over, and the lot is laid in again for the next: on
each machine one pass of a part follows the other, and none of them is done twice as often. What is laid in is then a
piece, and a finished part is so many of them. Each phase of a lot is kept beside the mean, with the times of its own.
"""

from collections.abc import Sequence
from dataclasses import replace

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.machine import Machine
from millhand.model.part import ManualElement, Operation, Part, Phase
from millhand.model.route import comes_again, unlike
from millhand.trace import Sheet, apply


def lotwise(inquiry: Inquiry) -> Inquiry:
    """The inquiry with the operations of a part that all are on the same machines as one; else, and where
    they differ in more than their times, as it was."""
    part = inquiry.parts[0]
    if not comes_again(part) or unlike(part.operations):
        return inquiry
    name = "_and_".join(each.name for each in part.operations)
    sheet, base = Sheet(), f"parts.{part.name}.{name}"
    once = merged(part.operations, name, base, sheet)
    once = replace(once, phases=tuple(phase_of(inquiry, each, once, sheet) for each in part.operations))
    count = len(part.operations)
    own = replace(
        part,
        operations=(once,),
        lot_size=apply(sheet, "between_calls_parts", f"{base}.lot_size", each_parts=(part.lot_size,) * count),
        families=apply(sheet, "count_of_all", f"{base}.families", counts=(part.families,) * count),
    )
    elements = elements_of(inquiry, part, once, sheet)
    today, machines = replace(inquiry.today, elements=elements), chips_in_parts(inquiry, once, sheet)
    return replace(inquiry, parts=(own, *inquiry.parts[1:]), today=today, machines=machines)


def merged(operations: Sequence[Operation], name: str, base: str, sheet: Sheet) -> Operation:
    """One operation for all of them: a mean time, all that is scrapped, and the calls of all."""
    first = operations[0]
    passes = Fact(
        id=f"{base}.passes", value=float(len(operations)), unit="1", basis="computed",
        source=f"follows from {', '.join(each.time_s.source for each in operations)}",
    )  # fmt: skip
    sheet.add(passes)
    return replace(
        first,
        name=name,
        time_s=apply(sheet, "mean_time_s", f"{base}.time", times_s=tuple(each.time_s for each in operations)),
        good=apply(sheet, "joint_good_share", f"{base}.good", good_shares=tuple(each.good for each in operations)),
        gauge_every=apply(
            sheet, "between_calls_parts", f"{base}.gauge_every", each_parts=tuple(op.gauge_every for op in operations)
        ),
        tool_life_parts=apply(
            sheet, "between_calls_parts", f"{base}.tool_life", each_parts=tuple(op.tool_life_parts for op in operations)
        ),
        passes=passes,
    )


def phase_of(inquiry: Inquiry, operation: Operation, once: Operation, sheet: Sheet) -> Phase:
    """One operation as if the machines did nothing else: what it calls for told in finished parts, as in the mean."""
    assert once.passes is not None
    base = f"parts.{inquiry.parts[0].name}.{operation.name}.phase"
    gauged, life = (
        apply(sheet, "finished_in_pieces", f"{base}.{name}", pieces=each, passes=once.passes)
        for name, each in (("gauge_every", operation.gauge_every), ("tool_life", operation.tool_life_parts))
    )
    return Phase(
        operation=replace(operation, passes=once.passes, gauge_every=gauged, tool_life_parts=life),
        elements=tuple(each for each in inquiry.today.elements if each.operation in (None, operation.name)),
    )


def in_phase(inquiry: Inquiry, phase: Phase) -> Inquiry:
    """The inquiry while all of a lot is in one phase; what belongs to a lot or a finished part stays."""
    part = replace(inquiry.parts[0], operations=(phase.operation,))
    return replace(inquiry, parts=(part, *inquiry.parts[1:]), today=replace(inquiry.today, elements=phase.elements))


def chips_in_parts(inquiry: Inquiry, once: Operation, sheet: Sheet) -> tuple[Machine, ...]:
    """The machines, with how many finished parts fill the chip box: it is told in pieces cut, one each pass."""
    assert once.passes is not None
    full = {
        each.name: apply(sheet, "finished_in_pieces", f"{once.passes.id}.chips_until_{each.name}",
                         pieces=each.chip_limit_parts, passes=once.passes)
        for each in inquiry.machines if each.name == once.machine
    }  # fmt: skip
    return tuple(
        replace(each, chip_limit_parts=full.get(each.name, each.chip_limit_parts)) for each in inquiry.machines
    )


def elements_of(inquiry: Inquiry, part: Part, once: Operation, sheet: Sheet) -> tuple[ManualElement, ...]:
    """Today's elements of a mean load: what belongs to one pass alone comes so much more seldom."""
    assert once.passes is not None
    own, found = {each.name for each in part.operations}, []
    for number, each in enumerate(inquiry.today.elements, start=1):
        if each.operation in own:
            every_n = apply(
                sheet, "of_all_passes", f"today.elements.{number}_{each.name}.every_n_of_all",
                each=each.every_n, passes=once.passes,
            )  # fmt: skip
            each = replace(each, operation=once.name, every_n=every_n)
        found.append(each)
    return tuple(found)
