"""A cell written out for the loop: slots of a station, a machine's own buffers and gates as stations of their own.

station with several slots     alike stations side by side: m, m slot 2, ...
own buffer before a machine    a store, m in, out of which the machine takes by itself, and nobody else
own buffer after a machine     a store, m out, into which the machine puts by itself, and nothing else
limited stay with own buffers  one over all of them: from the set-down in the first to the lift out of the last
gate                           the supply, and a sink at its place, s back, which tells it when a part was set down
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise

from millhand.model.cell import Attendant, Cell, CellPart, Step
from millhand.model.duty import Duty, Trigger
from millhand.model.handling import Handling
from millhand.model.station import Station
from millhand.solvers.cycle.chains import chain_of, first_of, goes_on, lies_at, may_come, steps_along
from millhand.solvers.cycle.slots import is_told_in_full, with_stops

Names = dict[str, tuple[str, ...]]
WITH_FIRST = 0  # `every` of what is visited by whichever parts visit the first step of a machine with own buffers


@dataclass(frozen=True, slots=True, kw_only=True)
class Expanded:
    """The cell written out, and what belongs together in it."""

    cell: Cell
    only_to: Mapping[str, str] = field(default_factory=dict)  # a store's or machine's only next station
    back_of: Mapping[str, str] = field(default_factory=dict)  # a gate's supply: the sink at its place
    turnaround_s: Mapping[str, float] = field(default_factory=dict)
    slots: Names = field(default_factory=dict)  # a station of the file: its slots
    in_full: bool = False  # a schedule names each slot and each own buffer
    self_fed: frozenset[str] = frozenset()  # stations of the file to which parts come by themselves
    endless: tuple[str, ...] = ()  # stations of the file whose slots have no end, and stand here by some

    def comes_to(self, part: str, step: int) -> tuple[str, ...]:
        """The stations to which a part comes at a step of its route: not those in which it stays meanwhile."""
        return may_come([each.at for each in self.cell.parts[part].route], step, self.only_to)

    def told(self, part: str, step: int) -> Step:
        """The step that says what becomes of a part at a machine, which may be there over several steps."""
        route = self.cell.parts[part].route
        places = [each.at for each in route]
        first = last = first_of(places, step, self.only_to)
        while last + 1 < len(route) and goes_on(places[last], places[last + 1], self.only_to):
            last += 1
        says = (each for each in route[first : last + 1] if each.good < 1 or each.on_bad or each.uses)
        return next(says, route[step])

    def lies_at(self, part: str, step: int, station: str) -> int:
        """The step at which a part lies that came to a station for a step."""
        return lies_at([each.at for each in self.cell.parts[part].route], step, station, self.only_to)

    def served(self, name: str, *, sets: bool) -> tuple[int, ...]:
        """Where parts for a station of a schedule are set down, or parts of it lifted: the numbers of its slots, of
        their own buffers, or of a gate's sink; one number where the schedule is told in full."""
        if sets and name in self.back_of:
            found = [self.back_of[name]]
        elif self.in_full and name.split(" ")[0] not in self.endless:
            found = self.alike(name)
        elif self.in_full:
            found = list(self.slots[name.split(" ")[0]])
        else:
            end = "in" if sets else "out"
            each = [(slot, f"{slot} {end}") for slot in self.slots.get(name, (name,))]
            found = [buffer if buffer in self.cell.stations else slot for slot, buffer in each]
        names = list(self.cell.stations)
        return tuple(names.index(each) for each in found)

    def alike(self, name: str) -> list[str]:
        """A slot of a station, or one of its own buffers; with those of all its slots where parts come there by
        themselves, for then no schedule says into which of them."""
        station, *words = name.split(" ")
        if station not in self.self_fed:
            return [name]
        end = f" {words[-1]}" if words and words[-1] in ("in", "out") else ""
        return [f"{slot}{end}" for slot in self.slots[station]]


def expanded(cell: Cell) -> Expanded:
    """The cell with every slot, own buffer and gate as a station of its own; the same cell where it has none."""
    if not any(_needs(station) for station in cell.stations.values()):
        return Expanded(cell=cell)
    slots = {name: _slots(name, station) for name, station in cell.stations.items()}
    stations = {each: made for name, station in cell.stations.items() for each, made in _written_out(name, station)}
    written = replace(
        cell,
        stations=stations,
        handling=tuple(_handling(line, cell, slots) for line in cell.handling),
        parts={name: _part(part, cell, slots) for name, part in cell.parts.items()},
        duties={name: _duty(duty, slots) for name, duty in cell.duties.items()},
        attendants={name: _attendant(each, cell, slots) for name, each in cell.attendants.items()},
        changeovers=tuple(replace(each, at=_all(each.at, slots)) for each in cell.changeovers),
        dispatch={name: replace(each, order=_all(each.order, slots)) for name, each in cell.dispatch.items()},
    )
    gates = {name: station for name, station in cell.stations.items() if station.kind == "gate"}
    return Expanded(
        cell=stopped_wholly(written, cell, slots),
        only_to={a: b for name, station in cell.stations.items() for a, b in _pairs(station, slots[name])},
        back_of={name: f"{name} back" for name in gates},
        turnaround_s={name: station.turnaround_s for name, station in gates.items()},
        slots=slots,
        in_full=is_told_in_full(cell),
        self_fed=frozenset(_self_fed(cell)),
    )


