"""A schedule played through: hands, ways and stations at each visit, in the order of time."""

from collections import defaultdict
from dataclasses import dataclass, field, replace

from millhand.model.cell import Cell
from millhand.solvers.cycle.checking.books import Book, Token
from millhand.solvers.cycle.checking.rules import Rules
from millhand.solvers.cycle.checking.stations import StationRules
from millhand.solvers.cycle.checking.waits import Waits
from millhand.solvers.cycle.unrolled import At, Handled, Turn, at, came_as


@dataclass(slots=True, kw_only=True)
class Play:
    """The state of the cell while the schedule is played."""

    cell: Cell
    rules: Rules
    waits: Waits
    on_track: frozenset[str]
    checking: bool = False
    hands: dict[str, list[Token]] = field(default_factory=lambda: defaultdict(list))
    books: dict[str, Book] = field(default_factory=dict)
    last_by: dict[str, Turn] = field(default_factory=dict)
    reached: dict[str, int | None] = field(default_factory=dict)  # the step that what each set down last has reached
    begun: dict[str, bool] = field(default_factory=dict)  # whether the last set-down of somebody completed a load
    full: dict[str, Turn] = field(default_factory=dict)  # after which lift somebody has a raw part in every hand
    last_at: dict[str, Turn] = field(default_factory=dict)
    held: dict[str, int] = field(default_factory=dict)  # how many parts were in hand when a changeover began
    found: dict[str, None] = field(default_factory=dict)
    before: list[tuple[str, str]] = field(default_factory=list)  # of changeovers: which event comes before which

    def wrong(self, words: str) -> None:
        """Note a violation, once the first, still empty, periods are over."""
        if self.checking:
            self.found[words] = None

    def need(self, one: At, other: At, lag: int, words: str) -> None:
        """Demand that one event comes so long after another, in time and by the arcs."""
        if not self.checking:
            return
        before, after, laps = one.event.id, other.event.id, other.lap - one.lap
        if self.waits.time(after, laps) - self.waits.at[before] < lag:
            self.wrong(words)
        elif not self.waits.implied(before, after, lag=lag, laps=laps):
            self.wrong(f"no arcs make {after} wait {lag} steps for {before}")

    def kept(self, one: At, other: At, lag: int) -> bool:
        """Whether one event comes so long after another, in time and by the arcs."""
        before, after, laps = one.event.id, other.event.id, other.lap - one.lap
        return self.waits.implied(before, after, lag=lag, laps=laps)

    def exactly(self, one: At, other: At, lag: int, words: str) -> None:
        """Demand that one event comes just so long after another."""
        self.need(one, other, lag, words)
        self.need(other, one, -lag, words)

    def turn(self, turn: Turn) -> None:
        """One thing done: whoever does it is there in time, what it is done to is ready, the parts move on."""
        visit = turn.visit
        self.within_a_visit(turn)
        if visit.kind == "stand":
            self.can_stand(turn)
            return
        if visit.kind == "work":
            StationRules(self.rules, self.wrong, self.need, self.kept).work(self.books[visit.station], turn)
            return
        if visit.kind == "motion":
            self.motion(turn)
        elif visit.kind in ("duty", "set_up"):
            self.held[visit.first.id] = len(self.hands[visit.who])
            self.come(turn)
        elif visit.kind == "home":
            self.begins_at_home(turn)
        elif visit.kind == "self":
            self.self_move(turn)
        elif not self.rules.can(visit.who, visit.station, visit.begins.part, visit.kind):
            self.wrong(f"{visit.who} cannot do a {visit.kind} at {visit.station}")
            return
        else:
            self.visit(turn)
        if visit.who:
            self.last_by[visit.who] = turn

    def can_stand(self, turn: Turn) -> None:
        """Somebody who does nothing in the cycle has come from home to where it stands."""
        who, place = turn.visit.who, turn.visit.first.place
        home = self.cell.attendants[who].home
        if place != home and self.rules.travel(who, home, place, loaded=False) is None:
            self.wrong(f"{who} cannot go from its home {home} to stand at {place}")

    def begins_at_home(self, turn: Turn) -> None:
        """When lots begin everybody stands at home."""
        home = self.cell.attendants[turn.visit.who].home
        if turn.visit.first.place != home:
            self.wrong(f"{turn.visit.who} begins at {turn.visit.first.place}, not at its home {home}")

    def visit(self, turn: Turn) -> None:
        """A visit of an attendant at a station."""
        visit = turn.visit
        self.check_hold(turn)
        self.come(turn)
        self.check_alone(turn)
        coming = None if visit.kind == "pick" else self.taken_from_hand(turn)
        if visit.kind != "place":
            self.hands[visit.who].append(replace(self.lift(turn), lifted=turn))
        if coming is not None:
            self.carried_at_once(turn, coming)
            self.set_down(turn, coming)
        hands = self.cell.attendants[visit.who].hands
        held = len(self.hands[visit.who]) + (1 if visit.kind == "swap" else 0)
        if held > hands:
            self.wrong(f"{visit.who} would hold {held} parts with {hands} hands at {visit.station}")
        self.keep_a_hand(turn)
        self.last_at[visit.station] = turn

    def keep_a_hand(self, turn: Turn) -> None:
        """One hand is free of raw parts between visits, where an exchange may be needed; in lots, of parts just taken
        from a supply.

        Within a visit, between taking one part out and putting the next one in there, every hand may hold one.
        """
        who = turn.visit.who
        if self.cell.goal == "makespan":
            taken = sum(token.step == 0 for token in self.hands[who])
            if taken == self.cell.attendants[who].hands > 1 and self.rules.may_exchange(who):
                where = f"after {turn.visit.station}: none is free for an exchange"
                self.wrong(f"{who} has a part from a supply in every hand {where}")
            return
        raw = [token for token in self.hands[who] if self.rules.is_raw(who, token.part, token.step)]
        if len(raw) == self.cell.attendants[who].hands and self.rules.keeps_a_hand(who):
            self.full[who] = turn

    def within_a_visit(self, turn: Turn) -> None:
        """With a raw part in every hand the next thing is to set one down where the last one was lifted."""
        full = self.full.pop(turn.visit.who, None)
        if full is None:
            return
        if (full.visit.kind, turn.visit.kind, full.visit.station) != ("pick", "place", turn.visit.station):
            where = f"after {full.visit.station}: none is free for an exchange"
            self.wrong(f"{turn.visit.who} has a raw part in every hand {where}")

    def self_move(self, turn: Turn) -> None:
        """A part that goes on without anybody, in no time."""
        visit = turn.visit
        words = f"the way from {visit.station} to {visit.target} by itself takes time"
        for event in (visit.last, visit.begins, visit.leaves):
            self.exactly(at(turn, visit.first), at(turn, event), 0, words)
        token = self.lift(turn)
        if not self.rules.moves_itself(visit.station, visit.target):
            self.wrong(f"nothing moves by itself from {visit.station} to {visit.target}")
        if token.step is not None and visit.target not in self.rules.next_stations(token.part, token.step):
            self.wrong(f"{token.part} moves by itself to {visit.target}, where it does not belong")
        self.set_down(turn, replace(token, lifted=turn))

    def check_hold(self, turn: Turn) -> None:
        """The hold takes its time, and the arcs say so both ways; both sides of an exchange go together."""
        visit, hold = turn.visit, self.rules.hold(turn.visit)
        words = f"the {visit.kind} at {visit.station} takes {visit.hold_steps} steps, not {hold}"
        self.exactly(at(turn, visit.first), at(turn, visit.last), hold, words)
        self.exactly(at(turn, visit.first), at(turn, visit.begins), 0, words)
        self.exactly(at(turn, visit.last), at(turn, visit.leaves), 0, words)

    def come(self, turn: Turn) -> None:
        """The attendant comes from what it did last; on a shared track it stands at the place already."""
        visit = turn.visit
        before = self.last_by.get(visit.who)
        if before is None:
            return
        if visit.who in self.on_track:
            self.stands(before, turn)
            way: int | None = self.rules.turn(before.visit, visit) + self.rules.lead(visit, on_arrival=True)
        else:
            way = self.rules.way(before.visit, visit, loaded=bool(self.hands[visit.who]))
            if way is not None and self.other_slot(before, visit):
                way -= self.rules.turn(before.visit, visit)
        if way is None:
            self.wrong(f"{visit.who} cannot go from {called(before)} to {called(turn)}")
            return
        self.follows(before, turn, way)

    def other_slot(self, before: Turn, visit: Handled) -> bool:
        """Whether a part of a lot may go to another spot than that which the one before was taken from: slots are
        machines side by side."""
        if self.cell.goal != "makespan" or visit.kind != "place" or before.visit.station != visit.station:
            return False
        slots, _ = self.rules.room(visit.station)
        if slots == 1:
            return False
        book = self.books[visit.station]
        return slots is None or len(book.lying) < (slots - 1) * book.batch or book.lifts[-1:] != [before]

    def follows(self, before: Turn, turn: Turn, way: int) -> None:
        """What an attendant does next begins in time, and at once where it may not wait: loaded, with one hand.

        On a shared track it may wait for the rail before it sets out, but not where it is to set down.
        """
        visit, step = turn.visit, self.reached.get(turn.visit.who)
        stays = self.rules.attended(before.visit, step) if self.begun.get(before.visit.who, True) else 0
        left, comes = at(before, before.visit.leaves), at(turn, visit.first)
        short = before.end + stays + way - turn.start
        late = f"{visit.who} reaches {called(turn)} {short} steps too late for its {visit.kind}"
        self.need(left, comes, stays + way, late)
        if self.hands[visit.who] and self.cell.attendants[visit.who].hands == 1 and visit.kind != "motion":
            waits = f"{visit.who} waits with a part in its only hand before {called(turn)}"
            self.need(comes, left, -(stays + way), waits)

    def carried_at_once(self, turn: Turn, token: Token) -> None:
        """On a shared track nobody waits with a part in its only hand where a stay before or behind is limited."""
        who, lifted = turn.visit.who, token.lifted
        one_hand = who in self.on_track and self.cell.attendants[who].hands == 1
        if not one_hand or lifted is None or token.step is None:
            return
        ends = self.cell.parts[token.part].route[token.step : token.step + 2]
        way = self.rules.way(lifted.visit, turn.visit, loaded=True)
        if way is not None and any(step.stay_max_s is not None for step in ends):
            words = f"{who} waits with a part in its only hand between {called(lifted)} and {called(turn)}"
            self.need(at(turn, turn.visit.first), at(lifted, lifted.visit.leaves), -way, words)

    def stands(self, before: Turn, turn: Turn) -> None:
        """On a shared track: the attendant is where the next thing begins."""
        here, there = self.rules.place(before.visit, leaving=True), self.rules.place(turn.visit, leaving=False)
        if here != there:
            self.wrong(f"{turn.visit.who} stands at {here} when its {turn.visit.kind} begins at {there}")

    def motion(self, turn: Turn) -> None:
        """A motion begins where the last one ended, when the work there is over, and takes the table's time."""
        visit = turn.visit
        start, end = visit.first.place, visit.last.place
        takes = self.rules.travel(visit.who, start, end, loaded=bool(self.hands[visit.who]))
        if takes is None:
            self.wrong(f"{visit.who} cannot go from {start} to {end}")
            return
        words = f"{visit.who} goes from {start} to {end} in {visit.hold_steps} steps, not {takes}"
        self.exactly(at(turn, visit.first), at(turn, visit.last), takes, words)
        before = self.last_by.get(visit.who)
        if before is not None:
            self.stands(before, turn)
            self.follows(before, turn, 0)

    def check_alone(self, turn: Turn) -> None:
        """Nobody else handles the station at that time, where one part fills it; a gate takes lots without end."""
        before = self.last_at.get(turn.visit.station)
        gate = self.cell.goal == "makespan" and self.cell.stations[turn.visit.station].kind == "gate"
        if before is not None and gate and before.visit.kind == turn.visit.kind:
            return
        alone = self.rules.one_at_a_time(turn.visit.station)
        if before is not None and turn.start < before.end and alone:
            self.wrong(f"two visits at {turn.visit.station} at once")
        if before is not None and alone and self.cell.stations[turn.visit.station].kind == "gate" and not gate:
            words = f"two visits at {turn.visit.station} at once"
            self.need(at(before, before.visit.last), at(turn, turn.visit.first), 0, words)
        loads = self.rules.room(turn.visit.station)[1] > 1 and self.rules.one_at_a_time(turn.visit.station)
        if before is not None and loads:
            closes = self.rules.tail(before.visit) + self.rules.lead(turn.visit)
            words = f"{turn.visit.station} is not clear when the next part of its load is handled"
            self.need(at(before, before.visit.last), at(turn, turn.visit.first), closes, words)

    def lift(self, turn: Turn) -> Token:
        """A part leaves a station; a supply and a gate always have one."""
        visit, part = turn.visit, turn.visit.first.part
        kind = self.cell.stations[visit.station].kind
        rules = StationRules(self.rules, self.wrong, self.need, self.kept)
        if kind == "gate":
            rules.gate(self.books[visit.station], turn)
        if kind in ("gate", "supply"):
            entered = came_as(visit.first, period=turn.period, goal=self.cell.goal)
            return Token(part=part, step=0, entered=entered)
        return rules.lift(self.books[visit.station], turn)

    def taken_from_hand(self, turn: Turn) -> Token:
        """The part in hand that belongs to this station next, of several the one of the lap that the schedule tells,
        and of several alike the one that was lifted last."""
        visit, held = turn.visit, self.hands[turn.visit.who]
        own = [each for each in held if each.part == visit.begins.part]
        known = [t for t in own if t.step is not None and visit.station in self.rules.next_stations(t.part, t.step)]
        found = [*known[::-1], *(each for each in own if each.step is None)]
        asked = came_as(visit.begins, period=turn.period, goal=self.cell.goal)
        for token in sorted(found, key=lambda each: each.entered != asked)[:1]:
            held.remove(token)
            return token
        self.wrong(f"{visit.who} has nothing in hand that belongs to {visit.station}")
        return Token(part=visit.begins.part, step=None)

    def set_down(self, turn: Turn, token: Token) -> None:
        """The part lies at the station from now on."""
        station = turn.visit.target
        known = None if token.step is None else self.rules.next_step(token.part, token.step)
        step = self.rules.only_step(token.part, station) if known is None else known
        step = self.rules.lies_at(token.part, step, station)
        kind = self.cell.stations[station].kind
        self.reached[turn.visit.who] = step
        self.books[station].brought.append((turn, token))
        if kind in ("sink", "gate"):
            self.books[station].sets.append(turn)
        else:
            rules = StationRules(self.rules, self.wrong, self.need, self.kept)
            inner = self.rules.inner.get(turn.visit.station) == station
            book = self.books[station]
            rules.set_down(book, turn, replace(token, step=step, since=token.since if inner else turn))
            self.begun[turn.visit.who] = len(book.sets) % book.batch == 0


def called(turn: Turn) -> str:
    """Where something is done, for the reader."""
    return turn.visit.station or turn.visit.first.place or "its place"
