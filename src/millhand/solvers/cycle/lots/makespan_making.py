"""A plan for lots in the making: what is where at a moment, and what becomes of it when a part is moved."""

from dataclasses import dataclass, field
from typing import Literal

from millhand.solvers.cycle.lots.makespan_loads import alike, even_load, fills_loads
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots, SetUp, Way
from millhand.solvers.cycle.lots.makespan_plan import Carried, Changed, Visit

Rule = Literal["soonest", "latest step", "most left"]
Link = tuple[Hop, Carried]


@dataclass(slots=True, kw_only=True)
class Room:
    """What a station is at a moment of the making: who is in it, and when it is free again."""

    inside: list[int] = field(default_factory=list)
    load: tuple[int, int] | None = None  # the load that is being filled or worked on: first part, step
    came: int = 0
    clear: int = 0  # when what was in it is out
    family: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A transfer that could be made next."""

    hop: Hop
    way: Way
    lift: int
    change: Changed | None = None
    links: tuple[Link, ...] = ()  # of a chain of exchanges: all its transfers


@dataclass(slots=True, kw_only=True)
class Making:
    """A plan in the making."""

    lots: Lots
    together: int
    rule: Rule
    step: list[int]
    ready: dict[int, int] = field(default_factory=dict)
    free: dict[str, tuple[int, str | None]] = field(default_factory=dict)
    rooms: dict[str, Room] = field(default_factory=dict)
    gate: dict[str, int] = field(default_factory=dict)
    carried: dict[Hop, Carried] = field(default_factory=dict)
    orders: dict[str, list[Visit]] = field(default_factory=dict)
    changes: list[Changed] = field(default_factory=list)
    lifted: dict[str, int] = field(default_factory=dict)
    swaps: dict[Hop, Hop] = field(default_factory=dict)
    loads: dict[Hop, tuple[int, ...]] = field(default_factory=dict)  # part, step of its first place: its load's parts
    bound: dict[Hop, str] = field(default_factory=dict)  # the same: the machine of the load
    entry: tuple[int, ...] = ()  # in which order the parts of all supplies come in, where that is given


def has_rows(lots: Lots, hop: Hop, way: Way) -> bool:
    """Whether lift and set-down are possible without an exchange."""
    if way.who is None:
        return True
    return lots.can(way.who, way.start, hop[0], "pick") and lots.can(way.who, way.goal, hop[0], "place")


def leads_on(lots: Lots, hop: Hop, way: Way) -> bool:
    """Whether a part can leave where it is brought without an exchange, by itself or lifted by somebody."""
    j, step = hop[0], hop[1] + 1
    if step == len(lots.route(j)) - 1:
        return True
    onward = (each for each in lots.ways_of((j, step)) if each.start == way.goal)
    return any(
        leads_on(lots, (j, step), each) if each.who is None else lots.can(each.who, each.start, j, "pick")
        for each in onward
    )


def has_room(making: Making, hop: Hop, station: str) -> bool:
    """Whether the station can take the part: empty, or its load is being filled."""
    lots, room = making.lots, making.rooms[station]
    j, step = hop[0], hop[1] + 1
    if lots.cell.stations[station].kind == "sink":
        return True
    if not may_join(making, (j, step, station)):
        return False
    size, load = lots.batch(station), making.loads.get((j, lots.place_of(j, step)))
    if size == 1:
        places = 1 if lots.holds_one_load(station) else lots.room(station)
        return places is None or len(room.inside) < places
    begun = load is not None and room.load == (load[0], step) and room.came < size
    return begun or not room.inside or (lots.room(station) is None and room.came == size)


def may_join(making: Making, spot: tuple[int, int, str]) -> bool:
    """Whether a part may come to a station as one of the load that it belongs to, or with a new one."""
    lots, (j, step, station) = making.lots, spot
    machine, first = lots.machine_at(j, step, station), lots.place_of(j, step)
    if machine is None or max(lots.sizes(j, step)) == 1:
        return True
    if (j, first) in making.loads:
        return making.bound[j, first] == machine
    return bool(new_load(making, (j, step, machine)))


def note_load(making: Making, spot: tuple[int, int, str]) -> tuple[int, ...]:
    """The load with which a part comes to a station; a new one is kept for the same machine from now on."""
    lots, (j, step, station) = making.lots, spot
    machine, first = lots.machine_at(j, step, station), lots.place_of(j, step)
    if machine is None or max(lots.sizes(j, step)) == 1:
        return (j,)
    if (j, first) not in making.loads:
        load = new_load(making, (j, step, machine)) or (j,)
        making.loads |= {(other, first): load for other in load}
        making.bound |= {(other, first): machine for other in load}
    return making.loads[j, first]


def new_load(making: Making, spot: tuple[int, int, str]) -> tuple[int, ...]:
    """The parts of the load that a part would begin at a machine, or that it is one of; none where alike parts before
    them have no load yet, or those that are left would not make up whole loads."""
    lots, (j, step, machine) = making.lots, spot
    size, sizes, own = lots.batch(machine), lots.sizes(j, step), alike(lots, j)
    if len(sizes) == 1:
        return tuple(even_load(lots, j, size))
    left = own.stop - j - size
    in_turn = all((other, lots.place_of(j, step)) in making.loads for other in range(own.start, j))
    return tuple(range(j, j + size)) if in_turn and left >= 0 and fills_loads(left, sizes) else ()


def change_for(making: Making, hop: Hop, way: Way) -> Changed | None:
    """The changeover that the part needs at its goal, by whoever can begin first."""
    lots, room = making.lots, making.rooms[way.goal]
    new = lots.family(hop[0], hop[1] + 1)
    key = (way.goal, room.family or "", new or "")
    if key not in lots.set_ups or (room.inside and lots.batch(way.goal) > 1):
        return None
    set_up = lots.set_ups[key]
    starts = {who: change_start(making, set_up, room, who) for who in set_up.who}
    who = min(starts, key=lambda each: starts[each])
    return Changed(
        set_up=set_up, station=way.goal, part=hop[0], step=hop[1] + 1, who=who, start=starts[who],
        end=starts[who] + set_up.takes_steps,
    )  # fmt: skip


def change_start(making: Making, set_up: SetUp, room: Room, who: str) -> int:
    """When somebody can begin a changeover."""
    since, place = making.free[who]
    way = making.lots.view.movers[who].travel_steps(place, set_up.place, loaded=False)
    return max(room.clear + set_up.response_steps, since + (way or 0))


def leave(making: Making, choice: Choice, clear: int) -> None:
    """The part is out of where it was."""
    lots, (j, step), start = making.lots, choice.hop, choice.way.start
    if step == 0:
        making.lifted[start] = choice.lift
        return
    room = making.rooms[start]
    room.inside.remove(j)
    room.clear = max(room.clear, clear)
    if not room.inside:
        room.load, room.came = None, 0
    for other in making.loads[j, lots.place_of(j, step)] if lots.batch(start) > 1 else ():
        if other in room.inside:
            making.ready[other] = max(making.ready.get(other, 0), clear)


def enter(making: Making, choice: Choice, begins: int) -> None:
    """The part is where it belongs; when its load is complete the work begins."""
    lots, (j, h), goal = making.lots, choice.hop, choice.way.goal
    room, step = making.rooms[goal], h + 1
    for supply, sink in lots.gates.items():
        if sink == goal:
            making.gate[supply] = making.carried[j, h].placed + lots.turnaround_steps.get(supply, 0)
    if step == len(lots.route(j)) - 1:
        return
    room.inside.append(j)
    room.family = lots.family(j, step)
    load = note_load(making, (j, step, goal))
    if lots.batch(goal) == 1:
        making.ready[j] = begins + (lots.work_steps(j, step, goal) if lots.works(goal) else 0)
        return
    room.load, room.came = (load[0], step), (room.came if room.load == (load[0], step) else 0) + 1
    room.clear = begins
    if room.came == len(load):
        for other in load:
            making.ready[other] = begins + lots.work_steps(j, step, goal)


def left_at(making: Making, last: Link) -> tuple[int, str | None]:
    """When and where the attendant is free after the last set-down, by which a load may have become complete."""
    lots, ((j, h), carried) = making.lots, last
    goal, end = carried.way.goal, carried.placed
    complete = lots.batch(goal) == 1 or making.rooms[goal].came == lots.batch(goal)
    if goal in lots.view.attended and lots.works(goal) and complete:
        end += lots.phase(carried.way.who, goal, j, "place").tail_steps + lots.work_steps(j, h + 1, goal)
    return end, lots.view.places[goal]
