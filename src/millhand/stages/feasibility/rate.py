"""The pace of a concept without queues and stops: what its machines ask for and what its attendant gives."""

from millhand.model.fact import Fact
from millhand.model.machine import Machine
from millhand.stages.feasibility.asked import Asked, operations
from millhand.trace import apply


def groups(asked: Asked) -> tuple[Machine, ...]:
    """The kinds of machines that the part visits."""
    visited = {operation.machine for operation, _ in operations(asked)}
    return tuple(machine for machine in asked.inquiry.machines if machine.name in visited)


def machine_time(asked: Asked, machine: Machine) -> Fact:
    """Time that one machine of a kind gives to a part, over all operations that the part has there."""
    sheet = asked.sheet
    here = [timing for operation, timing in operations(asked) if operation.machine == machine.name]
    return apply(
        sheet, "machine_time_per_part_s", asked.id(f"pace.{machine.name}"),
        processes_s=tuple(sheet[timing.whole_run] for timing in here),
        gaps_s=tuple(sheet[timing.gap] for timing in here),
        parts_per_load=tuple(sheet[timing.parts_per_load] for timing in here),
    )  # fmt: skip


def machines_time(asked: Asked) -> Fact:
    """Time between two parts when the machines set the pace."""
    found = groups(asked)
    return apply(
        asked.sheet, "machines_time_per_part_s", asked.id("pace.machines"),
        times_s=tuple(machine_time(asked, machine) for machine in found),
        machines=tuple(machine.count for machine in found),
    )  # fmt: skip


def attendant_time(asked: Asked) -> Fact:
    """Time between two parts when the attendant sets the pace; two arms share the work evenly at best."""
    sheet, here, sharing = asked.sheet, [timing for _, timing in operations(asked)], asked.concept.sharing
    work = {
        "works_s": tuple(sheet[timing.work] for timing in here),
        "parts_per_load": tuple(sheet[timing.parts_per_load] for timing in here),
    }
    if sharing is None:
        return apply(sheet, "attendant_time_per_part_s", asked.id("pace.attendant"), **work)
    whole = apply(sheet, "attendant_time_per_part_s", asked.id("pace.both_arms"), **work)
    return apply(
        sheet, "shared_time_per_part_s", asked.id("pace.attendant"), time_s=whole, attendants=sharing.figures["arms"]
    )


def rate(asked: Asked) -> Fact:
    """Parts an hour with one attendant."""
    return apply(
        asked.sheet, "steady_rate_parts_per_h", asked.id("pace.rate"),
        machines_s=machines_time(asked), attendant_s=attendant_time(asked),
    )  # fmt: skip


def rate_of_a_person(asked: Asked) -> Fact:
    """Parts an hour that pass one person's hands, on the machines of the quickest operation."""
    tended = asked.inquiry.people.machines_per_operator
    quickest = min((machine_time(asked, machine) for machine in groups(asked)), key=lambda fact: fact.value)
    machines = apply(
        asked.sheet, "machines_time_per_part_s", asked.id("pace.tended"), times_s=(quickest,), machines=(tended,)
    )
    return apply(
        asked.sheet, "steady_rate_parts_per_h", asked.id("pace.person_rate"),
        machines_s=machines, attendant_s=attendant_time(asked),
    )  # fmt: skip
