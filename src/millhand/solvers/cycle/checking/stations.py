"""The rules of a station, at each set-down, start and lift: room, loads, buffers of its own, stays, gates."""

from collections.abc import Callable

from millhand.solvers.cycle.checking.books import Book, Lying, Token, nth
from millhand.solvers.cycle.checking.rules import Rules
from millhand.solvers.cycle.unrolled import At, Turn, at, came_as

Wrong = Callable[[str], None]
Need = Callable[[At, At, int, str], None]
Kept = Callable[[At, At, int], bool]


class StationRules:
    """Checks of stations; `wrong` notes words, `need` demands a wait in time and by the arcs, `kept` says whether both
    keep it."""

    __slots__ = ("kept", "need", "rules", "wrong")

    def __init__(self, rules: Rules, wrong: Wrong, need: Need, kept: Kept) -> None:
        self.rules, self.wrong, self.need, self.kept = rules, wrong, need, kept

    def set_down(self, book: Book, turn: Turn, token: Token) -> None:
        """One part more lies at the station; there was room for it."""
        station = turn.visit.target
        book.sets.append(turn)
        number = len(book.sets)
        book.lying.append(Lying(token=token, turn=turn, number=number))
        slots, _ = self.rules.room(station)
        before, behind = self.rules.queues(station)
        if before != 0:
            if before is not None:
                self.from_queue(book, turn, number - before)
        elif behind != 0:
            self.machine_free(book, (turn, at(turn, turn.visit.begins)), number)
        elif slots is not None:
            self.slot_free(book, turn, slots)
        elif book.batch > 1:
            self.one_slot(book, turn, number)

    def slot_free(self, book: Book, turn: Turn, slots: int) -> None:
        """A slot is empty, and clear, before the first part of the next load; an exchange empties it by itself."""
        number, visit = len(book.sets), turn.visit
        exchange = visit.kind == "swap"
        freed = number - slots * book.batch if exchange else (book.load(number) - slots) * book.batch
        if freed < 1:
            return
        if freed > len(book.lifts):
            room = slots * book.batch
            self.wrong(f"{len(book.sets) - len(book.lifts)} parts lie at {visit.target}, room is for {room}")
            return
        words = f"{visit.target} is not clear when the next part is set down"
        self.gone(
            book, (turn, at(turn, visit.begins)), (freed, lambda lift: self.rules.clearing(lift.visit, visit), words)
        )

    def gone(self, book: Book, comes: tuple[Turn, At], asked: tuple[int, Callable[[Turn], int], str]) -> None:
        """So many lifts, each with what it takes after it, are over before something comes: the one that is this number
        in the order in which they are played. Of several at one moment the arcs may have had others come first; then
        the arcs have to name as many of any."""
        (turn, event), (count, after, words) = comes, asked
        for lift in nth(book.lifts, count):
            if lift is None or lift is turn:
                continue
            made = [each for each in book.lifts if each is not turn and (each is None or each.start <= lift.start)]
            if any(each is not None and each is not lift and each.start == lift.start for each in made):
                if self.kept(at(lift, lift.visit.last), event, after(lift)):
                    continue
                over = (each is None or self.kept(at(each, each.visit.last), event, after(each)) for each in made)
                if sum(over) >= count:
                    continue
            self.need(at(lift, lift.visit.last), event, after(lift), words)

    def one_slot(self, book: Book, turn: Turn, number: int) -> None:
        """A load comes into one of endless slots: each part after the one before is done with, and by exchange only in
        the place of its like in one other load."""
        load, first = book.load(number), (number - 1) % book.batch == 0
        exchange = turn.visit.kind == "swap"
        other = book.load(book.gone) if exchange else None
        if book.instead.setdefault(load, other) != other or (exchange and (book.gone - number) % book.batch):
            self.wrong(f"{turn.visit.target} has an exchange between two of its slots")
        mate = None if first else book.sets[number - 2]
        if mate is not None:
            self.in_turn(mate, turn)

    def in_turn(self, before: Turn, turn: Turn) -> None:
        """One visit to a slot is over, its tail too, before the next one begins."""
        closes = self.rules.tail(before.visit) + self.rules.lead(turn.visit)
        words = f"{turn.visit.station} is not clear when the next part of its load is handled"
        self.need(at(before, before.visit.last), at(turn, turn.visit.first), closes, words)

    def from_queue(self, book: Book, turn: Turn, number: int) -> None:
        """The machine has taken a part out of its own buffer before the next one is set down there."""
        if number > len(book.starts):
            self.wrong(f"the buffer before {turn.visit.target} is full when the next part is set down")
        for start in nth(book.starts, number):
            if start is not None:
                words = f"the buffer before {turn.visit.target} is full when the next part is set down"
                self.need(at(start, start.visit.first), at(turn, turn.visit.begins), 0, words)

    def machine_free(self, book: Book, comes: tuple[Turn, At], number: int) -> None:
        """Before a part comes into the machine the one before is done and gone, into the buffer behind or away; endless
        slots always have one free."""
        turn, event = comes
        if self.rules.room(turn.visit.target)[0] is None:
            return
        _, behind = self.rules.queues(turn.visit.target)
        words = f"{turn.visit.target} still holds the part before when the next one comes in"
        if number - 1 > len(book.starts) or (behind is not None and number - 1 - behind > len(book.lifts)):
            self.wrong(words)
        for start in nth(book.starts, number - 1):
            if start is not None:
                self.need(at(start, start.visit.last), event, 0, words)
        if behind is not None:
            tail = (lambda lift: self.rules.tail(lift.visit)) if behind == 0 else (lambda _: 0)
            self.gone(book, comes, (number - 1 - behind, tail, words))

    def work(self, book: Book, turn: Turn) -> None:
        """A load starts when it is complete, and takes its time."""
        book.starts.append(turn)
        load, start = len(book.starts), at(turn, turn.visit.first)
        station = turn.visit.station
        buffered = self.rules.queues(station)[0] != 0
        lies = self.out_of_buffer(book, turn) if buffered else book.load_lies(load)
        sets = [each.turn for each in lies] if buffered else book.load_sets(load)
        if len(sets) < book.batch:
            self.wrong(f"{station} starts with {len(sets)} of {book.batch} parts")
        if len({(each.token.part, each.token.step) for each in lies}) > 1:
            self.wrong(f"{station} works on parts of two types, or at two steps, in one load")
        for placed in sets:
            if placed is not None:
                words = f"{station} starts before its part is there"
                self.need(at(placed, placed.visit.leaves), start, self.rules.tail(placed.visit), words)
        if buffered:
            self.machine_free(book, (turn, start), load)
        step = lies[0].token.step if lies else None
        least = self.rules.work_steps(turn.visit.first.part, station, step)
        words = f"{station} works {turn.visit.hold_steps} steps, not {least}"
        self.need(start, at(turn, turn.visit.last), least, words)

    def out_of_buffer(self, book: Book, turn: Turn) -> list[Lying]:
        """The part that a machine takes out of its own buffer: it may take any of them."""
        part, station = turn.visit.first.part, turn.visit.station
        steps = self.rules.steps_lasting(part, station, turn.visit.hold_steps)
        waiting = book.waiting(part, self.entered(turn), steps)
        if waiting is None:
            return []
        book.begun[waiting.number] = turn
        return [waiting]

    def lift(self, book: Book, turn: Turn) -> Token:
        """The part of its type that lies longest is taken, and was there long enough and not too long."""
        part, station = turn.visit.first.part, turn.visit.station
        book.lifts.append(turn)
        lying = book.oldest(part, self.entered(turn))
        if lying is None:
            self.wrong(f"nothing lies at {station} to be lifted")
            return Token(part=part, step=None)
        book.lying.remove(lying)
        load = book.load(lying.number)
        if book.batch > 1 and self.rules.room(station)[0] is None and self.rules.queues(station)[1] == 0:
            if load in book.outs:
                self.in_turn(book.outs[load], turn)
            book.outs[load], book.gone = turn, lying.number
        if book.batch > 1 and len(book.load_sets(load)) < book.batch:
            self.wrong(f"a part of a load that is not complete is lifted from {station}")
        if lying.token.step is not None and lying.turn is not None:
            self.least_stay(book, turn, lying)
            self.longest_stay(turn, lying)
        return lying.token

    def entered(self, turn: Turn) -> int | None:
        """In which period the part entered that is meant, where one station does several steps for its type; of lots
        which part is meant."""
        several = self.rules.only_step(turn.visit.first.part, turn.visit.station) is None
        goal = self.rules.cell.goal
        asked = several or goal == "makespan"
        return came_as(turn.visit.first, period=turn.period, goal=goal) if asked else None

    def least_stay(self, book: Book, turn: Turn, lying: Lying) -> None:
        """The load was there for tail, process and lead, counted from its last part, and since its work was done."""
        token, load, lift = lying.token, book.load(lying.number), at(turn, turn.visit.first)
        if book.works:
            self.done(book, turn, lying.number)
        if self.rules.queues(turn.visit.station) != (0, 0):
            return
        for placed in book.load_sets(load):
            if placed is not None:
                least = self.rules.stay_least(placed.visit, turn.visit, token.part, token.step or 0)
                stay = turn.start - placed.end
                words = f"{token.part} stays {stay} steps at {turn.visit.station}, at least {least} are needed"
                self.need(at(placed, placed.visit.leaves), lift, least, words)

    def done(self, book: Book, turn: Turn, number: int) -> None:
        """The work on a part's load is over before it is lifted."""
        load, buffered = book.load(number), self.rules.queues(turn.visit.station)[0] != 0
        if number not in book.begun if buffered else load > len(book.starts):
            self.wrong(f"a part that was not worked on is lifted from {turn.visit.station}")
        for start in [book.begun.get(number)] if buffered else nth(book.starts, load):
            if start is not None:
                words = f"a part is lifted from {turn.visit.station} before it is done"
                self.need(at(start, start.visit.last), at(turn, turn.visit.first), self.rules.lead(turn.visit), words)

    def longest_stay(self, turn: Turn, lying: Lying) -> None:
        """The stay from the end of the set-down to the start of the lift is inside its window."""
        longest = self.rules.stay_longest(lying.token.part, lying.token.step or 0)
        since = lying.token.since or lying.turn
        if longest is None or since is None:
            return
        stay = turn.start - since.end
        words = f"{lying.token.part} stays {stay} steps at {turn.visit.station}, at most {longest} are allowed"
        self.need(at(turn, turn.visit.first), at(since, since.visit.leaves), -longest, words)

    def gate(self, book: Book, turn: Turn) -> None:
        """A gate gives without end, but only its turnaround after the last part set down."""
        placed = book.sets[-1] if book.sets else None
        wide = self.rules.cell.goal == "rate" and self.rules.side_by_side(turn.visit.station)
        if placed is not None and not wide:
            least = self.rules.turnaround(placed.visit, turn.visit)
            words = f"{turn.visit.station} has {turn.start - placed.end} steps to turn around, not {least}"
            self.need(at(placed, placed.visit.leaves), at(turn, turn.visit.first), least, words)
