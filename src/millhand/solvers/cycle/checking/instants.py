"""What happens at one moment in a plan for lots has an order in which it can be done, one thing after the other.

Times alone do not say that a part lay somewhere before it was lifted there, or that a place was empty before the next
part came: where handling takes no time, all of it happens at once. So every moment is gone through with all hands,
places and buffers. Any order will do in which each of these holds no more than it can, nothing is lifted that is not
there and done, and each attendant does its own things in their turn. Where there is none, things wait for each other.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from millhand.errors import NotYet
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.filled import Buffered, Filled, Key, Slots, Stock
from millhand.solvers.cycle.checking.lots import lot_order
from millhand.solvers.cycle.checking.play import Play
from millhand.solvers.cycle.unrolled import Handled, came_as, turns

MOST_STATES = 5_000  # looked at for one moment, before it is not told whether there is an order
Owner = str | Key  # an attendant, or a part of which the schedule says which it is
VISITS = ("pick", "place", "swap", "self")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """The beginning of something done, or its end, or both, where it takes no time; `turns`: which thing it is of its
    attendant and of each of its parts, `after`: the events that come before it at any rate."""

    visit: Handled
    begins: bool
    ends: bool
    turns: tuple[tuple[Owner, int], ...]
    after: frozenset[str]

    @property
    def name(self) -> str:
        """By its events."""
        return self.visit.first.id if self.begins else self.visit.last.id

    def events(self) -> Iterator[str]:
        """Those that have happened with it."""
        visit = self.visit
        ends = (visit.last, visit.placed) if self.ends else ()
        begins = (visit.first, visit.sets) if self.begins else ()
        return (event.id for event in (*begins, *ends) if event is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The cell at one moment, with some of its things done: what fills each station, what is in whose hands, and how
    many of its things each attendant and each part has done. `given`: how far each supply has come in its lots;
    `taken`: the gates at which something was set down at this moment; `stays`: who stays at a machine, with which part.
    """

    filled: Mapping[str, Filled]
    held: Mapping[str, tuple[Key, ...]]
    lifting: Mapping[str, int]
    turns: Mapping[Owner, int]
    given: Mapping[str, int]
    stays: Mapping[str, tuple[str, Key]]
    taken: frozenset[str] = frozenset()
    done: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """What the cell asks for: the hands of each attendant, the order of each supply, the gates that turn around."""

    play: Play
    orders: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def next_given(self, state: State, supply: str, part: str) -> int | None:
        """How far a supply has come when it gives one more part of a type; None where that is past."""
        order = self.orders[supply]
        return next((at + 1 for at in range(state.given[supply], len(order)) if order[at] == part), None)


def order_violations(play: Play, schedule: Schedule, whole: Sequence[Handled]) -> Iterator[str]:
    """The first moment at which what happens cannot be done in any order."""
    lot = Lot(play=play, orders={name: lot_order(play, name) for name in play.cell.stations})
    state = empty(play, whole)
    moments: dict[int, list[Thing]] = {}
    for time, thing in things(play, schedule, list(whole)):
        moments.setdefault(time, []).append(thing)
    for time in sorted(moments):
        found, left = arranged(lot, replace(state, taken=frozenset(), done=frozenset()), moments[time])
        if found is None:
            names = " and ".join(dict.fromkeys((left[0].name, left[-1].name)))
            yield f"{names} cannot happen at step {time}, in whatever order"
            return
        state = found


def empty(play: Play, whole: Sequence[Handled]) -> State:
    """The cell when lots begin."""
    working = {each.station for each in whole if each.kind == "work"}
    return State(
        filled={name: empty_station(play, name, name in working) for name in play.cell.stations},
        held=dict.fromkeys(play.cell.attendants, ()),
        lifting=dict.fromkeys(play.cell.attendants, 0),
        turns={},
        given=dict.fromkeys(play.cell.stations, 0),
        stays={},
    )


def empty_station(play: Play, name: str, works: bool) -> Filled:
    """One station with nothing in it."""
    (room, batch), (before, behind) = play.rules.room(name), play.rules.queues(name)
    kind = play.cell.stations[name].kind
    if kind != "process":
        return Stock(room=room if kind == "store" else None, gives=kind in ("supply", "gate"))
    if (before, behind) != (0, 0):
        return Buffered(before=before, behind=behind, endless=room is None)
    return Slots(slots=room, batch=batch, works=works)


