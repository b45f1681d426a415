"""Each machine by itself in a schedule: its loads, how much of the time it works, and what it waits for.

A machine that could make more alone but shares its attendant with a slower one is named with the slower one; limits of
stays are held against every machine on its own, never on average.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import fmean

from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import load_of, station_steps
from millhand.solvers.cycle.lanes import lanes
from millhand.solvers.cycle.pictures.motions import visits_of
from millhand.solvers.cycle.pictures.stayed import Stayed, stays
from millhand.solvers.cycle.setters import Pace, pace_of
from millhand.solvers.cycle.slots import slots_of
from millhand.solvers.cycle.steady import steady

SMALL = 0.005  # a wait below this share of a machine's own load is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """One machine over one period, in grid steps; shares are of its slots' whole time."""

    name: str
    loads: int
    batch: int  # parts of one load
    slots: int
    works: float  # share
    hands: float  # share
    stands: float  # share: done, empty or short of its load; its opening and what an exchange leaves empty included
    own_steps: float  # what one load binds a slot for, if somebody were always there
    period_steps: int
    slack_steps: int | None  # of the limited stays: the least time left to the limit; None without a limit
    late: int  # stays beyond their limit

    @property
    def part_steps(self) -> float:
        """What one part binds it for, shared by all parts that it holds."""
        return self.own_steps / (self.slots * self.batch)

    @property
    def wait_steps(self) -> float:
        """What it waits for each load, beyond its own time."""
        return max(0.0, self.period_steps * self.slots / self.loads - self.own_steps)

    def alone_per_h(self, grid_s: float) -> float:
        """Loads an hour with an attendant of its own."""
        return 3600.0 * self.slots / (self.own_steps * grid_s) if self.own_steps else float("inf")

    def here_per_h(self, grid_s: float) -> float:
        """Loads an hour in the schedule."""
        return 3600.0 * self.loads / (self.period_steps * grid_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dragged:
    """A machine kept below its own pace: by which attendants, and with which slower machines those keep pace; without
    any, what else their round waits for (nothing: they have no time left themselves)."""

    machine: Machine
    attendants: tuple[str, ...]
    slower: tuple[str, ...]
    beside: tuple[str, ...] = ()


def machines(cell: Cell, schedule: Schedule) -> tuple[Machine, ...]:
    """The machines that work in a schedule, in the order of the cell."""
    if schedule.period_steps <= 0:
        return ()
    all_stays = stays(schedule)
    named = {stay.station for stay in all_stays}
    return tuple(
        machine_of(
            cell,
            schedule,
            name,
            [replace(stay, station=name) for stay in all_stays if stay.station in slots_of(name, station)],
        )
        for name, station in cell.stations.items()
        if name in named
    )


def left_idle(cell: Cell, schedule: Schedule) -> tuple[str, ...]:
    """The machines that a schedule does without, because others at the same steps do all the work."""
    used = {each.name for each in machines(cell, schedule)}
    steps = [step.at for part in cell.parts.values() for step in part.route if used & set(step.at)]
    spared = {name for names in steps for name in names if cell.stations[name].kind == "process"} - used
    return tuple(name for name in cell.stations if name in spared and cell.stations[name].capacity != 0)


def machine_of(cell: Cell, schedule: Schedule, name: str, own: Sequence[Stayed]) -> Machine:
    """One machine, from its lanes and its stays."""
    names = slots_of(name, cell.stations[name])
    rows = [lane for lane in lanes(schedule) if lane.owner == "station" and is_row_of(lane.name, names)]
    spent: dict[str, int] = {}
    for each in (stretch for lane in rows for stretch in lane.stretches):
        spent[each.state] = spent.get(each.state, 0) + each.end - each.start
    slots, station = len(rows), cell.stations[name]
    if station.in_queue != 0 or station.out_queue != 0:  # hands are on its buffers, and parts wait there
        slots = min(slots, (station.capacity or slots) * station.batch)
        spent = {"working": spent.get("working", 0), "empty": slots * schedule.period_steps - spent.get("working", 0)}
    whole = slots * schedule.period_steps
    batch = station.batch  # a lane shows one part, so each slot has a lane for every part of its load
    load = load_of(cell, steady(cell), plain=True)
    times = [station_steps(load, (stay.part, step_of(cell, stay)), name) for stay in own]
    left = [limit - (stay.lift[0] - stay.placed) for stay in own
            if (limit := limit_steps(cell, stay)) is not None and stay.lift and stay.placed is not None]  # fmt: skip
    return Machine(
        name=name,
        loads=len(own) // batch,
        batch=batch,
        slots=-(-slots // batch),
        works=spent.get("working", 0) / whole,
        hands=spent.get("handled", 0) / whole,
        stands=sum(spent.get(state, 0) for state in ("done", "empty", "waiting")) / whole,
        own_steps=fmean(times) * batch,
        period_steps=schedule.period_steps,
        slack_steps=min(left, default=None),
        late=sum(each < 0 for each in left),
    )


def is_row_of(lane: str, slots: Sequence[str]) -> bool:
    """Whether a lane is one of a machine's slots; several lanes of one name are numbered."""
    return any(
        lane == slot or (lane.startswith(f"{slot} ") and lane.removeprefix(f"{slot} ").isdigit()) for slot in slots
    )


def step_of(cell: Cell, stay: Stayed) -> int:
    """Which step of its part's route a stay is: where a station has several, the one whose time fits."""
    route = cell.parts[stay.part].route
    steps = [index for index, step in enumerate(route) if stay.station in step.at]
    times = steady(cell).routes[stay.part]
    worked = stay.finish - stay.start
    return min(steps, key=lambda index: abs(times[index].time_steps(stay.station) - worked))


def limit_steps(cell: Cell, stay: Stayed) -> int | None:
    """The longest stay that is allowed, in grid steps."""
    return steady(cell).routes[stay.part][step_of(cell, stay)].stay_max_steps


def dragged(cell: Cell, schedule: Schedule) -> Iterator[Dragged]:
    """The machines that an attendant keeps below their own pace, because it goes round at the pace of a slower one."""
    pace = pace_of(cell, schedule)
    if pace is None:
        return
    found = machines(cell, schedule)
    for machine in found:
        if (
            machine.wait_steps <= SMALL * machine.own_steps
            or not machine.own_steps
            or not has_rivals(cell, machine.name)
        ):
            continue
        who = servers(schedule, machine.name)
        slower = tuple(name for name in slower_ones(pace, found, machine) if not in_line(cell, machine.name, name))
        theirs = tuple(name for name in slower if set(servers(schedule, name)) & set(who))
        busy = [each for each in pace.setters if each.name in who]
        if who and (theirs or busy):
            beside = tuple(dict.fromkeys(name for each in busy for name in each.beside if name != machine.name))
            yield Dragged(machine=machine, attendants=who, slower=theirs, beside=beside)


def slower_ones(pace: Pace, found: Sequence[Machine], machine: Machine) -> Iterator[str]:
    """Machines that set the pace and whose own load is longer."""
    setters = {each.name for each in pace.setters} | {name for each in pace.setters for name in each.beside}
    for other in found:
        if other.name in setters and other.part_steps > machine.part_steps:
            yield other.name


def servers(schedule: Schedule, station: str) -> tuple[str, ...]:
    """The attendants that visit a station in a schedule."""
    everybody = dict.fromkeys(event.attendant for event in schedule.events if event.attendant)
    return tuple(
        who for who in everybody if any(own_name(visit.station) == station for visit in visits_of(schedule, who))
    )


def own_name(station: str) -> str:
    """The machine that a slot or a buffer belongs to by its name."""
    return station.partition(" ")[0]


def has_rivals(cell: Cell, station: str) -> bool:
    """Whether other machines could make up for what a machine does not do: alternatives, or other types of part."""
    return len(cell.parts) > 1 or any(
        station in step.at and len(step.at) > 1 for part in cell.parts.values() for step in part.route
    )


def in_line(cell: Cell, one: str, other: str) -> bool:
    """Whether parts pass both, one after the other: then the slower one sets the pace of both in any case."""
    return any(
        one in first.at and other in second.at
        for part in cell.parts.values()
        for first in part.route
        for second in part.route
        if first is not second
    )
