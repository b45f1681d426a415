"""Cycles of one arm with one gripper by every order of its carries: machines with loads of several parts.

It knows nothing of the solvers. What lies where decides which carries are possible; every order of them that brings the
cell back to where it was, with the asked number of parts of each type, is played again and again, each thing as early
as can be, until the time from round to round is known. Windows, gates and alternatives of one step are beyond it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from millhand.model.cell import Cell
from millhand.model.grid import grid_steps

Kind = tuple[str, int]  # part type, and the step at which it lies
Lies = dict[str, tuple[tuple[Kind, ...], bool]]  # station: what lies there, and whether it is being emptied
ROUNDS = (
    24  # played, the second half of which is measured: whatever comes back every 1, 2, 3, 4, 6 or 12 rounds is seen
)


@dataclass(frozen=True, kw_only=True)
class Shop:
    """A cell as its only arm sees it."""

    cell: Cell

    def steps(self, seconds: float) -> int:
        """Whole grid steps."""
        return grid_steps(seconds, grid_s=self.cell.grid_s)

    def at(self, kind: Kind) -> str:
        """The station of a step."""
        (station,) = self.cell.parts[kind[0]].route[kind[1]].at
        return station

    def visit(self, station: str, what: str, part: str) -> tuple[int, int]:
        """Hold and tail of a lift or a set-down; at stores nobody waits for a tail."""
        row = next(row for row in self.cell.handling if station in row.at and row.part in (None, part))
        visit = row.pick if what == "pick" else row.place
        assert visit is not None
        tail = self.steps(visit.tail_s.mean_s) if self.cell.stations[station].kind == "process" else 0
        return self.steps(visit.hold_s.mean_s), tail

    def way(self, start: str, end: str) -> int:
        """From one station to another."""
        (table,) = self.cell.moves.values()
        here, there = (table.places.index(self.cell.stations[each].place or "") for each in (start, end))
        way = table.empty_s[here][there]
        assert way is not None
        return self.steps(way)

    def work(self, kind: Kind) -> int:
        """How long a machine works on a load."""
        span = self.cell.parts[kind[0]].route[kind[1]].time_s
        return self.steps(span.mean_s) if span else 0

    def after(self, lies: Lies, kind: Kind) -> Lies | None:
        """What lies where when a part of this kind was carried one step on; None where that cannot be."""
        found = dict(lies)
        start, goal, new = self.at(kind), self.at((kind[0], kind[1] + 1)), (kind[0], kind[1] + 1)
        if kind[1]:
            parts, emptied = found.get(start, ((), False))
            machine = self.cell.stations[start].kind == "process"
            full = emptied or len(parts) == self.cell.stations[start].batch
            if kind not in parts or (machine and not full):
                return None
            left = list(parts)
            left.remove(kind)
            found[start] = (tuple(left), machine and bool(left))
        station = self.cell.stations[goal]
        if station.kind == "sink":
            return found
        parts, emptied = found.get(goal, ((), False))
        room = station.batch if station.kind == "process" else station.capacity
        if emptied or (room is not None and len(parts) == room):
            return None
        if station.kind == "process" and set(parts) - {new}:
            return None
        found[goal] = ((*parts, new), False)
        return found

    def kinds(self) -> list[Kind]:
        """Every carry that there is, by what is carried."""
        return [(name, step) for name, part in self.cell.parts.items() for step in range(len(part.route) - 1)]


def key(lies: Lies) -> tuple[object, ...]:
    """What lies where, to be compared."""
    return tuple(sorted((name, tuple(sorted(parts)), emptied) for name, (parts, emptied) in lies.items() if parts))


def least_period(cell: Cell, counts: Mapping[str, int], *, most: int = 6) -> Fraction | None:
    """The least period in which so many parts of each type come in and go out; `most` parts lie in the cell at once."""
    shop = Shop(cell=cell)
    found: Fraction | None = None
    asked = {kind: counts[kind[0]] for kind in shop.kinds()}
    for begin in begins(shop, most):
        for order in orders(shop, begin, begin, asked, most):
            period = played(shop, begin, order)
            found = period if found is None else min(found, period)
    return found


def begins(shop: Shop, most: int) -> Iterator[Lies]:
    """Everything that may lie in the cell, from the empty one on."""
    seen: dict[tuple[object, ...], Lies] = {key({}): {}}
    queue: list[Lies] = [{}]
    for lies in queue:
        for kind in shop.kinds():
            after = shop.after(lies, kind)
            if after is not None and key(after) not in seen and lying(after) <= most:
                seen[key(after)] = after
                queue.append(after)
    yield from seen.values()


def lying(lies: Lies) -> int:
    """How many parts lie in the cell."""
    return sum(len(parts) for parts, _ in lies.values())


def orders(
    shop: Shop, begin: Lies, lies: Lies, left: Mapping[Kind, int], most: int, done: tuple[Kind, ...] = ()
) -> Iterator[tuple[Kind, ...]]:
    """Every order of carries that begins with the first kind's and comes back to the beginning."""
    if not any(left.values()):
        if key(lies) == key(begin):
            yield done
        return
    for kind, count in left.items():
        if not count or (not done and kind != next(iter(left))):
            continue
        after = shop.after(lies, kind)
        if after is not None and lying(after) <= most:
            yield from orders(shop, begin, after, {**left, kind: count - 1}, most, (*done, kind))


