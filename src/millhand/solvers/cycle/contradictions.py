"""Which demands of a cell no cycle can keep together: the fewest that contradict each other, and what would help.

Demands are left away one after the other; those without which there still is no cycle do not belong to the
contradiction. What remains is smallest in that each of its demands alone, when given up, makes a cycle possible; on a
shared track what is asked is not whether there is a cycle but whether there are visits, whatever motions lie between.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from millhand.errors import Contradiction
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_hunt import choices_of
from millhand.solvers.cycle.rails.rail_order import has_room_aside
from millhand.solvers.cycle.rails.rail_view import with_shortest_ways
from millhand.solvers.cycle.searching.jobs import inner_stations, jobs_of
from millhand.solvers.cycle.searching.program import Program, measured
from millhand.solvers.cycle.searching.search import Span, built, run, serial_steps, unit_of
from millhand.solvers.cycle.searching.stays import whole_stay
from millhand.solvers.cycle.view import Steady, Stop

WAYS = "give a time to the ways that cannot be gone with a part"
BETWEEN = "give the parts of a load that comes back to {station} a place to lie between its two steps there"
OWN_TRACKS = "give each a track of its own"
ROOM_ASIDE = "give each a place on the track that is out of the other's way"


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """One demand: the order and the distance on a track, the parts of one load of a station, a longest stay of a part
    at a step, room at a station, or a station that only an exchange empties."""

    kind: str  # 'track', 'load', 'window', 'room', 'exchange'
    station: str  # or track
    part: str = ""
    step: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Whether there is a cycle: of what, with how many part sets a period, with what effort, on which tracks if any."""

    view: Steady
    sets: int
    effort: Effort
    rail: Rail | None = None


def contradiction(asked: Question) -> Contradiction:
    """The smallest set of demands that no cycle with so many part sets keeps, in words.

    Tracks may be to blame for more than is asked of their visits: then it is the tracks, beside whatever else there is.
    """
    left = list(demands(asked))
    tracks = on_tracks(left)
    if tracks and possible(asked, left):
        return Contradiction([words(asked, each) for each in tracks], cures(asked, tracks, left))
    for each in tuple(left):
        fewer = [other for other in left if other != each]
        if not possible(asked, fewer):
            left = fewer
    if not left:
        return Contradiction(["every part is carried all the way along its route"], [WAYS])
    rest = [other for other in demands(asked) if other not in left]
    others = bool(rest) and not possible(asked, rest)
    kept = left if others else [*left, *rest]
    return Contradiction([words(asked, each) for each in left], cures(asked, left, kept), others=others)


def demands(asked: Question) -> Iterator[Demand]:
    """Every demand that can be given up, those first that are hardest to change."""
    for track in () if asked.rail is None else asked.rail.tracks:
        yield Demand(kind="track", station=track.name)
    yield from demands_of(asked.view)


def on_tracks(kept: list[Demand]) -> list[Demand]:
    """Those of some demands that come from a track."""
    return [each for each in kept if each.kind == "track"]


def demands_of(view: Steady) -> Iterator[Demand]:
    """Those that do not come from a track."""
    inner = inner_stations(view)
    yield from (Demand(kind="load", station=station) for station in whole(sorted(inner & set(view.loads))))
    for station in sorted(inner):
        if view.slots[station] is not None and station not in view.loads:  # a load is as large as it is
            yield Demand(kind="room", station=station)
        kinds = {key[3] for key in view.phases if key[1] == station}
        if "swap" in kinds and "pick" not in kinds:
            yield Demand(kind="exchange", station=station)
    for part, route in view.routes.items():
        for step, stop in enumerate(route):
            if stop.stay_max_steps is not None:
                names = whole([view.machine(name) for name in stop.stations])
                yield Demand(kind="window", station=" or ".join(names), part=part, step=step)


def whole(names: list[str]) -> list[str]:
    """Each station once, and the slots of a machine by the machine's own name."""
    return list(dict.fromkeys(whole_of(name, names) for name in names))


def whole_of(name: str, names: Iterable[str]) -> str:
    """The machine whose slot this is, where that stands among the names too; else the station itself."""
    machine = name.partition(" slot ")[0]
    return machine if machine in names else name


