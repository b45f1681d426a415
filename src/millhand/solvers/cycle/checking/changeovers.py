"""The rules of changeovers of lots: which are needed, by whom, at an empty station, and the part fetched after it."""

from collections.abc import Iterator
from itertools import pairwise

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.model.duty import Duty
from millhand.solvers.cycle.checking.books import Token
from millhand.solvers.cycle.checking.play import Play
from millhand.solvers.cycle.unrolled import Handled, Turn, at

Brought = tuple[Turn, Token]


def refuse_changeovers(cell: Cell) -> None:
    """What cannot be checked of changeovers yet."""
    for change in cell.changeovers:
        duty = cell.duties[change.duty]
        if duty.needs_hands and any(cell.attendants[who].hands > 1 for who in duty.who):
            raise NotYet("a check of a changeover that needs empty hands", where=f"/duties/{change.duty}")
        for name in change.at:
            station = cell.stations[name]
            if station.capacity != 1 or (station.in_queue, station.out_queue) != (0, 0):
                raise NotYet("a check of changeovers beside slots or own buffers", where=f"/stations/{name}")


def changeover_violations(play: Play, whole: list[Handled]) -> Iterator[str]:
    """Every station is changed over as often as its parts ask for it, and not otherwise; `play` notes the waits."""
    for name in play.cell.stations:
        done = [each for each in whole if each.kind == "set_up" and each.station == name]
        done.sort(key=lambda each: each.first.at_steps)
        for old, new in asked(play, name):
            row = duty_between(play, name, (old[-1][1], new[0][1]))
            if row is None:
                continue
            between = [each for each in done if old[-1][0].start <= each.first.at_steps <= new[0][0].start]
            if len(between) != 1:
                yield f"{name} is changed over {len(between)} times before step {new[0][0].start}, not once"
                continue
            done.remove(between[0])
            yield from one_change(play, row, between[0])
            waits(play, (old, new), row[1], between[0])
        for each in done:
            yield f"{each.first.id} is a changeover that no part asks for"


def asked(play: Play, station: str) -> Iterator[tuple[list[Brought], list[Brought]]]:
    """Each load of a station with the next one."""
    book = play.books[station]
    loads = [book.brought[start : start + book.batch] for start in range(0, len(book.brought), book.batch)]
    return pairwise(loads)


def duty_between(play: Play, station: str, parts: tuple[Token, Token]) -> tuple[str, Duty] | None:
    """The first changeover of the cell from one part's family to the other's; None where they need none."""
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
    """Somebody who may does it, where it is done, in its time."""
    name, duty = row
    place = play.cell.stations[done.station].place if duty.place is None else duty.place
    if done.who not in duty.who:
        yield f"{done.who} cannot do {name}"
    if done.first.place != place or done.last.place != place:
        yield f"{name} is done at {done.first.place}, not at {place}"
    takes = play.rules.steps(duty.takes.mean_s)
    if done.hold_steps != takes:
        yield f"{name} takes {done.hold_steps} steps, not {takes}"


def waits(play: Play, loads: tuple[list[Brought], list[Brought]], duty: Duty, done: Handled) -> None:
    """It begins when the old load is out and somebody could have come; the new one is lifted after it."""
    turn, station = Turn(visit=done, period=0, start=done.first.at_steps), done.station
    first, last = at(turn, done.first), at(turn, done.last)
    play.exactly(first, last, play.rules.steps(duty.takes.mean_s), f"{done.first.id} does not take its time")
    book = play.books[station]
    gone = book.brought.index(loads[1][0])
    for lift in book.lifts[gone - len(loads[0]) : gone]:
        if lift is not None:
            lag = play.rules.tail(lift.visit) + play.rules.steps(duty.response_s.mean_s)
            words = f"{station} is changed over before its old parts are out and it was called for"
            play.need(at(lift, lift.visit.last), first, lag, words)
    for _, token in loads[1]:
        if token.lifted is not None:
            words = f"a part for {station} is fetched before it is changed over"
            play.need(last, at(token.lifted, token.lifted.visit.first), 0, words)
