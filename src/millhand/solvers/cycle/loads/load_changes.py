"""How long the change of one load of several parts for the next stops a station at least, where one attendant makes it.

From the moment at which a load is done to the moment at which the next one starts, that attendant lifts every part of
the one and sets down every part of the other here. Its hands hold only so many parts, so in between it has to put
finished ones down and to fetch others. The shortest such round over all orders is a bound: it leaves out what else the
attendant has to do, whether a part is there to be fetched, and what it may have in its hands besides.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heappop, heappush

from millhand.model.cell import Cell
from millhand.solvers.cycle.loads.assignment import FAR
from millhand.solvers.cycle.loads.exchange import Around, neighbours
from millhand.solvers.cycle.loads.travel import shortest, table_steps
from millhand.solvers.cycle.searching.raw import exchanging_nothing, is_raw, raw_limit
from millhand.solvers.cycle.view import Mover, Phase, Steady, VisitKind

MOST_STATES = 200_000


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class State:
    """How far the change has come: at which station the attendant is, how many of its parts in hand are for this
    station and how many from it, how many were lifted and set down here."""

    at: str
    fresh: int
    done: int
    lifted: int
    placed: int
    last: str = ""  # the visit here that was just made


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A load of so many parts at one station, changed by one attendant; where parts come from and where they go."""

    view: Steady
    mover: Mover
    part: str
    station: str
    size: int
    raw_hands: int  # that may hold parts for this station while it goes
    comes: tuple[str, ...]
    goes: tuple[str, ...]

    def takes(self, station: str, *kinds: VisitKind) -> int | None:
        """The least of these visits by this attendant; None where it makes none of them."""
        found = []
        for kind in kinds:
            phase = self.view.phases.get((self.mover.id, station, self.part, kind))
            if phase is not None:
                turn = self.mover.turn_steps if kind == "swap" and station == self.station else 0
                found.append(phase.hold_steps + turn)
        return min(found, default=None)

    def next(self, state: State) -> Iterator[tuple[int, State]]:
        """What may be done from here, and how long it takes there."""
        full = state.fresh + state.done >= self.mover.hands
        yield from self.here(state, full=full)
        if not full and state.fresh < self.raw_hands:
            yield from self.elsewhere(self.comes, ("pick", "swap"), state, (1, 0))
        if state.done:
            yield from self.elsewhere(self.goes, ("place", "swap"), state, (0, -1))

    def here(self, state: State, *, full: bool) -> Iterator[tuple[int, State]]:
        """A lift, an exchange, or a set-down once the whole load has gone."""
        lift, swap, drop = (self.takes(self.station, kind) for kind in ("pick", "swap", "place"))
        fresh, done, lifted, placed = state.fresh, state.done, state.lifted, state.placed
        at = self.station
        if lift is not None and not full and lifted < self.size:
            yield lift, State(at=at, fresh=fresh, done=done + 1, lifted=lifted + 1, placed=placed, last="pick")
        if swap is not None and not full and fresh and lifted < self.size and placed < self.size:
            yield (
                swap,
                State(at=at, fresh=fresh - 1, done=done + 1, lifted=lifted + 1, placed=placed + 1, last="swap"),
            )
        if drop is not None and fresh and lifted == self.size and placed < self.size:
            yield drop, State(at=at, fresh=fresh - 1, done=done, lifted=lifted, placed=placed + 1, last="place")

    def elsewhere(
        self, names: tuple[str, ...], kinds: tuple[VisitKind, ...], state: State, more: tuple[int, int]
    ) -> Iterator[tuple[int, State]]:
        """One part more for this station in hand, or one from it fewer."""
        for name in names:
            takes = self.takes(name, *kinds)
            if takes is not None:
                yield (
                    takes,
                    State(
                        at=name,
                        fresh=state.fresh + more[0],
                        done=state.done + more[1],
                        lifted=state.lifted,
                        placed=state.placed,
                    ),
                )


def load_change_steps(cell: Cell, view: Steady, near: Around, step: tuple[str, int], name: str) -> float:
    """The least time from the end of one load's process to the beginning of the next; 0 where that is not asked."""
    change = change_of(cell, view, near, step, name)
    if change is None:
        return 0.0
    plain = change_of(cell, exchanging_nothing(view, change.mover.id), near, step, name)
    return min(change_steps(each) for each in (change, plain) if each is not None)


def change_steps(change: Change) -> float:
    """The same for an attendant that exchanges, or for one that does not."""
    leads = [phase.lead_steps for phase in phases_at(change, "pick", "swap")]
    tails = [phase.tail_steps for phase in phases_at(change, "place", "swap")]
    return min(leads, default=0) + shortest_change(change) + min(tails, default=0)


def phases_at(change: Change, *kinds: VisitKind) -> Iterator[Phase]:
    """The visits of these kinds that the attendant makes at the station."""
    keys = ((change.mover.id, change.station, change.part, kind) for kind in kinds)
    return (change.view.phases[key] for key in keys if key in change.view.phases)


def change_of(cell: Cell, view: Steady, near: Around, step: tuple[str, int], name: str) -> Change | None:
    """The change of loads at a station: one load at a time, one kind of part, one attendant for all of it."""
    station, (part, index) = cell.stations[name], step
    plain = station.kind == "process" and station.capacity == 1 and station.batch > 1 and not station.attended
    plain = plain and (station.in_queue, station.out_queue) == (0, 0) and name not in view.self_in | view.self_out
    kinds = [
        (each, at) for each, route in view.routes.items() for at, stop in enumerate(route) if name in stop.stations
    ]
    servers = {who for who, at, _, kind in view.phases if at == name and kind != "duty"}
    if not plain or kinds != [step] or len(servers) != 1:
        return None
    mover = view.movers[servers.pop()]
    comes, goes = neighbours(view, near, step)
    if not comes or not goes or {*comes, *goes} & (view.self_in | view.self_out):
        return None
    raw = is_raw(view, mover, (part, index - 1))
    return Change(
        view=view, mover=mover, part=part, station=name, size=station.batch,
        raw_hands=raw_limit(view, mover) if raw else mover.hands,
        comes=tuple(dict.fromkeys(comes)), goes=tuple(dict.fromkeys(goes)),
    )  # fmt: skip


def closing_steps(change: Change, last: str, then: str) -> int:
    """From one visit at the station to the next at once: the tail of the one and the lead of the other."""
    phases = change.view.phases
    before, after = (phases[change.mover.id, change.station, change.part, kind] for kind in (last, then))
    return before.tail_steps + after.lead_steps


def shortest_change(change: Change) -> float:
    """The least time from the first lift here to the end of the last set-down; 0 where there is none."""
    mover, table = change.mover, shortest(change.mover) if change.mover.rows else None
    reached: dict[State, float] = {}
    queue: list[tuple[float, State]] = []
    for fresh in range(change.raw_hands + 1):
        start = State(at=change.station, fresh=fresh, done=0, lifted=0, placed=0)
        reached[start] = 0.0
        heappush(queue, (0.0, start))
    while queue and len(reached) < MOST_STATES:
        now, state = heappop(queue)
        if now > reached[state]:
            continue
        if state.placed == change.size:
            return now
        for takes, then in change.next(state):
            way = 0.0 if table is None else table_steps(change.view, mover, table, (state.at, then.at))
            if state.last and then.last:
                way = max(way, closing_steps(change, state.last, then.last))
            if way < FAR and now + way + takes < reached.get(then, FAR):
                reached[then] = now + way + takes
                heappush(queue, (reached[then], then))
    return 0.0
