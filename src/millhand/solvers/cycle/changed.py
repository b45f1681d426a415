"""Cells with one thing changed: a machine more or fewer, a gripper more or fewer, an arm more.

A new machine stands at the place of the one it is like (across the aisle), so that its ways are known. Where no time is
given for an exchange, it takes as long as a pick and a place one after the other. Nothing else changes.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from millhand.model.cell import Attendant, Cell, Step
from millhand.model.duty import Duty, Trigger
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span
from millhand.model.station import Fault

Names = tuple[str, ...]
Change = Callable[[Names], Names]


def with_machine(cell: Cell, like: str) -> tuple[Cell, str]:
    """The cell with one more station like this one, beside it in every list, and its name."""
    new = free_name(like, {*cell.stations, *cell.attendants, *cell.duties})

    def beside(names: Names) -> Names:
        return tuple(name for each in names for name in ((each, new) if each == like else (each,)))

    stations = {}
    for name, station in cell.stations.items():
        stations[name] = station
        if name == like:
            stations[new] = replace(station, start=0 if station.kind == "process" else station.start)
    return renamed_lists(replace(cell, stations=stations), beside, {new: like}), new


def without_machine(cell: Cell, gone: str) -> Cell:
    """The cell without one station, which must not be the only one of any step."""

    def left(names: Names) -> Names:
        return tuple(name for name in names if name != gone)

    stations = {name: each for name, each in cell.stations.items() if name != gone}
    return renamed_lists(replace(cell, stations=stations), left, {})


def free_name(like: str, taken: set[str]) -> str:
    """The next free name of the same kind: m4 after m1, m2, m3."""
    stem = like.rstrip("0123456789")
    return next(name for number in range(2, len(taken) + 3) if (name := f"{stem}{number}") not in taken)


def renamed_lists(cell: Cell, change: Change, times: Mapping[str, str]) -> Cell:
    """Every list of stations in a cell changed alike; `times` says whose time a new station takes."""
    parts = {
        name: replace(part, route=tuple(changed_step(step, change, times) for step in part.route))
        for name, part in cell.parts.items()
    }
    attendants = {name: changed_reach(each, change) for name, each in cell.attendants.items()}
    rows = (replace(row, at=change(row.at)) for row in cell.handling)
    return replace(
        cell,
        parts=parts,
        attendants=attendants,
        handling=tuple(row for row in rows if row.at),
        stations={
            name: replace(each, faults=tuple(changed_fault(fault, change) for fault in each.faults))
            for name, each in cell.stations.items()
        },
        duties={name: changed_duty(each, change) for name, each in cell.duties.items()},
        changeovers=tuple(replace(each, at=change(each.at)) for each in cell.changeovers),
        dispatch={name: replace(rule, order=change(rule.order)) for name, rule in cell.dispatch.items()},
        origins={},  # they point at numbers by their place in a file, and this cell stands in none
    )


def changed_step(step: Step, change: Change, times: Mapping[str, str]) -> Step:
    """A step at the changed stations, each with its own time."""
    at = change(step.at)
    if step.times_s is None:
        return replace(step, at=at)
    own = {name: step.times_s[times.get(name, name)] for name in at if times.get(name, name) in step.times_s}
    return replace(step, at=at, times_s=own)


def changed_reach(each: Attendant, change: Change) -> Attendant:
    """Where an attendant may take from and put to."""
    takes = None if each.take_from is None else change(each.take_from)
    return replace(each, take_from=takes, put_to=None if each.put_to is None else change(each.put_to))


def changed_fault(fault: Fault, change: Change) -> Fault:
    """What stops with a station."""
    return replace(fault, stops=change(fault.stops))


def changed_duty(duty: Duty, change: Change) -> Duty:
    """At which stations a duty is called."""
    return replace(
        duty,
        trigger=changed_trigger(duty.trigger, change),
        also=None if duty.also is None else changed_trigger(duty.also, change),
    )


def changed_trigger(trigger: Trigger, change: Change) -> Trigger:
    """The stations of a trigger."""
    return replace(trigger, at=change(trigger.at))


def with_second_gripper(cell: Cell, who: str) -> tuple[Cell, bool]:
    """The cell with two hands for an arm, and whether times of exchange had to be added up from pick and place."""
    rows = [row for each in cell.handling for row in exchange_rows(cell, each, who)]
    added = sum(row.swap is not None for row in rows) > sum(row.swap is not None for row in cell.handling)
    attendants = {**cell.attendants, who: replace(cell.attendants[who], hands=2)}
    return replace(cell, attendants=attendants, handling=tuple(rows), origins={}), added


def exchange_rows(cell: Cell, row: Handling, who: str) -> Iterator[Handling]:
    """A row, with an exchange where this arm picks and places at machines: its own row there, the others as before."""
    at = tuple(name for name in row.at if cell.stations[name].kind == "process")
    if who not in row.who or row.swap is not None or row.pick is None or row.place is None or not at:
        yield row
        return
    yield replace(row, who=(who,), at=at, swap=one_after_the_other(row.pick, row.place))
    if len(at) < len(row.at):
        yield replace(row, who=(who,), at=tuple(name for name in row.at if name not in at))
    if len(row.who) > 1:
        yield replace(row, who=tuple(name for name in row.who if name != who))


def one_after_the_other(pick: Visit, place: Visit) -> Visit:
    """An exchange that takes as long as a pick and then a place."""
    hold = Span(mean_s=pick.hold_s.mean_s + place.lead_s.mean_s + place.hold_s.mean_s)
    return Visit(lead_s=pick.lead_s, hold_s=hold, tail_s=place.tail_s, lead_on=pick.lead_on)


def with_one_gripper(cell: Cell, who: str) -> Cell | None:
    """The cell with one hand for an arm; None where some machine can only be served by an exchange."""
    rows = []
    for row in cell.handling:
        if who in row.who and row.swap is not None:
            if row.pick is None or row.place is None:
                return None
            rows.append(replace(row, who=(who,), swap=None))
            if len(row.who) > 1:
                rows.append(replace(row, who=tuple(name for name in row.who if name != who)))
        else:
            rows.append(row)
    attendants = {**cell.attendants, who: replace(cell.attendants[who], hands=1)}
    return replace(cell, attendants=attendants, handling=tuple(rows), origins={})


def with_second_arm(cell: Cell, who: str) -> tuple[Cell, str, str | None]:
    """The cell with one more arm like this one, its name, and the free place of the track where it stands aside.

    On a track it stands at the free place farthest from the first one's home; None where there is none, or no track.
    """
    new = free_name(who, {*cell.stations, *cell.attendants, *cell.duties})
    first = cell.attendants[who]
    track = next((name for name, each in cell.tracks.items() if who in each.attendants), None)
    aside = free_place(cell, who) if track else None
    ends = [name for name, _ in on_track(cell, who)]
    home = aside or (ends[-1] if track and ends else first.home)
    tracks = dict(cell.tracks)
    if track:
        order = sorted((first.home, home), key=lambda place: metres(cell, place))
        pair = (who, new) if order[0] == first.home else (new, who)
        others = [name for name in tracks[track].attendants if name != who]
        tracks[track] = replace(tracks[track], attendants=(*others, *pair))
    rows = tuple(replace(row, who=(*row.who, new)) if who in row.who else row for row in cell.handling)
    attendants = {**cell.attendants, new: replace(first, home=home)}
    dispatch = {**cell.dispatch, **({new: cell.dispatch[who]} if who in cell.dispatch else {})}
    changed = replace(cell, attendants=attendants, handling=rows, tracks=tracks, dispatch=dispatch, origins={})
    return changed, new, aside


def on_track(cell: Cell, who: str) -> list[tuple[str, float]]:
    """The places of a track that an arm can reach, by their distance from its home, the farthest last."""
    table = cell.moves.get(cell.attendants[who].moves_full or "")
    home = metres(cell, cell.attendants[who].home)
    known = [(name, place.track_m) for name, place in cell.places.items() if place.track_m is not None]
    reached = [(name, at) for name, at in known if table is not None and name in table.places]
    return sorted(reached, key=lambda each: abs(each[1] - home))


def metres(cell: Cell, place: str | None) -> float:
    """Where a place lies along its track; 0 where nothing says so."""
    return (cell.places[place].track_m or 0.0) if place in cell.places and place is not None else 0.0


def free_place(cell: Cell, who: str) -> str | None:
    """The free place of the track farthest from an arm's home: no station stands there, and it is nobody's home."""
    taken = {each.place for each in cell.stations.values()} | {each.home for each in cell.attendants.values()}
    free = [name for name, _ in on_track(cell, who) if name not in taken]
    return free[-1] if free else None


def in_halves(cell: Cell, pair: tuple[str, str], machines: Names) -> Cell:
    """The cell with the machines of one step shared out between two arms, the first half and the second."""
    half = (len(machines) + 1) // 2
    shares = dict(zip(pair, (machines[:half], machines[half:]), strict=True))
    others = tuple(name for name in cell.stations if name not in machines)
    attendants = dict(cell.attendants)
    for who, own in shares.items():
        each = attendants[who]
        takes = tuple(name for name in each.take_from or (*others, *machines) if name in (*others, *own))
        puts = tuple(name for name in each.put_to or (*others, *machines) if name in (*others, *own))
        attendants[who] = replace(each, take_from=takes, put_to=puts)
    return replace(cell, attendants=attendants)
