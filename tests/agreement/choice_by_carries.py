"""Cycles of one arm with one gripper that has a choice of two machines, by every order of its carries.

The first machine has loads of several parts and no buffer, the second one buffers of its own. It knows nothing of the
solvers: every order of carries that brings the cell back to where it was is played again and again, each thing as early
as can be, and the time from round to round is read off. Leads, windows and loads at the second machine are beyond it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from millhand.model.cell import Cell
from millhand.model.grid import grid_steps
from millhand.model.span import Span

ROUNDS = 24  # played, the second half of which is measured
CARRIES = ("in m1", "out m1", "in m2", "out m2")


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The times and rooms of such a cell, in grid steps."""

    batch: int
    before: int
    behind: int
    work: tuple[int, int]
    hold: tuple[int, int, int, int]  # at the supply, the outfeed, lift and set-down at a machine
    tail: tuple[int, int]  # after a lift and after a set-down at a machine
    way: int

    @property
    def room(self) -> int:
        """How many parts the second machine and its buffers hold."""
        return self.before + 1 + self.behind


def choice_of(cell: Cell) -> Choice:
    """Read straight from the cell."""

    def steps(span: Span | None) -> int:
        return grid_steps(span.mean_s, grid_s=cell.grid_s) if span else 0

    raw, done, machine = cell.handling
    visits = (raw.pick, done.place, machine.pick, machine.place)
    holds = [steps(visit.hold_s if visit else None) for visit in visits]
    tails = [steps(visit.tail_s if visit else None) for visit in visits]
    ways = {way for table in cell.moves.values() for row in table.empty_s for way in row if way}
    step = cell.parts["part"].route[1]
    first, second = cell.stations["m1"], cell.stations["m2"]
    return Choice(
        batch=first.batch,
        before=second.in_queue or 0,
        behind=second.out_queue or 0,
        work=(steps((step.times_s or {})["m1"]), steps((step.times_s or {})["m2"])),
        hold=(holds[0], holds[1], holds[2], holds[3]),
        tail=(tails[2], tails[3]),
        way=grid_steps(min(ways), grid_s=cell.grid_s),
    )


State = tuple[int, bool, int]  # parts in the first machine, whether it is being emptied, parts at the second


def after(shop: Choice, state: State, carry: str) -> State | None:
    """What lies where after a carry; None where it cannot be."""
    lies, emptied, queued = state
    if carry == "in m1":
        return None if emptied or lies == shop.batch else (lies + 1, False, queued)
    if carry == "out m1":
        return (lies - 1, lies > 1, queued) if emptied or lies == shop.batch else None
    if carry == "in m2":
        return None if queued == shop.room else (lies, emptied, queued + 1)
    return (lies, emptied, queued - 1) if queued else None


def least_period(cell: Cell, parts: int) -> Fraction:
    """The least period in which so many parts come in and go out."""
    shop = choice_of(cell)
    begins = [(lies, False, q) for lies in range(shop.batch + 1) for q in range(shop.room + 1)]
    begins += [(lies, True, q) for lies in range(1, shop.batch) for q in range(shop.room + 1)]
    found = [
        played(shop, begin, order)
        for at_first in range(0, parts + 1, shop.batch)
        for begin in begins
        for order in orders(shop, begin, begin, (at_first, at_first, parts - at_first, parts - at_first))
    ]
    return min(found)


def orders(
    shop: Choice, begin: State, state: State, left: tuple[int, ...], done: tuple[str, ...] = ()
) -> Iterator[tuple[str, ...]]:
    """Every order of carries that comes back to the beginning; the first carry is the first kind that there is."""
    if not any(left):
        if state == begin:
            yield done
        return
    for number, carry in enumerate(CARRIES):
        first = next(each for each, count in enumerate(left) if count)
        if left[number] and (done or number == first):
            new = after(shop, state, carry)
            if new is not None:
                fewer = tuple(count - (each == number) for each, count in enumerate(left))
                yield from orders(shop, begin, new, fewer, (*done, carry))


