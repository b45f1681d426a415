"""Machines with several slots or loads beside buffers of their own: each slot a machine, with buffers of its own.

A cell with such a machine is scheduled, told and checked with every slot by its own name, `m`, `m slot 2` and so on,
and with what lies in a buffer at `m in` or `m slot 2 out`. Several slots are alike machines side by side, so that says
the same; and which of them a part is in is then no question of what came first.
"""

from dataclasses import replace

from millhand.model.cell import Attendant, Cell, CellPart, Step
from millhand.model.duty import Duty
from millhand.model.station import Station
from millhand.solvers.cycle.chains import chain_of, is_mixed

Slots = dict[str, tuple[str, ...]]


def is_told_in_full(cell: Cell) -> bool:
    """Whether some machine has loads or buffers beside several slots, or loads beside buffers; or has several slots and
    serves a step beside others with other buffers, or is changed over between lots."""
    if any(is_manifold(station) for station in cell.stations.values()):
        return True
    changed = [name for change in cell.changeovers for name in change.at] if cell.goal == "makespan" else []
    if any(has_slots(cell.stations[name]) for name in changed):
        return True
    steps = (step for part in cell.parts.values() for step in part.route)
    return any(is_mixed_step(step, cell) and any(has_slots(cell.stations[name]) for name in step.at) for step in steps)


def is_mixed_step(step: Step, cell: Cell) -> bool:
    """Whether of the machines of a step some have a buffer where others have none."""
    return is_mixed({name: chain_of(name, cell.stations[name]) for name in step.at})


def has_slots(station: Station) -> bool:
    """Whether a machine has several slots, by number."""
    return station.kind == "process" and station.capacity not in (None, 1)


def is_manifold(station: Station) -> bool:
    """Whether a machine has more than one of: slots, loads of several parts, buffers."""
    buffers = station.in_queue != 0 or station.out_queue != 0
    return station.kind == "process" and (station.capacity not in (None, 1), station.batch > 1, buffers).count(True) > 1


def slots_of(name: str, station: Station) -> tuple[str, ...]:
    """The names of a machine's slots: its own, then numbered ones."""
    count = station.capacity or 1 if station.kind == "process" else 1
    return (name, *(f"{name} slot {number}" for number in range(2, count + 1)))


def with_slots(cell: Cell) -> Cell:
    """The cell with each slot as a machine of its own, where it is told in full; else the same cell."""
    if not is_told_in_full(cell):
        return cell
    slots = {name: slots_of(name, station) for name, station in cell.stations.items()}
    written = replace(
        cell,
        stations={
            each: replace(station, capacity=1) if len(slots[name]) > 1 else station
            for name, station in cell.stations.items()
            for each in slots[name]
        },
        handling=tuple(replace(row, at=all_of(row.at, slots)) for row in cell.handling),
        parts={name: through_slots(part, slots) for name, part in cell.parts.items()},
        duties={name: called_by_slots(duty, slots) for name, duty in cell.duties.items()},
        attendants={name: reaching_slots(each, slots) for name, each in cell.attendants.items()},
        changeovers=tuple(replace(each, at=all_of(each.at, slots)) for each in cell.changeovers),
        dispatch={name: replace(each, order=all_of(each.order, slots)) for name, each in cell.dispatch.items()},
    )
    return with_stops(written, slots)


def all_of(names: tuple[str, ...], slots: Slots) -> tuple[str, ...]:
    """Every slot of these stations, in order."""
    return tuple(each for name in names for each in slots.get(name, (name,)))


def through_slots(part: CellPart, slots: Slots) -> CellPart:
    """A route over every slot of its machines."""
    return replace(part, route=tuple(step_at_slots(step, slots) for step in part.route))


def step_at_slots(step: Step, slots: Slots) -> Step:
    """A step with the slots as alternatives, each with the time of its machine."""
    times = step.times_s and {each: span for name, span in step.times_s.items() for each in slots.get(name, (name,))}
    return replace(step, at=all_of(step.at, slots), times_s=times)


def called_by_slots(duty: Duty, slots: Slots) -> Duty:
    """A duty that every slot of its machines calls."""
    also = duty.also and replace(duty.also, at=all_of(duty.also.at, slots))
    return replace(duty, trigger=replace(duty.trigger, at=all_of(duty.trigger.at, slots)), also=also)


def reaching_slots(attendant: Attendant, slots: Slots) -> Attendant:
    """An attendant that takes from and puts to every slot of its stations."""
    takes = attendant.take_from and all_of(attendant.take_from, slots)
    puts = attendant.put_to and all_of(attendant.put_to, slots)
    return replace(attendant, take_from=takes, put_to=puts)


def with_stops(cell: Cell, whole: Slots) -> Cell:
    """A cell written out, in which a stop that names a station of the file stops all that this became."""
    return replace(
        cell,
        stations={
            name: replace(each, faults=tuple(replace(fault, stops=all_of(fault.stops, whole)) for fault in each.faults))
            for name, each in cell.stations.items()
        },
        attendants={
            name: replace(each, faults=tuple(replace(fault, stops=all_of(fault.stops, whole)) for fault in each.faults))
            for name, each in cell.attendants.items()
        },
    )