def things(play: Play, schedule: Schedule, whole: list[Handled]) -> Iterator[tuple[int, Thing]]:
    """Everything that is done, with its time; the own things of each attendant and of each part in their turn."""
    counts: Counter[Owner] = Counter()
    after: dict[str, set[str]] = {}
    for one, other in play.before:
        after.setdefault(other, set()).add(one)
    for turn in turns(schedule, whole, 1):
        visit = turn.visit
        if visit.kind not in (*VISITS, "work", "set_up"):
            continue
        asked = {one for event in (visit.first, visit.sets) if event for one in after.get(event.id, ())}
        takes = visit.hold_steps > 0 and visit.kind != "self"
        own = tuple((owner, counts[owner]) for owner in owners(visit))
        yield turn.start, Thing(visit=visit, begins=True, ends=not takes, turns=own, after=frozenset(asked))
        if takes:
            later = tuple((owner, number + 1) for owner, number in own)
            yield turn.end, Thing(visit=visit, begins=False, ends=True, turns=later, after=frozenset())
        counts.update({owner: 2 if takes else 1 for owner, _ in own})


def owners(visit: Handled) -> Iterator[Owner]:
    """Who does it, and the parts that it is done with, as far as the schedule says which these are."""
    if visit.who:
        yield visit.who
    keys = {key_of(visit, lifted=True), key_of(visit, lifted=False)} if visit.kind != "set_up" else set()
    yield from (key for key in sorted(keys, key=str) if key[1] is not None)


def arranged(lot: Lot, state: State, here: list[Thing]) -> tuple[State | None, list[Thing]]:
    """The cell when all of these are done in some order, or None; and what was left to do where it came furthest.

    What takes up nothing that anything else might want is done as soon as it can be.
    """
    names = {event for thing in here for event in thing.events()}
    here = [replace(thing, after=thing.after & names) for thing in here]
    ways, seen, furthest = [(state, here)], set(), here
    while ways:
        state, left = settled(lot, *ways.pop())
        if not left:
            return state, []
        furthest = min(furthest, left, key=len)
        known = (
            state.done,
            *(each.loads for each in state.filled.values() if isinstance(each, Slots) and each.batch > 1),
        )
        if known in seen:
            continue
        seen.add(known)
        if len(seen) > MOST_STATES:
            raise NotYet("a check of the order of so many things at one moment", where="/parts")
        for thing in reversed(left):
            made = done(lot, state, thing)
            if made is not None:
                ways.append((made, [each for each in left if each is not thing]))
    return None, furthest


def settled(lot: Lot, state: State, left: list[Thing]) -> tuple[State, list[Thing]]:
    """All done that keeps nothing else from being done."""
    wanted = Counter(name for thing in left for name in set(wants(lot, thing)))
    going = True
    while going:
        going = False
        for thing in left:
            own = set(wants(lot, thing))
            made = done(lot, state, thing) if all(wanted[name] == 1 for name in own) else None
            if made is not None:
                state, left, going = made, [each for each in left if each is not thing], True
                wanted.subtract(own)
                break
    return state, left


def wants(lot: Lot, thing: Thing) -> Iterator[str]:
    """The stations of which something takes up what another thing might want first: the room where it sets down, a turn
    in the lots of a supply, the machine that is started, a gate that turns around."""
    cell, visit = lot.play.cell, thing.visit
    if not thing.begins or visit.kind == "set_up":
        return
    if visit.kind == "work":
        if lot.play.rules.queues(visit.station)[0] != 0:
            yield f"{visit.station} itself"
        return
    if visit.kind != "place" and (
        cell.stations[visit.station].kind == "gate" or len(set(lot.orders[visit.station])) > 1
    ):
        yield visit.station
    if visit.kind != "pick" and cell.stations[visit.target].kind != "sink":
        yield visit.target