@dataclass(kw_only=True)
class Clock:
    """When things are ready. Parts at the second machine are numbered from the first one that lay there."""

    shop: Choice
    free: int = 0
    here: str = ""
    clear: int = 0  # the first machine, for its next visit
    placed: int = 0  # parts of the load that is filled
    done: int = 0  # when the load of the first machine is
    starts: list[int] = field(default_factory=list)
    leaves: list[int] = field(default_factory=list)  # out of the machine itself; told once the part has come there
    lifts: list[int] = field(default_factory=list)
    waiting: list[int] = field(default_factory=list)  # set-downs whose part has not started

    def go_on(self) -> None:
        """Parts move on by themselves as far as is known by now."""
        shop = self.shop
        while self.waiting and (number := len(self.starts)) <= len(self.leaves):
            free = self.leaves[number - 1] if number else 0
            self.starts.append(max(self.waiting.pop(0), free))
            self.leave()
        self.leave()
        if shop.behind and self.waiting and len(self.starts) <= len(self.leaves):
            self.go_on()

    def leave(self) -> None:
        """Into the buffer behind, where it has room."""
        number, behind = len(self.leaves), self.shop.behind
        if behind and number < len(self.starts) and number - behind < len(self.lifts):
            room = self.lifts[number - behind] if number >= behind else 0
            self.leaves.append(max(self.starts[number] + self.shop.work[1], room))

    def carry(self, what: str) -> None:
        """One carry, as early as can be, and never with a wait while it is loaded."""
        shop, (raw, drop, lift, down) = self.shop, self.shop.hold
        coming = what.startswith("in")
        start = "raw" if coming else what[4:]
        begin = self.free + (shop.way if self.here not in ("", start) else 0)
        if coming:
            begin = max(begin, self.ready_for(what[3:]) - raw - shop.way)
            end = begin + raw + shop.way + down
            self.set_down(what[3:], end)
            self.here = what[3:]
        else:
            begin = max(begin, self.ready_at(start))
            self.lifted(start, begin + lift)
            end = begin + lift + shop.way + drop
            self.here = "done"
        self.free = end
        self.go_on()

    def ready_for(self, goal: str) -> int:
        """When a part may be set down."""
        if goal == "m1":
            return self.clear
        number = len(self.starts) + len(self.waiting)
        if self.shop.before:
            return self.starts[number - self.shop.before] if number >= self.shop.before else 0
        return self.leaves[number - 1] if number else 0

    def ready_at(self, start: str) -> int:
        """When a part may be lifted."""
        if start == "m1":
            return max(self.done, self.clear)
        number = len(self.lifts)
        return self.leaves[number] if self.shop.behind else self.starts[number] + self.shop.work[1]

    def set_down(self, goal: str, end: int) -> None:
        """A part lies at a machine."""
        if goal == "m1":
            self.clear = end + self.shop.tail[1]
            self.placed = (self.placed + 1) % self.shop.batch
            if not self.placed:
                self.done = self.clear + self.shop.work[0]
        else:
            self.waiting.append(end + (0 if self.shop.before else self.shop.tail[1]))

    def lifted(self, start: str, end: int) -> None:
        """A part has left a machine."""
        if start == "m1":
            self.clear = end + self.shop.tail[0]
            return
        self.lifts.append(end)
        if not self.shop.behind:
            self.leaves.append(end + self.shop.tail[0])


def played(shop: Choice, begin: State, order: tuple[str, ...]) -> Fraction:
    """From round to round, in the long run."""
    lies, emptied, queued = begin
    clock = Clock(shop=shop, placed=0 if emptied else lies % shop.batch, waiting=[0] * queued)
    clock.go_on()
    ends = []
    for _ in range(ROUNDS):
        for carry in order:
            clock.carry(carry)
        ends.append(clock.free)
    half = ROUNDS // 2
    return Fraction(ends[-1] - ends[half - 1], half)
