"""The independent validator: a schedule played through in time against the rules of the cell.

It shares no code with the builders of cycles: it reads the cell itself, moves every part of ten or so periods from
supply to outfeed, and checks each rule where it applies. Whatever it needs between two events it also demands of the
arcs, along one of them or a path, so that a simulation that obeys the arcs alone keeps the rules too.

certificate.py   the times keep the arcs, and one circuit allows no shorter period
unrolled.py      what is done, in the order of time
play.py          hands and ways at each visit and motion
stations.py      room, loads, own buffers, stays and gates, with what lies where in books.py
track.py         the distance of attendants on one track, at every moment
duties.py        duties that come once in so many parts
changeovers.py   who changes a station over, when, and that a part is fetched after it
lots.py          what enters: the mix of a steady flow, or all lots from an empty cell
moments.py       what the arcs put before what at one moment, on a track
instants.py      what happens at one moment can be done one thing after the other, with filled.py for the stations
waits.py         what the arcs demand
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from millhand.errors import ToolError
from millhand.model.cell import Cell
from millhand.model.schedule import Event, Schedule
from millhand.solvers.cycle.checking.books import Book, Token
from millhand.solvers.cycle.checking.certificate import certificate_violations
from millhand.solvers.cycle.checking.changeovers import changeover_violations
from millhand.solvers.cycle.checking.duties import duty_violations
from millhand.solvers.cycle.checking.instants import order_violations
from millhand.solvers.cycle.checking.lots import entry_violations, lot_violations
from millhand.solvers.cycle.checking.moments import moment_violations
from millhand.solvers.cycle.checking.play import Play
from millhand.solvers.cycle.checking.rules import Rules
from millhand.solvers.cycle.checking.track import on_tracks, track_violations, turns_at_one_moment
from millhand.solvers.cycle.checking.waits import waits_of
from millhand.solvers.cycle.pieces import refuse_pieces
from millhand.solvers.cycle.slots import is_told_in_full, with_slots
from millhand.solvers.cycle.trays import unused_trays, with_trays, without_trays
from millhand.solvers.cycle.unrolled import Handled, handled, turns
from millhand.solvers.cycle.written import in_full, only_ways

CHECKED_PERIODS = 6


def passed(cell: Cell, schedule: Schedule, called: str = "cycle") -> Schedule:
    """The schedule, when nothing is wrong with it; else a ToolError that says what is."""
    wrong = violations(cell, schedule)
    if wrong:
        told = "; ".join(wrong[:3])
        raise ToolError(f"the {called} found does not pass the validator: {told}", code="invalid_cycle")
    return schedule


def violations(cell: Cell, schedule: Schedule) -> list[str]:
    """Everything that is wrong with a schedule for a cell, in words; empty when nothing is."""
    cell = with_trays(without_trays(cell, unused_trays(cell)))
    refuse_pieces(cell)
    only, cell = only_ways(with_slots(cell)) if is_told_in_full(cell) else {}, in_full(cell)
    found = certificate_violations(schedule)
    whole, lonely = handled(schedule)
    found += [*lonely, *strangers(cell, schedule)]
    if found:
        return found
    again = told_again(cell, schedule, whole)
    whole = [each for each in whole if each.first.id not in again]
    in_order = by_loads(schedule, again)
    rules = Rules(cell=cell, inner=only, swapping=swapping(whole))
    play = Play(cell=cell, rules=rules, waits=waits_of(schedule), on_track=on_tracks(cell, whole))
    played(play, in_order, whole)
    entered = lot_violations if schedule.goal == "makespan" else entry_violations
    for words in (
        *entered(play, schedule, whole),
        *(changeover_violations(play, whole) if schedule.goal == "makespan" else ()),
        *duty_violations(play, schedule, whole),
        *track_violations(play, schedule, whole),
        *(at_one_moment(play, schedule, whole) if play.on_track and schedule.goal == "makespan" else ()),
    ):
        play.found[words] = None
    if schedule.goal == "makespan" and not play.found:
        play.found |= dict.fromkeys(order_violations(play, in_order, whole))
    return list(play.found)


def at_one_moment(play: Play, schedule: Schedule, whole: list[Handled]) -> Iterator[str]:
    """What is wrong with the order of what happens at one moment on a track."""
    yield from moment_violations(schedule, turns_at_one_moment(play, schedule, whole))


def swapping(whole: list[Handled]) -> frozenset[str]:
    """Who exchanges parts in one visit."""
    return frozenset(each.who for each in whole if each.kind == "swap")


def by_loads(schedule: Schedule, again: Mapping[str, str]) -> Schedule:
    """The schedule with all waits of the parts of one load at the one start and finish that are looked at."""
    arcs = (
        replace(arc, before=again.get(arc.before, arc.before), after=again.get(arc.after, arc.after))
        for arc in schedule.arcs
    )
    return replace(schedule, arcs=tuple(arcs)) if again else schedule


def together(starts: Sequence[Event], waits: frozenset[tuple[str, str]]) -> dict[str, int]:
    """Of each of some starts the number of the first one that happens with it, as both wait for each other."""
    found: dict[str, int] = {}
    for number, start in enumerate(starts):
        ties = (one.id for one in starts[:number] if {(one.id, start.id), (start.id, one.id)} <= waits)
        found[start.id] = found.get(next(ties, ""), number)
    return found


def told_again(cell: Cell, schedule: Schedule, whole: list[Handled]) -> dict[str, str]:
    """The starts of loads of several parts that are told once for each part, and their finishes: all but the first of
    each load, with the event of that first one. Of loads that start at one moment the arcs say what starts together."""
    found: dict[str, str] = {}
    waits = frozenset((arc.before, arc.after) for arc in schedule.arcs if (arc.lag_steps, arc.laps) == (0, 0))
    for name, station in cell.stations.items():
        works = [each for each in whole if each.kind == "work" and each.station == name]
        sets = [each for each in whole if each.kind in ("place", "swap", "self") and each.target == name]
        if station.batch > 1 and len(works) == len(sets):
            works.sort(key=lambda each: each.first.at_steps)
            starts = together([each.first for each in works], waits)
            works.sort(key=lambda each: (each.first.at_steps, starts[each.first.id]))
            for number, each in enumerate(works):
                first = works[number - number % station.batch]
                if first is not each:
                    found |= {each.first.id: first.first.id, each.last.id: first.last.id}
    return found


def strangers(cell: Cell, schedule: Schedule) -> list[str]:
    """Events of stations, attendants or parts that the cell does not have, or of another kind of goal."""
    found = [] if cell.goal == schedule.goal else [f"the cell's goal is {cell.goal}, not {schedule.goal}"]
    for event in schedule.events:
        here = event.what in ("depart", "arrive", "duty", "duty_done")
        set_up = event.what in ("start", "finish") and event.attendant and schedule.goal == "makespan"
        parts = event.part == "" if set_up else event.part in cell.parts
        known = stands_somewhere(cell, event) if here else event.station in cell.stations and parts
        if not known or event.attendant not in (None, *cell.attendants):
            found.append(f"{event.id} is at a station or place, or of a part or attendant, that the cell does not have")
    return found


def stands_somewhere(cell: Cell, event: Event) -> bool:
    """Whether an event is at a place of the cell, or of an attendant without a home, where nobody moves."""
    homeless = event.attendant in cell.attendants and cell.attendants[event.attendant or ""].home is None
    return event.place in cell.places or (event.what == "depart" and event.place is None and homeless)


def played(play: Play, schedule: Schedule, whole: list[Handled]) -> None:
    """All turns, checked once every part that lay somewhere at first has gone; with lots from the first one on."""
    ends = schedule.goal == "makespan"
    quiet = 0 if ends else max((event.lap for event in schedule.events), default=0) + 2
    working = {each.station for each in whole if each.kind == "work"}
    for name in play.cell.stations:
        works = name in working or play.rules.queues(name) != (0, 0)
        play.books[name] = Book(batch=play.rules.room(name)[1], works=works)
    if not ends:
        laid_out(play, schedule, whole)
    for turn in turns(schedule, whole, 1 if ends else quiet + CHECKED_PERIODS):
        play.checking = turn.period >= quiet
        play.turn(turn)


def laid_out(play: Play, schedule: Schedule, whole: list[Handled]) -> None:
    """What lies at stations and in hands when a period begins, and since when, as the laps of the events say.

    A part that entered in an earlier period is there if it was set down before, and is lifted in this one or later.
    """
    lying, held, waiting = (Counter[tuple[str, str, int]]() for _ in range(3))
    for event in schedule.events:
        times = {"lift": 1, "set": -1}.get(event.what, 0)
        for entered in range(min(0, -event.lap), max(0, -event.lap)):
            sign = times if event.lap > 0 else -times
            lying[event.station, event.part, entered] += sign
            held[event.attendant or "", event.part, entered] -= sign
            begins = {"start": 1, "set": -1}.get(event.what, 0)
            waiting[event.station, event.part, entered] += begins if event.lap > 0 else -begins
    flows = [name for name, station in play.cell.stations.items() if station.kind not in ("supply", "sink", "gate")]
    counts = [count for (name, _, _), count in lying.items() if name in flows]
    if min([*counts, *(count for (who, _, _), count in held.items() if who)], default=0) < 0:
        play.found["the laps of the events do not follow the parts"] = None
    for name in flows:
        tokens = [
            Token(part=part, step=play.rules.only_step(part, name), entered=entered)
            for part in play.cell.parts
            for entered in since(lying, (name, part))
        ]
        by_laps = [(part, entered) for part in play.cell.parts for entered in since(waiting, (name, part))]
        each = (
            sum({"start": 1, "set": -1}.get(event.what, 0) for event in schedule.events if event.station == name) == 0
        )
        in_turn = waiting_last(tokens, by_laps) if each or play.books[name].batch == 1 else tokens
        count = not_started(play, whole, (name, len(tokens)), len(by_laps) if each else None)
        play.books[name].start_with(in_turn, waiting=count)
    for who in play.cell.attendants:
        play.hands[who] = [
            Token(part=part, step=None, entered=entered)
            for part in play.cell.parts
            for entered in since(held, (who, part))
        ]


def waiting_last(tokens: list[Token], waiting: list[tuple[str, int]]) -> list[Token]:
    """What lies at a station, those last of which type and period says that they have not been started there yet."""
    left, begun, later = list(waiting), [], []
    for token in reversed(tokens):
        key = (token.part, token.entered or 0)
        if key in left:
            left.remove(key)
            later.append(token)
        else:
            begun.append(token)
    return begun[::-1] + later[::-1]


def since(parts: Counter[tuple[str, str, int]], here: tuple[str, str]) -> list[int]:
    """In which periods the parts of a type that are in one place entered, the oldest first."""
    return sorted(entered for (*place, entered), count in parts.items() if tuple(place) == here for _ in range(count))


def not_started(play: Play, whole: list[Handled], here: tuple[str, int], by_laps: int | None) -> int:
    """How many of the parts that lie at a station when a period begins have not been started there yet: by the laps,
    where the start of each part is told.

    For loads of several parts told once it is what the first start of the period needs beside the set-downs before it.
    """
    name, lie = here
    starts = [each.first.at_steps for each in whole if each.kind == "work" and each.station == name]
    batch = play.books[name].batch
    if not starts:
        return lie % batch
    if batch == 1 or by_laps is not None:
        return min(lie, max(0, by_laps or 0))
    before = sum(
        1
        for each in whole
        if each.kind in ("place", "swap", "self")
        and each.target == name
        and each.first.at_steps + each.hold_steps <= min(starts)
    )
    return min(lie, batch - before if before < batch else -before % batch)
