"""The rules of changeovers of lots: which are needed, by whom, at an empty station, and the part fetched after it."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from millhand.model.duty import Duty
from millhand.solvers.cycle.checking.books import Token, nth
from millhand.solvers.cycle.checking.play import Play
from millhand.solvers.cycle.unrolled import At, Handled, Turn, at

Brought = tuple[Turn, Token]


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The parts that a station worked on together, and how many of all its parts it had taken with them; `enters`: the
    start of their work, where the station takes parts out of a buffer of its own."""

    parts: tuple[Brought, ...]
    count: int
    enters: Turn | None

    @property
    def begins(self) -> int:
        """When the first of it was taken in."""
        return self.parts[0][0].start if self.enters is None else self.enters.start

    @property
    def complete(self) -> int:
        """When the last of it was."""
        return self.parts[-1][0].start if self.enters is None else self.enters.start


def changeover_violations(play: Play, whole: list[Handled]) -> Iterator[str]:
    """Every station is changed over as often as its parts ask for it, and not otherwise; `play` notes the waits."""
    for name in play.cell.stations:
        done = [each for each in whole if each.kind == "set_up" and each.station == name]
        done.sort(key=lambda each: each.first.at_steps)
        for old, new in pairwise(loads_of(play, name)):
            row = duty_between(play, name, (old.parts[-1][1], new.parts[0][1]))
            if row is None:
                continue
            between = [each for each in done if old.complete <= each.first.at_steps <= new.begins]
            if len(between) != 1:
                yield f"{name} is changed over {len(between)} times before step {new.begins}, not once"
                continue
            done.remove(between[0])
            yield from one_change(play, row, between[0])
            waits(play, (old, new), row[1], between[0])
        for each in done:
            yield f"{each.first.id} is a changeover that no part asks for"


def loads_of(play: Play, station: str) -> list[Load]:
    """The loads of a station in turn: as they were brought, or as it took its parts out of its own buffer."""
    book = play.books[station]
    if play.rules.queues(station)[0] != 0:
        taken = [(book.brought[number - 1], turn) for number, turn in book.begun.items()]
        return [Load(parts=(each,), count=at, enters=turn) for at, (each, turn) in enumerate(taken, 1)]
    size = book.batch
    return [
        Load(parts=tuple(book.brought[start : start + size]), count=start + size, enters=None)
        for start in range(0, len(book.brought), size)
    ]


def duty_between(play: Play, station: str, parts: tuple[Token, Token]) -> tuple[str, Duty] | None:
    """The first changeover of the cell from one part's family to the other's; None where they need none, as in
    endless slots."""
    if play.rules.room(station)[0] is None:
        return None
    old, new = (family(play, station, token) for token in parts)
    for change in play.cell.changeovers:
        if station in change.at and (change.from_family, change.to_family) == (old, new):
            return change.duty, play.cell.duties[change.duty]
    return None


def family(play: Play, station: str, token: Token) -> str | None:
    """The family of a part at the step for which it comes."""
    known = None if token.step is None else play.rules.next_step(token.part, token.step)
    step = play.rules.only_step(token.part, station) if known is None else known
    return None if step is None else play.cell.parts[token.part].route[step].family


def one_change(play: Play, row: tuple[str, Duty], done: Handled) -> Iterator[str]:
    """Somebody who may does it, where it is done, with hands empty that it needs, in its time."""
    name, duty = row
    place = play.cell.stations[done.station].place if duty.place is None else duty.place
    if done.who not in duty.who:
        yield f"{done.who} cannot do {name}"
    if done.first.place != place or done.last.place != place:
        yield f"{name} is done at {done.first.place}, not at {place}"
    held, hands = play.held[done.first.id], play.cell.attendants[done.who].hands
    if hands - held < duty.needs_hands:
        yield f"{done.who} has {hands - held} of {hands} hands empty for {name}, {duty.needs_hands} are needed"
    takes = play.rules.steps(duty.takes.mean_s)
    if done.hold_steps != takes:
        yield f"{name} takes {done.hold_steps} steps, not {takes}"


def waits(play: Play, loads: tuple[Load, Load], duty: Duty, done: Handled) -> None:
    """It begins when the old load is out and somebody could have come; the new one is lifted after it."""
    turn, (old, new) = Turn(visit=done, period=0, start=done.first.at_steps), loads
    first, last = at(turn, done.first), at(turn, done.last)
    play.exactly(first, last, play.rules.steps(duty.takes.mean_s), f"{done.first.id} does not take its time")
    for lag, event in outs(play, done.station, old):
        words = f"{done.station} is changed over before its old parts are out and it was called for"
        in_turn(play, event, first, (lag + play.rules.steps(duty.response_s.mean_s), words))
    words = f"a part for {done.station} is fetched before it is changed over"
    if new.enters is not None:
        in_turn(play, last, at(new.enters, new.enters.visit.first), (0, words))
        return
    for _, token in new.parts:
        if token.lifted is not None:
            in_turn(play, last, at(token.lifted, token.lifted.visit.first), (0, words))


def in_turn(play: Play, one: At, other: At, asked: tuple[int, str]) -> None:
    """One event comes after another, so long and at one moment too."""
    play.need(one, other, *asked)
    play.before.append((one.event.id, other.event.id))


def outs(play: Play, station: str, load: Load) -> Iterator[tuple[int, At]]:
    """After what, and how long after it, a load is out of a station: its lifts; with a buffer behind the machine the
    end of its work, and the lift that makes room there."""
    book, behind = play.books[station], play.rules.queues(station)[1]
    if behind == 0:
        for lift in book.lifts[load.count - len(load.parts) : load.count]:
            if lift is not None:
                yield play.rules.tail(lift.visit), at(lift, lift.visit.last)
        return
    for start in nth(book.starts, load.count):
        if start is not None:
            yield 0, at(start, start.visit.last)
    for lift in nth(book.lifts, load.count - behind) if behind is not None else ():
        if lift is not None:
            yield 0, at(lift, lift.visit.last)