def _self_fed(cell: Cell) -> Iterator[str]:
    """The stations to which parts come by themselves."""
    for part in cell.parts.values():
        for before, step in pairwise(part.route):
            comes = any(cell.stations[name].self_out for name in before.at)
            yield from (name for name in step.at if comes or cell.stations[name].self_in)


def _needs(station: Station) -> bool:
    """True where a station has to be written out."""
    several = station.kind == "process" and (station.capacity or 1) > 1
    return several or station.kind == "gate" or station.in_queue != 0 or station.out_queue != 0


def _slots(name: str, station: Station) -> tuple[str, ...]:
    """The names of a station's slots: its own, then numbered ones."""
    count = (station.capacity or 1) if station.kind == "process" else 1
    return (name, *(f"{name} slot {number}" for number in range(2, count + 1)))


def _all(names: tuple[str, ...], slots: Names) -> tuple[str, ...]:
    """Every slot of these stations, in order."""
    return tuple(each for name in names for each in slots[name])


def _written_out(name: str, station: Station) -> Iterator[tuple[str, Station]]:
    """The stations that one station becomes."""
    if station.kind == "gate":
        yield name, replace(station, kind="supply", capacity=None)
        yield f"{name} back", Station(kind="sink", place=station.place, capacity=None)
        return
    if station.kind != "process":
        yield name, station
        return
    store = Station(kind="store", place=station.place)
    for slot in _slots(name, station):
        takes, gives = station.in_queue != 0, station.out_queue != 0
        if takes:
            yield f"{slot} in", replace(store, capacity=station.in_queue, self_in=station.self_in)
        one = replace(station, capacity=station.capacity and 1, in_queue=0, out_queue=0)
        yield slot, replace(one, self_in=takes or station.self_in, self_out=gives or station.self_out)
        if gives:
            yield f"{slot} out", replace(store, capacity=station.out_queue, self_out=station.self_out)


def _pairs(station: Station, slots: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Which store leads only to which slot, and which slot only to which store."""
    for slot in slots if station.kind == "process" else ():
        if station.in_queue != 0:
            yield f"{slot} in", slot
        if station.out_queue != 0:
            yield slot, f"{slot} out"


def _placed_at(name: str, cell: Cell, slots: Names) -> tuple[str, ...]:
    """Where a part for this station is put down."""
    station = cell.stations[name]
    if station.kind == "gate":
        return (f"{name} back",)
    return tuple(f"{slot} in" if station.in_queue != 0 else slot for slot in slots[name])


def _picked_at(name: str, cell: Cell, slots: Names) -> tuple[str, ...]:
    """Where a part of this station is picked up."""
    return tuple(f"{slot} out" if cell.stations[name].out_queue != 0 else slot for slot in slots[name])


def _handling(line: Handling, cell: Cell, slots: Names) -> Handling:
    """The same row at every station that the named ones become."""
    at = (
        *_all(line.at, slots),
        *(x for n in line.at for x in (*_placed_at(n, cell, slots), *_picked_at(n, cell, slots))),
    )
    return replace(line, at=tuple(dict.fromkeys(at)))


def _part(part: CellPart, cell: Cell, slots: Names) -> CellPart:
    """The route with a step for each place of a machine; a gate is the supply at the first step and the sink at the
    last."""
    route: list[Step] = []
    for number, step in enumerate(part.route):
        if number and any(cell.stations[name].kind == "gate" for name in step.at):
            route.append(replace(step, at=tuple(x for n in step.at for x in _placed_at(n, cell, slots))))
            continue
        chains = {slot: chain_of(slot, cell.stations[name]) for name in step.at for slot in slots[name]}
        times = step.times_s and {slot: span for name, span in step.times_s.items() for slot in slots[name]}
        route += steps_along(replace(step, times_s=times), chains, following=1 if step.every == 1 else WITH_FIRST)
    return replace(part, route=tuple(route))


def _duty(duty: Duty, slots: Names) -> Duty:
    """Triggers at every slot of their stations."""

    def everywhere(trigger: Trigger) -> Trigger:
        return replace(trigger, at=_all(trigger.at, slots))

    return replace(duty, trigger=everywhere(duty.trigger), also=duty.also and everywhere(duty.also))


def stopped_wholly(written: Cell, cell: Cell, slots: Names) -> Cell:
    """The cell written out, in which a stop that names a machine or gate stops all that it became."""
    all_of = {
        name: (*slots[name], *([f"{name} back"] if s.kind == "gate" else [])) for name, s in cell.stations.items()
    }
    return with_stops(written, all_of)


def _attendant(each: Attendant, cell: Cell, slots: Names) -> Attendant:
    """What it may take from and put to, at every station that those become."""
    takes = each.take_from and tuple(x for n in each.take_from for x in _picked_at(n, cell, slots))
    puts = each.put_to and tuple(x for n in each.put_to for x in _placed_at(n, cell, slots))
    return replace(each, take_from=takes, put_to=puts)
