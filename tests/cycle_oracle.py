"""All one-unit cycles of a small cell, one after the other: an oracle for whatever schedules cells.

One attendant, one part type; each machine is loaded once a period. The cell is read from its records, and nothing is
shared with the solvers. A cycle is an order of visits: with one hand every order of all carries, with two every
sequence of picks, set-downs and exchanges in which the hands suffice. The least period of an order follows from its
waits: as long as some circle of waits asks for more time than the period gives it, the period grows.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from millhand.model.cell import Cell
from millhand.model.grid import grid_steps
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span

FAR = 1 << 60
NOTHING = Visit(hold_s=Span(mean_s=0.0))

Wait = tuple[int, int, int, int]  # visit, later visit, steps between their beginnings, periods between them
Token = tuple[int, int]  # chain, step: a part lifted at this step of this chain and not yet set down at the next


class NotCoveredError(Exception):
    """A cell beyond the oracle."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One visit of an order: what is done at which step of which chain. A swap sets down there and lifts there."""

    kind: str  # 'pick', 'place', 'swap'
    chain: int
    step: int


@dataclass(slots=True)
class Numbers:
    """The numbers of a cell. A chain is the way of one part of the period: its stations from supply to outfeed."""

    cell: Cell
    who: str
    part: str
    chains: list[list[str]]
    hands: int
    best: int = FAR
    order: tuple[Stop, ...] = ()
    looked_at: int = 0
    ways: dict[tuple[str, str, bool], int | None] = field(default_factory=dict)

    def steps(self, seconds: float) -> int:
        """Whole grid steps."""
        return grid_steps(seconds, grid_s=self.cell.grid_s)

    def row(self, station: str) -> Handling | None:
        """The handling row of a station."""
        fits = (r for r in self.cell.handling if self.who in r.who and station in r.at and r.part in (None, self.part))
        return next(fits, None)

    def visit(self, stop: Stop) -> Visit | None:
        """Lead, hold and tail of a visit; None where it cannot be done."""
        station = self.chains[stop.chain][stop.step]
        arm = self.cell.attendants[self.who]
        if stop.kind != "place" and arm.take_from is not None and station not in arm.take_from:
            return None
        if stop.kind != "pick" and arm.put_to is not None and station not in arm.put_to:
            return None
        if not self.cell.handling:
            return None if stop.kind == "swap" else NOTHING
        row = self.row(station)
        return None if row is None else {"pick": row.pick, "place": row.place, "swap": row.swap}[stop.kind]

    def is_raw(self, token: Token) -> bool:
        """Whether a part in hand goes to a station where it may have to be exchanged, or could go to one."""
        return any(self.visit(Stop("swap", chain, token[1] + 1)) is not None for chain in range(len(self.chains)))

    def station(self, stop: Stop) -> str:
        """Where a visit is."""
        return self.chains[stop.chain][stop.step]

    def way(self, start: str, end: str, *, loaded: bool) -> int | None:
        """Travel between two stations."""
        key = (start, end, loaded)
        if key not in self.ways:
            self.ways[key] = self.travel(start, end, loaded=loaded)
        return self.ways[key]

    def travel(self, start: str, end: str, *, loaded: bool) -> int | None:
        """The same, read from the table."""
        arm = self.cell.attendants[self.who]
        table = self.cell.moves.get(arm.moves_full or "")
        if table is None or not table.places:
            return 0
        here, there = self.cell.stations[start].place, self.cell.stations[end].place
        if here not in table.places or there not in table.places:
            return None
        times = table.empty_s if table.loaded_s is None or not loaded else table.loaded_s
        found = times[table.places.index(here)][table.places.index(there)]
        return None if found is None else self.steps(found * self.pace)

    @property
    def pace(self) -> float:
        """What walking and handling of a person are multiplied by."""
        arm = self.cell.attendants[self.who]
        return arm.pace if arm.kind == "operator" else 1.0

    def hold(self, stop: Stop) -> int:
        """How long a visit binds the attendant."""
        visit = self.visit(stop)
        assert visit is not None
        turn = self.steps(self.cell.attendants[self.who].turn_s) if stop.kind == "swap" else 0
        return self.steps(visit.hold_s.mean_s * self.pace) + turn

    def lead(self, stop: Stop) -> int:
        """The station's time before a visit's hold."""
        visit = self.visit(stop)
        return 0 if visit is None else self.steps(visit.lead_s.mean_s)

    def tail(self, stop: Stop) -> int:
        """The station's time after a visit's hold."""
        visit = self.visit(stop)
        return 0 if visit is None else self.steps(visit.tail_s.mean_s)

    def work(self, stop: Stop) -> int:
        """How long the station works on the part set down there."""
        step = self.cell.parts[self.part].route[stop.step]
        span = (step.times_s or {}).get(self.station(stop)) or step.time_s
        return 0 if span is None else self.steps(span.mean_s)


