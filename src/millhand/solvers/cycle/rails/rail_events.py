"""Motions on a shared track as events and arcs of a schedule."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_lines import Knot, Line
from millhand.solvers.cycle.rails.rail_tours import Asked, Loop, Timed


@dataclass(frozen=True, slots=True, kw_only=True)
class Woven:
    """The motions and all their arcs, for a schedule whose other events lie within the period, too.

    `laps` says for each event asked about how many periods were taken off its time to bring it there: its own lap
    grows by so much, and so the laps of arcs between such events: `laps + laps[after] - laps[before]`.
    """

    events: tuple[Event, ...]
    arcs: tuple[Arc, ...]
    at_steps: tuple[int, ...]
    laps: tuple[int, ...]


def woven(asked: Asked, timed: Timed, ids: Sequence[str]) -> Woven:
    """The motions that were found as events, with the arcs of the attendants on the track between all events."""
    period = timed.period_steps
    names: dict[Knot | int, tuple[str, int]] = {
        number: (name, timed.times[number] // period) for number, name in enumerate(ids)
    }
    events: list[Event] = []
    for loop in timed.loops.values():
        for number, rest in enumerate(loop.rests if loop.moves else ()):
            for arrives, time in ((True, rest.arrive), (False, rest.depart)):
                knot = Knot(arm=loop.arm, rest=number, arrives=arrives)
                motion = loop.before(number)[0] if arrives else number
                what = "arrive" if arrives else "depart"
                events.append(motion_event(what, motion, loop.arm, (rest.place, time % period)))
                names[knot] = events[-1].id, time // period
        events += parked(asked.rail, loop)
    return Woven(
        events=tuple(sorted(events, key=lambda event: event.at_steps)),
        arcs=tuple(arc_of(asked.rail, line, names) for line in timed.lines),
        at_steps=tuple(time % period for time in timed.times),
        laps=tuple(time // period for time in timed.times),
    )


def motion_event(what: str, motion: int, arm: str, at: tuple[str, int]) -> Event:
    """One end of a motion; both ends have its number."""
    return Event(
        id=f"{arm}:{motion + 1:02d} {what} {at[0]}", attendant=arm, station="", what=what, part="", lap=0,
        at_steps=at[1], place=at[0],
    )  # fmt: skip


def parked(rail: Rail, loop: Loop) -> list[Event]:
    """One that has nothing to do and does not stay at home came to its place before the cycle began."""
    rest = loop.rests[0]
    idle = not loop.moves and not rest.calls and rest.place != rail.homes[loop.arm]
    return [motion_event("arrive", 0, loop.arm, (rest.place, 0))] if idle else []


def arc_of(rail: Rail, line: Line, names: Mapping[Knot | int, tuple[str, int]]) -> Arc:
    """An arc between named events whose times lie within the period."""
    (before, earlier), (after, later) = names[line.before], names[line.after]
    track = rail.track(line.before.arm).name if line.track and isinstance(line.before, Knot) else ""
    return Arc(
        before=before, after=after, lag_steps=line.lag_steps, laps=line.laps + later - earlier,
        why=f"track {track}" if track else line.arm,
    )  # fmt: skip
