"""The best one-unit cycle of two arms by looking at every state, second by second: a reference for tests.

On one track or without one. One hand each, one part type, machines in a row, whole times of at least one grid step. The
state of a moment is what each arm does and since when, and since when a part lies at each machine. From each state in
which a part is lifted out of the supply all states are followed, step by step, until that state comes back with no
other part let in: the first time that this happens is the least period. Nothing is shared with the solvers.

A loaded arm goes straight and at once. Under the rule 'order' an arm that has arrived with empty hands does not turn
round in the same moment: whether it has stood there, where another one stands, would be a matter of taste.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise, product

import numpy as np
from scipy import sparse

from millhand.model.cell import Cell
from millhand.model.grid import grid_steps
from tests.solvers.cycle.timetables import Line

EMPTY, HANDLED = -1, -2

Doing = tuple[str, int, int, int]  # 'at' place, just arrived, 0; 'go' from, to, since; 'carry' step, 0, since
State = tuple[tuple[Doing, ...], tuple[int, ...]]  # what each arm does; since when a part lies at each machine


@dataclass(slots=True)
class Rail:
    """The numbers of a cell: places in metres, ways, holds, and the route."""

    arms: list[str]
    metres: list[Fraction]
    empty: list[list[int | None]]
    loaded: list[list[int | None]]
    stops: list[int]  # place of each step of the route
    work: list[int]
    most: list[int | None]
    picks: list[list[int | None]]  # by arm, by step: hold, None where it cannot
    puts: list[list[int | None]]
    keep: Fraction
    by_order: bool
    shared: bool
    names: list[str] = field(default_factory=list)
    stations: list[str] = field(default_factory=list)

    def parts_of(self, arm: int, step: int) -> tuple[int, int, int]:
        """Pick, way and set-down of a carry."""
        pick, put = self.picks[arm][step], self.puts[arm][step + 1]
        way = self.loaded[self.stops[step]][self.stops[step + 1]]
        assert pick is not None
        assert put is not None
        assert way is not None
        return pick, way, put

    def can_carry(self, arm: int, step: int) -> bool:
        """Whether an arm may do this carry."""
        way = self.loaded[self.stops[step]][self.stops[step + 1]]
        return None not in (self.picks[arm][step], self.puts[arm][step + 1], way)


def rail_of(cell: Cell) -> Rail:
    """The numbers of a cell of this kind."""
    (part,) = cell.parts.values()
    arms = list(next(iter(cell.tracks.values())).attendants) if cell.tracks else list(cell.attendants)
    track = next(iter(cell.tracks.values()), None)
    table = cell.moves[cell.attendants[arms[0]].moves_full or ""]

    def steps(seconds: float) -> int:
        return grid_steps(seconds, grid_s=cell.grid_s)

    def hold(arm: str, station: str, kind: str) -> int | None:
        only = cell.attendants[arm].take_from if kind == "pick" else cell.attendants[arm].put_to
        row = next((row for row in cell.handling if arm in row.who and station in row.at), None)
        visit = None if row is None else row.pick if kind == "pick" else row.place
        return None if visit is None or (only is not None and station not in only) else steps(visit.hold_s.mean_s)

    stations = [step.at[0] for step in part.route]
    ways = [[None if w is None else steps(w) for w in row] for row in table.empty_s]
    full = ways if table.loaded_s is None else [[None if w is None else steps(w) for w in r] for r in table.loaded_s]
    return Rail(
        arms=arms,
        metres=[Fraction(str(cell.places[name].track_m or 0.0)) for name in table.places],
        empty=ways,
        loaded=full,
        stops=[table.places.index(cell.stations[name].place or "") for name in stations],
        work=[0 if step.time_s is None else steps(step.time_s.mean_s) for step in part.route],
        most=[None if step.stay_max_s is None else steps(step.stay_max_s) for step in part.route],
        picks=[[hold(arm, name, "pick") for name in stations] for arm in arms],
        puts=[[hold(arm, name, "place") for name in stations] for arm in arms],
        keep=Fraction(0) if track is None else Fraction(str(track.keep_m)),
        by_order=track is not None and track.rule == "order",
        shared=track is not None,
        names=list(table.places),
        stations=stations,
    )


def step_on(rail: Rail, state: State) -> Iterator[tuple[State, bool]]:
    """Every state that can follow a step later, and whether a part was let in at its beginning."""
    doings, lying = state
    for choice in product(*(list(choices(rail, arm, doing)) for arm, doing in enumerate(doings))):
        begun = begin(rail, choice, list(lying))
        if begun is None or not clear(rail, choice):
            continue
        after = tuple(further(rail, arm, doing) for arm, doing in enumerate(choice))
        stay = age(rail, choice, begun)
        if stay is not None:
            yield (after, stay), any(doing[0] == "carry" and doing[1] == 0 and doing[3] == 0 for doing in choice)


def choices(rail: Rail, arm: int, doing: Doing) -> Iterator[Doing]:
    """What an arm may be doing in the next step: it goes on, or from a rest it stays, goes somewhere, or carries."""
    kind, place, arrived, _ = doing
    if kind != "at":
        yield doing
        return
    yield ("at", place, 0, 0)
    for goal, way in enumerate(rail.empty[place]):
        if goal != place and way is not None and not arrived:
            yield ("go", place, goal, 0)
    for step in range(len(rail.stops) - 1):
        if rail.stops[step] == place and rail.can_carry(arm, step):
            yield ("carry", step, 0, 0)


def begin(rail: Rail, doings: tuple[Doing, ...], lying: list[int]) -> list[int] | None:
    """Lifts and set-downs that begin now; None where a machine is not ready for them."""
    for arm, (kind, step, _, since) in enumerate(doings):
        if kind != "carry":
            continue
        pick, way, _ = rail.parts_of(arm, step)
        if since == 0 and step > 0:
            if lying[step] < rail.work[step]:
                return None
            lying[step] = HANDLED
        if since == pick + way and step + 1 < len(rail.stops) - 1:
            if lying[step + 1] != EMPTY:
                return None
            lying[step + 1] = HANDLED
    return lying


def age(rail: Rail, doings: tuple[Doing, ...], lying: list[int]) -> tuple[int, ...] | None:
    """A step later: parts have lain longer, lifts and set-downs are over; None where a stay becomes too long."""
    for step in range(1, len(rail.stops) - 1):
        if lying[step] >= 0:
            most = rail.most[step]
            lying[step] += 1
            if most is not None and lying[step] > most:
                return None
            if most is None:
                lying[step] = min(lying[step], rail.work[step])
    for arm, (kind, step, _, since) in enumerate(doings):
        if kind == "carry":
            pick, way, put = rail.parts_of(arm, step)
            if since + 1 == pick and step > 0:
                lying[step] = EMPTY
            if since + 1 == pick + way + put and step + 1 < len(rail.stops) - 1:
                lying[step + 1] = 0
    return tuple(lying)


def further(rail: Rail, arm: int, doing: Doing) -> Doing:
    """What an arm does a step later."""
    kind, first, second, since = doing
    if kind == "go":
        over = since + 1 == rail.empty[first][second]
        return ("at", second, int(rail.by_order), 0) if over else (kind, first, second, since + 1)
    if kind == "carry":
        over = since + 1 == sum(rail.parts_of(arm, first))
        return ("at", rail.stops[first + 1], 0, 0) if over else (kind, first, second, since + 1)
    return doing


def stretch(rail: Rail, arm: int, doing: Doing) -> tuple[int, int, Fraction, Fraction, bool]:
    """From where to where an arm is going in this step, where it is at both ends of the step, and whether it moves."""
    kind, first, second, since = doing
    if kind == "at":
        here = rail.metres[first]
        return first, first, here, here, False
    if kind == "go":
        start, goal, way, gone = first, second, rail.empty[first][second] or 1, since
    else:
        pick, way, _ = rail.parts_of(arm, first)
        start, goal, gone = rail.stops[first], rail.stops[first + 1], since - pick
        if gone < 0 or gone >= way:
            place = start if gone < 0 else goal
            return place, place, rail.metres[place], rail.metres[place], False
    length = rail.metres[goal] - rail.metres[start]
    here = rail.metres[start] + length * gone / way
    return start, goal, here, here + length / way, True


def clear(rail: Rail, doings: tuple[Doing, ...]) -> bool:
    """Whether the arms keep their distance in this step, or the order of their places."""
    own = [stretch(rail, arm, doing) for arm, doing in enumerate(doings)]
    for a, one in pairwise(own):
        if not rail.shared:
            return True
        if not rail.by_order:
            if one[2] - a[2] < rail.keep or one[3] - a[3] < rail.keep:
                return False
            continue
        starts, goals = (rail.metres[one[i]] - rail.metres[a[i]] for i in (0, 1))
        if starts < 0 or goals < 0:
            return False
        if not a[4] and not one[4] and (starts <= 0 or starts < rail.keep):
            return False
    return True


@dataclass(frozen=True, slots=True)
class Found:
    """The least period, and the states of one such cycle, step by step."""

    period: int
    states: tuple[State, ...]


def best_on_track(cell: Cell, *, most: int) -> Found | None:
    """The least period of a one-unit cycle, up to `most` steps; None where there is none so short."""
    rail = rail_of(cell)
    states = reachable(rail, cell)
    number = {state: index for index, state in enumerate(states)}
    plain: list[tuple[int, int]] = []
    enters: list[tuple[int, int]] = []
    for state, index in number.items():
        for after, lets_in in step_on(rail, state):
            (enters if lets_in else plain).append((index, number[after]))
    steps, first = matrix(plain, len(states)), matrix(enters, len(states))
    starts = np.flatnonzero(first.getnnz(axis=1))
    reached = first[starts]
    for period in range(1, most + 1):
        back = np.flatnonzero(np.asarray(reached[np.arange(len(starts)), starts]).ravel())
        if len(back):
            return Found(period, walked(rail, states[starts[back[0]]], period))
        reached = (reached @ steps).astype(bool)
    return None


def matrix(pairs: list[tuple[int, int]], size: int) -> sparse.csr_matrix:
    """Which state can follow which."""
    rows, columns = zip(*pairs, strict=True) if pairs else ((), ())
    return sparse.csr_matrix((np.ones(len(pairs), dtype=bool), (rows, columns)), shape=(size, size))


def reachable(rail: Rail, cell: Cell) -> list[State]:
    """Every state that can come about from an empty cell with the arms at home."""
    homes = [rail.names.index(cell.attendants[arm].home or "") for arm in rail.arms]
    start: State = (tuple(("at", home, 0, 0) for home in homes), (EMPTY,) * len(rail.stops))
    seen, queue = {start}, [start]
    for state in queue:
        for after, _ in step_on(rail, state):
            if after not in seen:
                seen.add(after)
                queue.append(after)
    return queue


def walked(rail: Rail, start: State, period: int) -> tuple[State, ...]:
    """One way from a state back to itself in a period, a part let in at its beginning and no other."""
    layers: list[dict[State, State]] = [{after: start for after, lets_in in step_on(rail, start) if lets_in}]
    for _ in range(period - 1):
        layers.append({a: state for state in layers[-1] for a, lets_in in step_on(rail, state) if not lets_in})
    path = [start]
    for layer in reversed(layers):
        path.append(layer[path[-1]])
    return tuple(reversed(path))


def lines_of(rail: Rail, found: Found) -> list[Line]:
    """The cycle as a timetable: visits, on a track motions too; the times of each part go on over the periods."""
    began: list[tuple[int, int, Doing]] = []
    for time, (doings, _) in enumerate(found.states[1:]):
        before = found.states[time][0]
        for arm, doing in enumerate(doings):
            kind, first, second, since = doing
            if kind != "at" and since == 1:
                began.append((time, arm, (kind, first, second, 0)))
            elif kind == "at" and before[arm][:2] != ("at", first) and before[arm][3] == 0:
                began += short(rail, time, arm, before[arm], doing)
    carries = {doing[1]: (time, arm) for time, arm, doing in began if doing[0] == "carry"}
    goes = [(time, (arm, doing[1], doing[2])) for time, arm, doing in began if doing[0] == "go"]
    lines = [motion(rail, time, way, rail.empty[way[1]][way[2]] or 0) for time, way in goes]
    since = 0
    for step in range(len(rail.stops) - 1):
        time, arm = carries[step]
        while time < since:
            time += found.period
        pick, way, put = rail.parts_of(arm, step)
        who, start, goal = rail.arms[arm], rail.stops[step], rail.stops[step + 1]
        lines.append(Line(who=who, kind="pick", at=rail.stations[step], start=time, takes=pick))
        lines.append(motion(rail, time + pick, (arm, start, goal), way))
        lines.append(Line(who=who, kind="place", at=rail.stations[step + 1], start=time + pick + way, takes=put))
        since = time + pick + way + put
    return [line for line in lines if rail.shared or line.kind != "motion"]


def short(rail: Rail, time: int, arm: int, before: Doing, after: Doing) -> list[tuple[int, int, Doing]]:
    """A motion of one step, which begins and ends between two states."""
    if before[0] == "at" and rail.empty[before[1]][after[1]] == 1:
        return [(time, arm, ("go", before[1], after[1], 0))]
    return []


def motion(rail: Rail, time: int, way: tuple[int, int, int], takes: int) -> Line:
    """A motion of an arm from a place to a place as a line."""
    arm, start, goal = way
    return Line(who=rail.arms[arm], kind="motion", at=rail.names[start], to=rail.names[goal], start=time, takes=takes)