def best_one_unit(cell: Cell) -> int | None:
    """The least period of all one-unit cycles in whole grid steps; None where no order keeps windows and ways."""
    return best_cycle(cell).best_or_none


@dataclass(frozen=True, slots=True)
class Best:
    """The least period found, its order of visits, and how many orders there were."""

    period: int
    order: tuple[Stop, ...]
    looked_at: int
    times: tuple[int, ...] = ()  # when each visit of the order begins, as early as can be

    @property
    def best_or_none(self) -> int | None:
        """The period, None where there is none."""
        return None if self.period == FAR else self.period


def best_cycle(cell: Cell) -> Best:
    """The best of all orders."""
    numbers = numbers_of(cell)
    for order in orders(numbers):
        numbers.looked_at += 1
        period = least_period(numbers, order, below=numbers.best)
        if period is not None and period < numbers.best:
            numbers.best, numbers.order = period, tuple(order)
    times = times_of(numbers) if numbers.order else ()
    return Best(numbers.best, numbers.order, numbers.looked_at, times)


def times_of(numbers: Numbers) -> tuple[int, ...]:
    """The earliest times of the best order, from its first visit on."""
    order = list(numbers.order)
    late = [0] * len(order)
    waits = [*on_the_way(numbers, order), *at_stations(numbers, order)]
    for _ in order:
        for before, after, steps, laps in waits:
            late[after] = max(late[after], late[before] + steps - laps * numbers.best)
    return tuple(each - late[0] for each in late)


def numbers_of(cell: Cell) -> Numbers:
    """The numbers of a cell that the oracle covers."""
    moving = {who for row in cell.handling for who in row.who} or set(cell.attendants)
    if max(cell.attendants[who].hands for who in moving) > 2:
        raise NotCoveredError("more than two hands")
    if cell.goal != "rate" or len(cell.parts) != 1 or len(moving) != 1:
        raise NotCoveredError("one part type, one attendant")
    (who,), ((part, one),) = moving, cell.parts.items()
    sizes = [len(step.at) for step in one.route]
    if sizes[0] != 1 or sizes[-1] != 1 or (max(sizes) > 1 and len(sizes) != 3):
        raise NotCoveredError("machines in a row, or side by side")
    for name in {name for step in one.route for name in step.at}:
        each = cell.stations[name]
        plain = (each.batch, each.in_queue, each.out_queue, each.self_in, each.self_out) == (1, 0, 0, False, False)
        if not plain or (each.kind in ("process", "gate") and each.capacity != 1) or each.kind == "store":
            raise NotCoveredError(f"station {name}")
    inner = [name for step in one.route[1:-1] for name in step.at]
    if len(set(inner)) < len(inner) or any(step.every != 1 or step.uses for step in one.route):
        raise NotCoveredError("a station twice, or checks")
    first, last = one.route[0].at[0], one.route[-1].at[0]
    side_by_side = max(sizes) > 1
    chains = [[first, name, last] for name in one.route[1].at] if side_by_side else [[s.at[0] for s in one.route]]
    return Numbers(cell=cell, who=who, part=part, chains=chains, hands=cell.attendants[who].hands)


