"""Which demands of a cell no cycle can keep together: the fewest that contradict each other, and what would help.

Demands are left away one after the other; those without which there still is no cycle do not belong to the
contradiction. What remains is smallest in that each of its demands alone, when given up, makes a cycle possible.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from millhand.errors import Contradiction
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.searching.jobs import inner_stations, jobs_of
from millhand.solvers.cycle.searching.program import Program, measured
from millhand.solvers.cycle.searching.search import Run, Span, built, run, serial_steps, unit_of
from millhand.solvers.cycle.searching.stays import whole_stay
from millhand.solvers.cycle.view import Steady, Stop

WAYS = "give a time to the ways that cannot be gone with a part"
BETWEEN = "give the parts of a load that comes back to {station} a place to lie between its two steps there"
ROOM_ASIDE = ("lower keep_m", "give each a place on the track that is out of the other's way", "let one work alone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """One demand: the parts of one load of a station, a longest stay of a part at a step, room at a station, or a
    station that only an exchange empties."""

    kind: str  # 'load', 'window', 'room', 'exchange'
    station: str
    part: str = ""
    step: int = 0


def contradiction(view: Steady, sets: int, effort: Effort, *, track: tuple[str, ...] = ()) -> Contradiction:
    """The smallest set of demands that no cycle with so many part sets keeps, in words; where there would be one if
    attendants did not share a `track`, it is that they do."""
    left = list(demands(view))
    if track and possible(view, left, sets, effort):
        return Contradiction([f"{' and '.join(track)} keep their order and their distance on one track"], ROOM_ASIDE)
    for each in tuple(left):
        fewer = [other for other in left if other != each]
        if not possible(view, fewer, sets, effort):
            left = fewer
    if not left:
        return Contradiction(["every part is carried all the way along its route"], [WAYS])
    rest = [other for other in demands(view) if other not in left]
    others = bool(rest) and not possible(view, rest, sets, effort)
    kept = left if others else [*left, *rest]
    return Contradiction([words(view, each) for each in left], cures(view, left, kept, sets, effort), others=others)


def demands(view: Steady) -> Iterator[Demand]:
    """Every demand that can be given up, those first that are hardest to change."""
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


def possible(view: Steady, kept: list[Demand], sets: int, effort: Effort) -> bool:
    """Whether there may be a cycle that keeps these demands; where the effort does not suffice, there may."""
    return tried(eased(view, kept), sets, effort).status != "INFEASIBLE"


def tried(view: Steady, sets: int, effort: Effort) -> Run:
    """One run with a view."""
    return run(program_of(view, sets, effort), replace(effort, heard=None))


def program_of(view: Steady, sets: int, effort: Effort) -> Program:
    """The program of a view, any period allowed."""
    unit = unit_of(view)
    span = Span(least=1, longest=serial_steps(view, sets) // unit + 1)
    return built(view, jobs_of(view, sets), span, unit, deadline=effort.deadline)


def eased(view: Steady, kept: list[Demand]) -> Steady:
    """The view with no other demands than these."""
    given_up = [each for each in demands(view) if each not in kept]
    slots, phases, routes = dict(view.slots), dict(view.phases), dict(view.routes)
    single = {each.station for each in given_up if each.kind == "load"}
    loads = {name: count for name, count in view.loads.items() if whole_of(name, view.loads) not in single}
    slots |= dict.fromkeys(set(view.loads) - set(loads))  # parts as such are then what fills it, as many as there are
    for each in given_up:
        if each.kind == "room":
            slots[each.station] = None
        elif each.kind == "window":
            routes[each.part] = without_window(routes[each.part], each.step)
        else:
            for (who, station, part, kind), phase in view.phases.items():
                if station == each.station and kind == "swap":
                    phases[who, station, part, "pick"] = phases[who, station, part, "place"] = phase
    return replace(view, slots=slots, phases=phases, routes=routes, special=replace(view.special, loads=loads))


def without_window(route: tuple[Stop, ...], step: int) -> tuple[Stop, ...]:
    """A route with no longest stay at one step."""
    return tuple(replace(stop, stay_max_steps=None) if at == step else stop for at, stop in enumerate(route))


def words(view: Steady, demand: Demand) -> str:
    """A demand in words."""
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


def cures(view: Steady, left: list[Demand], kept: list[Demand], sets: int, effort: Effort) -> list[str]:
    """What would help, one thing at a time: how long a stay would have to be allowed, more room, other handling.

    What is enough beside all that is `kept`; where nothing alone is, what ends this contradiction.
    """
    enough = [cure(view, each, kept, sets, effort) for each in left]
    if not any(enough) and len(kept) > len(left):
        enough = [cure(view, each, left, sets, effort) for each in left]
    return [each for each in enough if each]


def cure(view: Steady, demand: Demand, kept: list[Demand], sets: int, effort: Effort) -> str:
    """How one demand would have to change beside others that are kept; nothing where that is not enough."""
    beside = [other for other in kept if other != demand]
    if demand.kind == "window":
        least = least_stay(eased(view, beside), demand, sets, effort)
        return (
            ""
            if least is None
            else f"let {demand.station} hold {a_part(view, demand.part)} for {least * view.grid_s:g} s"
        )
    if not possible(view, beside, sets, effort):
        return ""
    if demand.kind == "load":
        fewer = f"let {demand.station} work one part at a time"
        return f"{fewer} or {BETWEEN.format(station=demand.station)}" if comes_back(view, demand.station) else fewer
    more = f"give {demand.station} more room"
    return more if demand.kind == "room" else f"let {demand.station} be emptied by a pick"


def comes_back(view: Steady, station: str) -> bool:
    """Whether a part goes from one step at a station to another there, and may lie in between."""
    return any(
        station in one.stations
        and station in other.stations
        and (one.stay_max_steps, other.stay_max_steps) == (None, None)
        for route in view.routes.values()
        for one, other in pairwise(route)
    )


def least_stay(view: Steady, demand: Demand, sets: int, effort: Effort) -> int | None:
    """The shortest longest stay at a step with which there is a cycle; None where none was found."""
    program = program_of(view, sets, effort)
    longest = program.model.new_int_var(0, 2 * program.longest, "longest stay")
    for spot in program.jobs.stays:
        if (spot[0], spot[2]) == (demand.part, demand.step):
            stay, coming = whole_stay(program, spot)
            program.model.add(longest >= stay - measured(program, coming, "set", "hold"))
    program.terms["objective"] = longest
    found = run(program, replace(effort, heard=None), relaxed=True)
    return None if found.tour is None else found.value * program.unit