def done(lot: Lot, state: State, thing: Thing) -> State | None:
    """The cell with one thing done, or None where it cannot be done yet."""
    visit = thing.visit
    if not thing.after <= state.done or any(state.turns.get(owner, 0) != number for owner, number in thing.turns):
        return None
    if visit.who in state.stays:
        station, key = state.stays[visit.who]
        if not state.filled[station].is_done(key):
            return None
        state = replace(state, stays={who: at for who, at in state.stays.items() if who != visit.who})
    found: State | None = state
    if visit.kind == "work":
        found = worked(state, thing)
    elif visit.kind != "set_up":
        found = begun(lot, state, thing) if thing.begins else state
        found = ended(lot, found, visit) if found is not None and thing.ends else found
    if found is None:
        return None
    turned = {owner: number + 1 for owner, number in thing.turns}
    return replace(found, turns={**found.turns, **turned}, done=found.done | set(thing.events()))


def worked(state: State, thing: Thing) -> State | None:
    """A start, an end of work, or both."""
    station, key = thing.visit.station, key_of(thing.visit, lifted=True)
    found: Filled | None = state.filled[station]
    if thing.begins and found is not None:
        found = found.starts(key)
    if thing.ends and found is not None:
        found = found.finishes(key)
    return None if found is None else replace(state, filled={**state.filled, station: found})


def key_of(visit: Handled, *, lifted: bool) -> Key:
    """The part that is lifted, or that is set down."""
    event = visit.first if lifted else visit.begins
    return event.part, came_as(event, period=0, goal="makespan")


def begun(lot: Lot, state: State, thing: Thing) -> State | None:
    """A visit begins: there is a hand for what is lifted, it is there and done, and there is room for what comes."""
    visit, found = thing.visit, state
    moves_itself = visit.kind == "self"
    if visit.kind != "place":
        key = key_of(visit, lifted=True)
        hands = None if moves_itself else lot.play.cell.attendants[visit.who].hands
        if hands is not None and len(state.held[visit.who]) + state.lifting[visit.who] >= hands:
            return None
        lifted = lift_begins(lot, found, visit, key)
        if lifted is None:
            return None
        found = lifted
        if not moves_itself:
            found = replace(found, lifting={**found.lifting, visit.who: found.lifting[visit.who] + 1})
        elif (left := found.filled[visit.station].gone(key)) is not None:
            found = replace(found, filled={**found.filled, visit.station: left})
    if visit.kind == "pick":
        return found
    key = key_of(visit, lifted=False)
    if not moves_itself and key not in found.held[visit.who]:
        return None
    made = found.filled[visit.target].comes(key, key_of(visit, lifted=True) if visit.kind == "swap" else None)
    return None if made is None else replace(found, filled={**found.filled, visit.target: made})


def lift_begins(lot: Lot, state: State, visit: Handled, key: Key) -> State | None:
    """A part is lifted: by a supply in the order of its lots, at a gate before it has to turn around."""
    kind, station = lot.play.cell.stations[visit.station].kind, visit.station
    if kind == "gate" and station in state.taken and lot.play.cell.stations[station].turnaround_s:
        return None
    given = state.given
    if kind == "supply":
        number = lot.next_given(state, station, key[0])
        if number is None:
            return None
        given = {**given, station: number}
    made = state.filled[station].goes(key)
    return None if made is None else replace(state, filled={**state.filled, station: made}, given=given)


def ended(lot: Lot, state: State, visit: Handled) -> State | None:
    """A visit is over: what was lifted is in a hand and its place empty, what was set down lies there."""
    filled, held, lifting = dict(state.filled), dict(state.held), dict(state.lifting)
    stays, taken = dict(state.stays), state.taken
    if visit.kind in ("pick", "swap"):
        key = key_of(visit, lifted=True)
        made = filled[visit.station].gone(key)
        if made is None:
            return None
        filled[visit.station] = made
        lifting[visit.who] -= 1
        held[visit.who] = (*held[visit.who], key)
    if visit.kind != "pick":
        key = key_of(visit, lifted=False)
        made = filled[visit.target].came(key)
        if made is None:
            return None
        filled[visit.target] = made
        taken |= {visit.target}
    if visit.kind in ("place", "swap"):
        at = held[visit.who].index(key)
        held[visit.who] = (*held[visit.who][:at], *held[visit.who][at + 1 :])
        if lot.play.cell.stations[visit.target].attended and completes(filled[visit.target]):
            stays[visit.who] = (visit.target, key)
    return replace(state, filled=filled, held=held, lifting=lifting, stays=stays, taken=taken)


def completes(filled: Filled) -> bool:
    """Whether what was set down last completes a load."""
    return not isinstance(filled, Slots) or filled.loads[-1].came == filled.batch