def orders(numbers: Numbers) -> Iterator[list[Stop]]:
    """Every order of the visits of a period that begins with the first part's lift."""
    tokens = [(chain, step) for chain, names in enumerate(numbers.chains) for step in range(len(names) - 1)]
    first = Stop("pick", 0, 0)
    if numbers.visit(first) is None:
        return
    for held in [None, *tokens[1:]] if numbers.hands > 1 else [None]:
        hand = frozenset() if held is None else frozenset([held])
        picked = frozenset([tokens[0]])
        if held is not None and numbers.is_raw(held) and numbers.is_raw(tokens[0]):
            continue  # rule 9
        yield from longer(numbers, [first], hand | picked, (picked, frozenset(), hand, frozenset(tokens)))


State = tuple[frozenset[Token], frozenset[Token], frozenset[Token], frozenset[Token]]


def longer(numbers: Numbers, order: list[Stop], hand: frozenset[Token], state: State) -> Iterator[list[Stop]]:
    """Every way on from an unfinished order; `state` is what was picked, what was set down, the first hand, and all."""
    picked, placed, at_first, tokens = state
    if len(picked) == len(placed) == len(tokens):
        if hand == at_first:
            yield order
        return
    for stop, takes, puts in visits_next(numbers, hand, picked, placed, tokens):
        if numbers.visit(stop) is not None and leaves_a_hand(numbers, order[-1], stop, hand):
            now = (picked | takes, placed | puts, at_first, tokens)
            yield from longer(numbers, [*order, stop], (hand - puts) | takes, now)


def leaves_a_hand(numbers: Numbers, before: Stop, stop: Stop, hand: frozenset[Token]) -> bool:
    """Whether raw parts are in every hand only within one visit, where the next thing is to set one down (rule 9)."""
    full = before.kind == "pick" and sum(map(numbers.is_raw, hand)) == numbers.hands > 1
    return not full or (stop.kind == "place" and numbers.station(stop) == numbers.station(before))


Choice = tuple[Stop, frozenset[Token], frozenset[Token]]


def visits_next(
    numbers: Numbers,
    hand: frozenset[Token],
    picked: frozenset[Token],
    placed: frozenset[Token],
    tokens: frozenset[Token],
) -> Iterator[Choice]:
    """What can be done next: with which parts lifted and which set down."""
    none: frozenset[Token] = frozenset()
    free = len(hand) < numbers.hands
    raw = sum(map(numbers.is_raw, hand))
    for chain, step in sorted(tokens - placed):
        if (chain, step) not in hand:
            continue
        put = frozenset([(chain, step)])
        yield Stop("place", chain, step + 1), none, put
        after = (chain, step + 1)
        if free and after in tokens and after not in picked and after not in hand:
            yield Stop("swap", chain, step + 1), frozenset([after]), put
    for chain, step in sorted(tokens - picked):
        last_hand = raw + 1 == numbers.hands > 1 and numbers.is_raw((chain, step))
        in_turn = (chain, step - 1) in hand  # it makes room in this visit for what is in the other hand
        if free and (chain, step) not in hand and (not last_hand or in_turn):  # rule 9: one hand stays free
            yield Stop("pick", chain, step), frozenset([(chain, step)]), none


