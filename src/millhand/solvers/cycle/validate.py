"""The independent validator: a schedule played through in time against the rules of the cell.

It shares no code with the builders of cycles: it reads the cell itself, moves every part of ten or so periods from
supply to outfeed, and checks each rule where it applies. Whatever it needs between two events it also demands as an
arc, so that a simulation that obeys the arcs alone keeps the rules too.
"""

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.model.schedule import Event, Schedule
from millhand.solvers.cycle.arc_index import ArcIndex, arc_index
from millhand.solvers.cycle.certificate import certificate_violations
from millhand.solvers.cycle.rules import Rules
from millhand.solvers.cycle.unrolled import Handled, Turn, handled, turns

CHECKED_PERIODS = 6


def violations(cell: Cell, schedule: Schedule) -> list[str]:
    """Everything that is wrong with a schedule for a cell, in words; empty when nothing is."""
    working = {event.attendant for event in schedule.events}
    if any(len(working.intersection(track.attendants)) > 1 for track in cell.tracks.values()):
        raise NotYet("a check of several arms on one track", where="/tracks")
    found = certificate_violations(schedule)
    visits, lonely = handled(schedule)
    if found or lonely:
        return [*found, *lonely]
    play = Play(cell=cell, rules=Rules(cell=cell), arcs=arc_index(schedule))
    quiet = max((event.lap for event in schedule.events), default=0) + 2
    play.start(schedule, visits)
    for turn in turns(schedule, visits, quiet + CHECKED_PERIODS):
        play.checking = turn.period >= quiet
        play.visit(turn)
    started = sum(
        1 for visit in visits if visit.kind != "place" and play.rules.is_start(visit.station, visit.first.part)
    )
    if started != schedule.parts_per_period:
        play.found[f"{started} parts enter a period, not {schedule.parts_per_period}"] = None
    return list(play.found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """One part under way: its type and the step of its route that it has reached; None before it is known."""

    part: str
    step: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A part at a station since some set-down."""

    token: Token
    turn: Turn | None  # None: it lay there from the start


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """An event in one of the periods."""

    event: Event
    lap: int


def unknown(counts: Counter[tuple[str, str]], name: str, cell: Cell) -> list[Lying]:
    """So many parts of each type, of which it is not known yet how far they are."""
    return [
        Lying(token=Token(part=part, step=None), turn=None) for part in cell.parts for _ in range(counts[name, part])
    ]


def at(turn: Turn, event: Event) -> At:
    """An event of a visit in its period: that of the visit's start, or the next where the hold passes the end."""
    return At(event=event, lap=turn.period + (1 if event.at_steps < turn.visit.first.at_steps else 0))


@dataclass(slots=True, kw_only=True)
class Play:
    """The state of the cell while the schedule is played."""

    cell: Cell
    rules: Rules
    arcs: ArcIndex
    checking: bool = False
    hands: dict[str, list[Token]] = field(default_factory=lambda: defaultdict(list))
    lying: dict[str, list[Lying]] = field(default_factory=lambda: defaultdict(list))
    last_by: dict[str, Turn] = field(default_factory=dict)
    last_at: dict[str, Turn] = field(default_factory=dict)
    last_lift: dict[str, Turn] = field(default_factory=dict)
    leaving: list[tuple[Token, Turn]] = field(default_factory=list)  # parts on their way by themselves
    found: dict[str, None] = field(default_factory=dict)

    def start(self, schedule: Schedule, visits: list[Handled]) -> None:
        """What lies at stations and in hands when a period begins, as the laps of the events say."""
        lying, held = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
        for event in schedule.events:
            times = {"lift": event.lap, "set": -event.lap}.get(event.what, 0)
            lying[event.station, event.part] += times
            held[event.attendant or "", event.part] -= times
        for name, station in self.cell.stations.items():
            if station.kind == "gate":
                for part in self.cell.parts:
                    lying[name, part] = 0
                here = [visit for visit in visits if visit.station == name]
                first = min(here, key=lambda each: each.first.at_steps, default=None)
                if first is not None and first.kind == "pick":
                    lying[name, first.first.part] = 1
        self.lying |= {
            name: unknown(lying, name, self.cell)
            for name, station in self.cell.stations.items()
            if station.kind not in ("supply", "sink")
        }
        kept = [count for (name, _), count in lying.items() if name in self.lying]
        if min([*held.values(), *kept], default=0) < 0:
            self.found["the laps of the events do not follow the parts"] = None
        for who in self.cell.attendants:
            self.hands[who] = [each.token for each in unknown(held, who, self.cell)]

    def wrong(self, words: str) -> None:
        """Note a violation, once the first, still empty, periods are over."""
        if self.checking:
            self.found[words] = None

    def visit(self, turn: Turn) -> None:
        """One visit: the attendant gets there in time, the station is ready, the parts move on."""
        visit = turn.visit
        if not visit.who:
            self.moves_by_itself(turn)
            return
        if not self.rules.can(visit.who, visit.station, visit.first.part, visit.kind):
            self.wrong(f"{visit.who} cannot do a {visit.kind} at {visit.station}")
            return
        self.check_hold(turn)
        self.check_way(turn)
        self.check_alone(turn)
        coming = None if visit.kind == "pick" else self.taken_from_hand(turn)
        if visit.kind != "place":
            self.lift(turn)
        if coming is not None:
            self.set_down(turn, coming)
        hands = self.cell.attendants[visit.who].hands
        held = len(self.hands[visit.who]) + (1 if visit.kind == "swap" else 0)
        if held > hands:
            self.wrong(f"{visit.who} would hold {held} parts with {hands} hands at {visit.station}")
        self.last_by[visit.who] = self.last_at[visit.station] = turn

    def moves_by_itself(self, turn: Turn) -> None:
        """A part leaves a station, or comes to one, that needs nobody for it, and is at the other at the same moment."""
        visit = turn.visit
        self.check_hold(turn)
        if visit.kind == "pick":
            self.lift(turn)
            self.leaving.append((self.hands[""][-1], turn))
        else:
            coming = self.taken_from_hand(turn)
            mine = next((each for each in self.leaving if each[0] == coming), (coming, turn))
            self.leaving = [each for each in self.leaving if each is not mine]
            left, stations = mine[1], self.cell.stations
            if not (stations[left.visit.station].self_out or stations[visit.station].self_in):
                self.wrong(f"nothing moves by itself from {left.visit.station} to {visit.station}")
            if left.start != turn.start:
                self.wrong(f"a part is {turn.start - left.start} steps on its way to {visit.station} by itself")
            self.need(at(left, left.visit.last), at(turn, visit.first), 0)
            if coming is not None:
                self.set_down(turn, coming)
        self.last_at[visit.station] = turn

    def check_hold(self, turn: Turn) -> None:
        """The hold takes its time, and the arcs say so both ways."""
        visit, hold = turn.visit, self.rules.hold(turn.visit)
        if visit.hold_steps != hold:
            self.wrong(f"the {visit.kind} at {visit.station} takes {visit.hold_steps} steps, not {hold}")
        pairs = [(visit.first, visit.last, hold), (visit.last, visit.first, -hold)]
        if visit.sets is not None and visit.placed is not None:
            pairs += [(visit.first, visit.sets, 0), (visit.sets, visit.first, 0)]
            pairs += [(visit.last, visit.placed, 0), (visit.placed, visit.last, 0)]
        for one, other, lag in pairs:
            self.need(at(turn, one), at(turn, other), lag)

    def check_way(self, turn: Turn) -> None:
        """The attendant has had time to come from its last visit, and came without waiting if it may not wait."""
        before = self.last_by.get(turn.visit.who)
        if before is None:
            return
        loaded = bool(self.hands[turn.visit.who])
        way = self.rules.way(before.visit, turn.visit, loaded=loaded)
        if way is None:
            self.wrong(f"{turn.visit.who} cannot go from {before.visit.station} to {turn.visit.station}")
            return
        stays = self.rules.attended(before.visit)
        short = before.end + stays + way - turn.start
        if short > 0:
            self.wrong(
                f"{turn.visit.who} reaches {turn.visit.station} {short} steps too late for its {turn.visit.kind}"
            )
        rigid = loaded and self.cell.attendants[turn.visit.who].hands == 1
        if rigid and short < 0:
            self.wrong(f"{turn.visit.who} waits with a part in its only hand before {turn.visit.station}")
        left, comes = at(before, before.visit.leaves), at(turn, turn.visit.first)
        if before.visit.kind != "pick" and self.rules.stays_through(before.visit):
            self.need_path(left, comes, stays + way)
        else:
            self.need(left, comes, way)
        if rigid:
            self.need(comes, left, -way)

    def check_alone(self, turn: Turn) -> None:
        """Nobody else handles the station at that time, where one part fills it."""
        before = self.last_at.get(turn.visit.station)
        if before is not None and turn.start < before.end and self.rules.slots(turn.visit.station) == 1:
            self.wrong(f"two visits at {turn.visit.station} at once")

    def lift(self, turn: Turn) -> None:
        """The part that lies longest is taken; a supply always has one."""
        visit, part = turn.visit, turn.visit.first.part
        kind = self.cell.stations[visit.station].kind
        if kind == "supply":
            self.hands[visit.who].append(Token(part=part, step=0))
            return
        queue = self.lying[visit.station]
        lying = next((each for each in queue if kind == "gate" or each.token.part == part), None)
        if lying is None:
            self.wrong(f"nothing lies at {visit.station} to be lifted")
            self.hands[visit.who].append(Token(part=part, step=0 if kind == "gate" else None))
            return
        queue.remove(lying)
        if kind == "gate":
            if lying.turn is not None:
                self.check_gate(lying.turn, turn)
            self.hands[visit.who].append(Token(part=part, step=0))
        else:
            self.check_stay(lying, turn)
            self.hands[visit.who].append(lying.token)
        self.last_lift[visit.station] = turn

    def check_gate(self, placed: Turn, turn: Turn) -> None:
        """A gate needs its turnaround between a part set down and the next lifted."""
        least = self.rules.turnaround(placed.visit, turn.visit)
        if turn.start - placed.end < least:
            self.wrong(f"{turn.visit.station} has {turn.start - placed.end} steps to turn around, not {least}")
        self.need(at(placed, placed.visit.leaves), at(turn, turn.visit.first), least)

    def check_stay(self, lying: Lying, turn: Turn) -> None:
        """The part was there long enough, and not too long."""
        token = lying.token
        if token.step is None or lying.turn is None:
            return
        stay = turn.start - lying.turn.end
        least, longest = self.rules.stay(lying.turn.visit, turn.visit, token.part, token.step)
        if stay < least:
            self.wrong(f"{token.part} stays {stay} steps at {turn.visit.station}, at least {least} are needed")
        placed, lift = at(lying.turn, lying.turn.visit.leaves), at(turn, turn.visit.first)
        self.need_path(placed, lift, least)
        if longest is not None:
            if stay > longest:
                self.wrong(f"{token.part} stays {stay} steps at {turn.visit.station}, at most {longest} are allowed")
            self.need(lift, placed, -longest)

    def taken_from_hand(self, turn: Turn) -> Token | None:
        """The part in hand that belongs to this station next."""
        visit, held = turn.visit, self.hands[turn.visit.who]
        part = visit.first.part if visit.sets is None else visit.sets.part
        mine = [token for token in held if token.part == part]
        for token in sorted(mine, key=lambda each: each.step is None):  # one that is known first
            if token.step is None or visit.station in self.rules.next_stations(token.part, token.step):
                held.remove(token)
                return token
        self.wrong(f"{visit.who} has nothing in hand that belongs to {visit.station}")
        return Token(part=part, step=None)

    def set_down(self, turn: Turn, token: Token) -> None:
        """The part lies at the station from now on; there was room for it."""
        visit = turn.visit
        if self.cell.stations[visit.station].kind == "sink":
            return
        known = None if token.step is None else self.rules.next_step(token.part, token.step)
        step = self.rules.only_step(token.part, visit.station) if known is None else known
        self.lying[visit.station].append(Lying(token=Token(part=token.part, step=step), turn=turn))
        slots = self.rules.slots(visit.station)
        if slots is not None and len(self.lying[visit.station]) > slots:
            self.wrong(f"{len(self.lying[visit.station])} parts lie at {visit.station}, room is for {slots}")
            self.lying[visit.station].pop(0)
        before = self.last_lift.get(visit.station)
        if visit.kind == "place" and before is not None and slots == 1:
            clear = self.rules.clearing(before.visit, visit)
            if turn.start - before.end < clear:
                self.wrong(f"{visit.station} is not clear when the next part is set down")
            self.need(at(before, before.visit.last), at(turn, visit.first), clear)

    def need(self, one: At, other: At, lag: int) -> None:
        """Demand an arc between two events with at least this lag, over as many laps as lie between them."""
        if not self.checking:
            return
        if not self.arcs.waits(one.event.id, other.event.id, lag=lag, laps=other.lap - one.lap):
            self.wrong(f"no arc makes {other.event.id} wait {lag} steps for {one.event.id}")

    def need_path(self, one: At, other: At, least: int) -> None:
        """Demand a chain of arcs over the station's start and finish, from a set-down to what waits for it."""
        if not self.checking:
            return
        chain = self.arcs.chain(one.event.id, other.event.id, laps=other.lap - one.lap)
        if chain is None or chain < least:
            self.wrong(f"no arcs make {other.event.id} wait {least} steps for {one.event.id}")