@dataclass(kw_only=True)
class Clock:
    """When things are ready: parts at stations by the order in which they came, stations for the next part, the arm."""

    free: int = 0
    here: str | None = None
    parts: dict[tuple[str, Kind], list[int]] = field(default_factory=dict)  # until when each is ready to be lifted
    clear: dict[str, int] = field(default_factory=dict)
    load: dict[str, list[int]] = field(default_factory=dict)  # when each part of the load that is filled is in


def played(shop: Shop, begin: Lies, order: tuple[Kind, ...]) -> Fraction:
    """From round to round, in the long run."""
    clock = Clock()
    for name, (parts, emptied) in begin.items():
        batch = shop.cell.stations[name].batch
        whole = shop.cell.stations[name].kind != "process" or emptied or len(parts) == batch
        for kind in parts:
            clock.parts.setdefault((name, kind), []).extend([0] if whole else [])
        clock.load[name] = [] if whole else [0] * len(parts)
    ends = []
    for _ in range(ROUNDS):
        for kind in order:
            carried(shop, clock, kind)
        ends.append(clock.free)
    half = ROUNDS // 2
    return Fraction(ends[-1] - ends[half - 1], half)


def carried(shop: Shop, clock: Clock, kind: Kind) -> None:
    """One carry, as early as can be."""
    start, new = shop.at(kind), (kind[0], kind[1] + 1)
    goal = shop.at(new)
    lift = clock.free + (shop.way(clock.here, start) if clock.here else 0)
    if kind[1]:
        lift = max(lift, clock.parts[start, kind].pop(0), clock.clear.get(start, 0))
    takes, tail = shop.visit(start, "pick", kind[0])
    on_the_way = takes + shop.way(start, goal)
    cleared = lift + takes + tail if start == goal else clock.clear.get(goal, 0)
    lift += max(0, cleared - (lift + on_the_way))
    clock.clear[start] = lift + takes + tail
    holds, closes = shop.visit(goal, "place", kind[0])
    clock.free, clock.here = lift + on_the_way + holds, goal
    clock.clear[goal] = clock.free + closes
    if shop.cell.stations[goal].kind == "store":
        clock.parts.setdefault((goal, new), []).append(clock.free)
    elif shop.cell.stations[goal].kind == "process":
        load = clock.load.setdefault(goal, [])
        load.append(clock.free + closes)
        if len(load) == shop.cell.stations[goal].batch:
            clock.parts.setdefault((goal, new), []).extend([max(load) + shop.work(new)] * len(load))
            load.clear()