def least_period(numbers: Numbers, order: list[Stop], *, below: int) -> int | None:
    """The least whole period of an order; None where there is none below the one that is known."""
    waits = [*on_the_way(numbers, order), *at_stations(numbers, order)]
    if any(wait[2] >= FAR for wait in waits):
        return None
    period = 1
    while period < below:
        circle = asks_too_much(len(order), waits, period)
        if not circle:
            return period
        steps, laps = sum(wait[2] for wait in circle), sum(wait[3] for wait in circle)
        if laps <= 0:
            return None
        period = -(-steps // laps)
    return None


def on_the_way(numbers: Numbers, order: list[Stop]) -> Iterator[Wait]:
    """From each visit to the next: hold, staying at an attended station, travel, turn and lead; exact with one hand."""
    held = sum(1 for chain, step in at_boundary(order))
    for number, stop in enumerate(order):
        following = order[(number + 1) % len(order)]
        held += {"pick": 1, "place": -1, "swap": 0}[stop.kind]
        start, end = numbers.station(stop), numbers.station(following)
        way = numbers.way(start, end, loaded=held > 0)
        visit = numbers.visit(following)
        if way is None or visit is None:
            yield number, number, FAR, 0
            return
        lag = numbers.hold(stop) + way + (numbers.lead(following) if visit.lead_on == "arrival" else 0)
        if start == end and (stop.kind, following.kind) == ("pick", "place"):
            lag += numbers.steps(numbers.cell.attendants[numbers.who].turn_s)
        if stop.kind != "pick" and numbers.cell.stations[start].attended:
            lag += numbers.tail(stop) + numbers.work(stop)
        laps = int(number + 1 == len(order))
        yield number, (number + 1) % len(order), lag, laps
        if numbers.hands == 1 and held:
            yield (number + 1) % len(order), number, -lag, -laps


def at_boundary(order: list[Stop]) -> list[Token]:
    """The parts in hand when the period begins: set down before they are lifted."""
    first_pick, first_place = lifts_of(order), drops_of(order)
    return [token for token, number in first_place.items() if number < first_pick[token]]


def lifts_of(order: list[Stop]) -> dict[Token, int]:
    """The visit that lifts each part."""
    return {(s.chain, s.step): number for number, s in enumerate(order) if s.kind != "place"}


def drops_of(order: list[Stop]) -> dict[Token, int]:
    """The visit that sets each part down."""
    return {(s.chain, s.step - 1): number for number, s in enumerate(order) if s.kind != "pick"}


def at_stations(numbers: Numbers, order: list[Stop]) -> Iterator[Wait]:
    """Stays with their windows, room for the next part, and the turnaround of a gate."""
    lifts, drops = lifts_of(order), drops_of(order)
    route = numbers.cell.parts[numbers.part].route
    for (chain, step), drop in drops.items():
        lift = lifts.get((chain, step + 1))
        if lift is None:
            continue  # the end of the route
        placed, lifted = order[drop], order[lift]
        laps = 0 if drop < lift else 1
        hold = numbers.hold(placed)
        yield drop, lift, hold + numbers.tail(placed) + numbers.work(placed) + numbers.lead(lifted), laps
        longest = route[step + 1].stay_max_s
        if longest is not None:
            yield lift, drop, -hold - numbers.steps(longest), -laps
        if drop != lift:
            yield lift, drop, numbers.hold(lifted) + numbers.tail(lifted) + numbers.lead(placed), 1 - laps
    first, last = numbers.chains[0][0], numbers.chains[0][-1]
    if first == last and numbers.cell.stations[first].kind == "gate":
        yield from at_gate(numbers, order, first)


def at_gate(numbers: Numbers, order: list[Stop], gate: str) -> Iterator[Wait]:
    """From the last set-down at a gate before it to each lift there."""
    turnaround = numbers.steps(numbers.cell.stations[gate].turnaround_s)
    here = [number for number, stop in enumerate(order) if numbers.station(stop) == gate]
    drops = [number for number in here if order[number].kind == "place"]
    for lift in (number for number in here if order[number].kind == "pick"):
        before = [number for number in drops if number < lift]
        drop, laps = (before[-1], 0) if before else (drops[-1], 1)
        placed = order[drop]
        least = turnaround + numbers.lead(order[lift])
        yield drop, lift, numbers.hold(placed) + least, laps


def asks_too_much(count: int, waits: list[Wait], period: int) -> list[Wait]:
    """A circle of waits that asks for more time than its laps give; empty where there is none."""
    late, by = [0] * count, [-1] * count
    weights = [(before, after, steps - laps * period) for before, after, steps, laps in waits]
    changed = -1
    for _ in range(count + 1):
        changed = -1
        for number, (before, after, weight) in enumerate(weights):
            if late[before] + weight > late[after]:
                late[after], by[after], changed = late[before] + weight, number, after
        if changed < 0:
            return []
    node = changed
    for _ in range(count):
        node = waits[by[node]][0]
    circle, here = [], node
    while True:
        circle.append(waits[by[here]])
        here = waits[by[here]][0]
        if here == node:
            return circle