def possible(asked: Question, kept: list[Demand]) -> bool:
    """Whether there may be a cycle that keeps these demands; where the effort does not suffice, there may."""
    return run(program_of(asked, kept), replace(asked.effort, heard=None)).status != "INFEASIBLE"


def program_of(asked: Question, kept: list[Demand]) -> Program:
    """The program of a view with no other demands than these, any period allowed."""
    view, sets, deadline = eased(asked.view, kept), asked.sets, asked.effort.deadline
    rail = None if asked.rail is None else with_tracks(asked.rail, {each.station for each in on_tracks(kept)})
    unit = unit_of(view) if rail is None else 1
    span = Span(least=1, longest=serial_steps(view, sets) // unit + 1)
    if rail is None:
        return built(view, jobs_of(view, sets), span, unit, deadline=deadline)
    seen = with_shortest_ways(view, rail)
    program = built(seen, jobs_of(seen, sets), span, unit, deadline=deadline)
    choices_of(program, rail, in_motion=True)
    return program


def eased(view: Steady, kept: list[Demand]) -> Steady:
    """The view with no other demands than these."""
    given_up = [each for each in demands_of(view) if each not in kept]
    slots, phases, routes = dict(view.slots), dict(view.phases), dict(view.routes)
    single = {each.station for each in given_up if each.kind == "load"}
    loads = {name: count for name, count in view.loads.items() if whole_of(name, view.loads) not in single}
    slots |= dict.fromkeys(set(view.loads) - set(loads))  # parts as such are then what fills it, as many as there are
    for each in given_up:
        if each.kind == "room":
            slots[each.station] = None
        elif each.kind == "window":
            routes[each.part] = with_stay(routes[each.part], each.step, None)
        else:
            for (who, station, part, kind), phase in view.phases.items():
                if station == each.station and kind == "swap":
                    phases[who, station, part, "pick"] = phases[who, station, part, "place"] = phase
    return replace(view, slots=slots, phases=phases, routes=routes, special=replace(view.special, loads=loads))


def with_stay(route: tuple[Stop, ...], step: int, steps: int | None) -> tuple[Stop, ...]:
    """A route with another longest stay at one step, or none."""
    return tuple(replace(stop, stay_max_steps=steps) if at == step else stop for at, stop in enumerate(route))


def words(asked: Question, demand: Demand) -> str:
    """A demand in words."""
    view = asked.view
    if demand.kind == "track" and asked.rail is not None:
        return f"{' and '.join(arms_on(asked.rail, demand.station))} keep their order and their distance on one track"
    if demand.kind == "window":
        longest = view.routes[demand.part][demand.step].stay_max_steps or 0
        return f"{demand.station} holds {a_part(view, demand.part)} at most {longest * view.grid_s:g} s"
    if demand.kind == "load":
        again = ", and a part goes from one step there to the next" if comes_back(view, demand.station) else ""
        return f"{demand.station} works {view.loads[demand.station]} parts at a time{again}"
    if demand.kind == "room":
        room = view.slots[demand.station]
        return f"{demand.station} has room for {room} part{'s' if room != 1 else ''}"
    return f"{demand.station} is emptied by an exchange only"


def a_part(view: Steady, part: str) -> str:
    """A part in words; of which type only where there are several."""
    return f"a part of type {part}" if len(view.routes) > 1 else "a part"


def cures(asked: Question, left: list[Demand], kept: list[Demand]) -> list[str]:
    """What would help, one thing at a time: how long a stay would have to be allowed, more room, other handling.

    What is enough beside all that is `kept`; where nothing alone is, what ends this contradiction.
    """
    enough = [each for demand in left for each in cure(asked, demand, kept)]
    if not enough and len(kept) > len(left):
        enough = [each for demand in left for each in cure(asked, demand, left)]
    return enough


def cure(asked: Question, demand: Demand, kept: list[Demand]) -> Iterator[str]:
    """How one demand would have to change beside others that are kept; nothing where that is not enough."""
    view, station = asked.view, demand.station
    beside = [other for other in kept if other != demand]
    if demand.kind == "window":
        least, hold = least_stay(asked, beside, demand), f"let {station} hold {a_part(view, demand.part)}"
        if least is not None:  # motions may ask for more than the visits do
            yield f"{hold} for {'at least ' if on_tracks(beside) else ''}{least * view.grid_s:g} s"
        elif on_tracks(beside) and possible(asked, beside):  # then it may be waited with on its way, too
            yield f"{hold} without a limit"
    elif possible(asked, beside):
        if demand.kind == "track" and asked.rail is not None:
            yield from list(less_on_track(asked, asked.rail, demand, beside)) or [OWN_TRACKS]
        elif demand.kind == "load":
            fewer = f"let {station} work one part at a time"
            yield f"{fewer} or {BETWEEN.format(station=station)}" if comes_back(view, station) else fewer
        else:
            yield f"give {station} more room" if demand.kind == "room" else f"let {station} be emptied by a pick"


def less_on_track(asked: Question, rail: Rail, demand: Demand, beside: list[Demand]) -> Iterator[str]:
    """What helps those who share a track: less distance, room aside, or only one of them at work."""
    arms = arms_on(rail, demand.station)
    closer = tuple(
        replace(track, keep_m=Fraction(0)) if track.name == demand.station else track for track in rail.tracks
    )
    if closer != rail.tracks:
        without = replace(rail, tracks=closer, known={})
        if possible(replace(asked, rail=without), [*beside, demand]):
            yield "lower keep_m"
    if any(not has_room_aside(rail, arm, place) for arm, place in served(asked) if arm in arms):
        yield ROOM_ASIDE
    for arm in arms:
        movers = {who: mover for who, mover in asked.view.movers.items() if who == arm or who not in arms}
        alone = replace(asked.view, movers=movers)
        able = all(move.options for move in jobs_of(alone, asked.sets).moves)
        if able and possible(replace(asked, view=alone), beside):
            yield f"let {arm} work alone"


def served(asked: Question) -> set[tuple[str, str]]:
    """Who may have to be where for a move."""
    view = asked.view
    options = [option for move in jobs_of(view, asked.sets).moves for option in move.options]
    return {(each.who, view.places[name] or "") for each in options for name in (each.start, each.goal)}


def arms_on(rail: Rail, name: str) -> tuple[str, ...]:
    """Those who share a track."""
    return next(track.arms for track in rail.tracks if track.name == name)


def with_tracks(rail: Rail, names: set[str]) -> Rail | None:
    """Only some of the tracks; None where that is none."""
    tracks = tuple(track for track in rail.tracks if track.name in names)
    arms = tuple(arm for track in tracks for arm in track.arms)
    movers = {arm: rail.movers[arm] for arm in arms}
    return replace(rail, tracks=tracks, arms=arms, movers=movers, known={}) if tracks else None


def comes_back(view: Steady, station: str) -> bool:
    """Whether a part goes from one step at a station to another there, and may lie in between."""
    return any(
        station in one.stations
        and station in other.stations
        and (one.stay_max_steps, other.stay_max_steps) == (None, None)
        for route in view.routes.values()
        for one, other in pairwise(route)
    )


def least_stay(asked: Question, beside: list[Demand], demand: Demand) -> int | None:
    """The shortest longest stay at a step with which there is a cycle beside other demands; None where none was
    found."""
    if on_tracks(beside):  # limited, as long as it may be: the ways to it and from it are gone at once
        limited = with_stay(asked.view.routes[demand.part], demand.step, 2 * serial_steps(asked.view, asked.sets))
        routes = {**asked.view.routes, demand.part: limited}
        asked, beside = replace(asked, view=replace(asked.view, routes=routes)), [*beside, demand]
    program = program_of(asked, beside)
    longest = program.model.new_int_var(0, 2 * program.longest, "longest stay")
    for spot in program.jobs.stays:
        if (spot[0], spot[2]) == (demand.part, demand.step):
            stay, coming = whole_stay(program, spot)
            program.model.add(longest >= stay - measured(program, coming, "set", "hold"))
    program.terms["objective"] = longest
    found = run(program, replace(asked.effort, heard=None), relaxed=True)
    return None if found.tour is None else found.value * program.unit
