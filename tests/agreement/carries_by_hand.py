"""Lots of one arm with one gripper by every order of its carries: machines side by side, each with its own buffers.

It knows nothing of the solvers: each order of carries, each choice of machines and each order of work at them gives a
list of waits, and the longest way through these is when the last part is set down. Handling takes its hold only, each
type comes in one lot, and every part has one step between supply and sink.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations, product

from millhand.model.cell import Cell
from millhand.model.grid import grid_steps

Wait = tuple[str, str, int]  # an event, a later one, the least time between them
Carry = tuple[str, int]  # 'load' or 'unload', and the part
Turns = Mapping[str, Sequence[int]]  # the parts of each machine in the order in which it works on them
FAR = 1 << 60


@dataclass(frozen=True, kw_only=True)
class Hand:
    """A cell as its only arm sees it."""

    cell: Cell
    parts: list[str]  # the type of each part, in the order in which the supply gives them

    def steps(self, seconds: float) -> int:
        """Whole grid steps."""
        return grid_steps(seconds, grid_s=self.cell.grid_s)

    def hold(self, station: str, kind: str) -> int:
        """How long a lift or a set-down takes."""
        row = next(row for row in self.cell.handling if station in row.at)
        visit = row.pick if kind == "pick" else row.place
        assert visit is not None
        return self.steps(visit.hold_s.mean_s)

    def way(self, start: str | None, end: str | None, *, loaded: bool) -> int:
        """From one place to another."""
        (table,) = self.cell.moves.values()
        rows = table.empty_s if not loaded or table.loaded_s is None else table.loaded_s
        ways = rows[table.places.index(start or "")][table.places.index(end or "")]
        assert ways is not None
        return self.steps(ways)

    def work(self, part: int, machine: str) -> int:
        """How long a machine works on a part."""
        step = self.cell.parts[self.parts[part]].route[1]
        span = (step.times_s or {}).get(machine) or step.time_s
        return self.steps(span.mean_s) if span else 0

    def room(self, machine: str, side: str) -> int:
        """How many parts a buffer holds; all where it has no limit."""
        station = self.cell.stations[machine]
        found = station.in_queue if side == "in" else station.out_queue
        return len(self.parts) if found is None else found


def least_steps(cell: Cell) -> int:
    """When the last part is set down, in the best of all orders."""
    parts = [name for name, part in cell.parts.items() for _ in range(part.lot.size if part.lot else 0)]
    hand = Hand(cell=cell, parts=parts)
    choices = [cell.parts[name].route[1].at for name in hand.parts]
    found = FAR
    for where in product(*choices):
        mine = {name: [part for part, at in enumerate(where) if at == name] for name in where}
        for turns in product(*(permutations(each) for each in mine.values())):
            for carries in orders(len(hand.parts)):
                waits = list(waits_of(hand, where, dict(zip(mine, turns, strict=True)), carries))
                found = min(found, ends(waits))
    return found


def orders(count: int, begun: tuple[Carry, ...] = ()) -> Iterator[tuple[Carry, ...]]:
    """Every order of carries in which the parts come in one after the other and leave when they came in."""
    loaded = [part for what, part in begun if what == "load"]
    if len(begun) == 2 * count:
        yield begun
    elif len(loaded) < count:
        yield from orders(count, (*begun, ("load", len(loaded))))
    for part in loaded:
        if ("unload", part) not in begun:
            yield from orders(count, (*begun, ("unload", part)))


def waits_of(hand: Hand, where: Sequence[str], turns: Turns, carries: Sequence[Carry]) -> Iterator[Wait]:
    """What each event waits for: events are 'lift', 'off' (a lift is over), 'set', 'down' (a set-down is over), 'start'
    and 'leave' (the part is out of the machine itself)."""
    stations = hand.cell.stations
    (arm,) = hand.cell.attendants.values()
    at, before = arm.home, "begin"
    for what, part in carries:
        route = hand.cell.parts[hand.parts[part]].route
        start, goal = (route[0].at[0], where[part]) if what == "load" else (where[part], route[2].at[0])
        lift, off, sets, down = (f"{each} {what} {part}" for each in ("lift", "off", "set", "down"))
        yield before, lift, hand.way(at, stations[start].place, loaded=False)
        carried = hand.way(stations[start].place, stations[goal].place, loaded=True)
        for one, other, lag in (
            (lift, off, hand.hold(start, "pick")),
            (off, sets, carried),
            (sets, down, hand.hold(goal, "place")),
        ):
            yield one, other, lag
            yield other, one, -lag
        at, before = stations[goal].place, down
    yield before, "end", 0
    for machine, parts in turns.items():
        yield from machine_waits(hand, machine, parts, carries)


def machine_waits(hand: Hand, machine: str, parts: Sequence[int], carries: Sequence[Carry]) -> Iterator[Wait]:
    """What a machine and its buffers ask for."""
    before, behind = hand.room(machine, "in"), hand.room(machine, "out")
    comes = [part for what, part in carries if what == "load" and part in parts]
    goes = [part for what, part in carries if what == "unload" and part in parts]
    for at, part in enumerate(parts):
        yield f"down load {part}", f"start {part}", 0
        yield f"start {part}", f"leave {part}", hand.work(part, machine)
        if behind:
            yield f"leave {part}", f"lift unload {part}", 0
            gone = [each for each in goes if each in parts[:at]]
            if at >= behind:
                yield f"off unload {gone[at - behind]}", f"leave {part}", 0
        else:
            yield f"start {part}", f"lift unload {part}", hand.work(part, machine)
            yield f"off unload {part}", f"leave {part}", 0
        if at:
            yield f"leave {parts[at - 1]}", f"start {part}" if before else f"set load {part}", 0
    for at, part in enumerate(comes):
        begun = [each for each in parts if each in comes[:at]]
        if before and at >= before:
            yield f"start {begun[at - before]}", f"set load {part}", 0


def ends(waits: Sequence[Wait]) -> int:
    """The longest way to the end; far where the waits go round in a circle."""
    times = {name: 0 for wait in waits for name in wait[:2]}
    for _ in range(len(times) + 1):
        later = False
        for one, other, lag in waits:
            if times[one] + lag > times[other]:
                times[other], later = times[one] + lag, True
        if not later:
            return times["end"]
    return FAR
