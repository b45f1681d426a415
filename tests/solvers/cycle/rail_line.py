"""A part at a time along one route, carried by arms of one hand on a shared track: a small stand-in for the search
for the best cycle, so that what is said about tracks can be tried by itself."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from millhand.model.cell import Attendant, Cell, CellPart, MoveTable, Place, Step, Track
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span
from millhand.model.station import Station
from millhand.solvers.cycle.rails.rail import Rail, rail_of, shortest_way_steps
from millhand.solvers.cycle.rails.rail_motions import Allowance
from millhand.solvers.cycle.rails.rail_order import RailVisit, add_track
from millhand.solvers.cycle.rails.rail_rounds import Round, Visits, best_round
from millhand.solvers.cycle.rails.rail_tours import Asked, Call
from millhand.solvers.cycle.steady import steady
from millhand.solvers.cycle.tours.graph import Lag
from millhand.solvers.cycle.view import Steady


@dataclass(frozen=True, slots=True, kw_only=True)
class Tanks:
    """The numbers of such a cell: stations at `at_m`, the first a supply, the last a sink, and parking places.

    `steps_per_m` and `settle` make the travel; `only`: the stations that an arm may take from.
    """

    at_m: Sequence[float]
    times_s: Sequence[int]
    longest_s: Sequence[int | None] = ()
    park_m: Sequence[float] = ()
    arms: int = 2
    keep_m: float = 1.0
    rule: str = "apart"
    hold_s: int = 1
    per_m_s: float = 1.0
    settle_s: float = 0.0
    only: Mapping[str, tuple[str, ...]] | None = None
    homes: Sequence[str] = ()
    empty_s: Sequence[Sequence[float | None]] | None = None
    loaded_s: Sequence[Sequence[float | None]] | None = None


def table(rows: Sequence[Sequence[float | None]] | None) -> tuple[tuple[float | None, ...], ...] | None:
    """A square of travel times that does not follow from distances."""
    return None if rows is None else tuple(tuple(row) for row in rows)


def cell_of(tanks: Tanks) -> Cell:
    """The cell, on a grid of one second."""
    names = [f"s{index}" for index in range(len(tanks.at_m))]
    places = {name: Place(track_m=at) for name, at in zip(names, tanks.at_m, strict=True)}
    places |= {f"p{index}": Place(track_m=at) for index, at in enumerate(tanks.park_m)}
    at = [place.track_m or 0.0 for place in places.values()]
    ways = tuple(tuple(0.0 if a == b else abs(a - b) * tanks.per_m_s + tanks.settle_s for b in at) for a in at)
    kinds = ["supply", *["process"] * (len(names) - 2), "sink"]
    inner = zip(names[1:-1], tanks.times_s, tanks.longest_s or [None] * len(tanks.times_s), strict=True)
    empty = table(tanks.empty_s) or ways
    steps = [Step(at=(name,), time_s=Span(mean_s=float(time)), stay_max_s=most) for name, time, most in inner]
    arms = [f"arm{index + 1}" for index in range(tanks.arms)]
    visit = Visit(hold_s=Span(mean_s=float(tanks.hold_s)))
    homes = tanks.homes or [names[0], names[-1], *names]
    return Cell(
        format="millhand-cell/1", name="tanks", grid_s=1.0, places=places,
        tracks={"rail": Track(attendants=tuple(arms), keep_m=tanks.keep_m, rule=tanks.rule)},  # type: ignore[arg-type]
        stations={
            name: Station(kind=kind, place=name, capacity=1 if kind == "process" else None)  # type: ignore[arg-type]
            for name, kind in zip(names, kinds, strict=True)
        },
        attendants={
            arm: Attendant(kind="arm", home=home, moves_full="m", take_from=(tanks.only or {}).get(arm))
            for arm, home in zip(arms, homes, strict=False)
        },
        moves={"m": MoveTable(places=tuple(places), empty_s=empty, loaded_s=table(tanks.loaded_s))},
        handling=(Handling(who=tuple(arms), at=tuple(names), pick=visit, place=visit),),
        parts={"part": CellPart(route=(Step(at=(names[0],)), *steps, Step(at=(names[-1],))))},
    )  # fmt: skip


def events(view: Steady) -> list[str]:
    """Four events of each transfer: its lift begins and ends, its set-down begins and ends."""
    return [f"{index} {what}" for index in range(len(view.transfers)) for what in ("lift", "lifted", "set", "placed")]


@dataclass(slots=True, kw_only=True)
class Program:
    """The solver's model of one part a period, with the visits of each transfer by whoever may make it."""

    view: Steady
    rail: Rail
    hold: int
    model: Any
    period: Any
    lift: list[Any]
    drop: list[Any]
    by: list[dict[str, Any]]
    wraps: list[Any]
    orders: list[Any]


def program(cell: Cell, longest: int) -> Program:
    """Transfers in the order of the route; each is made by one arm."""
    from ortools.sat.python.cp_model import CpModel

    view = steady(cell)
    rail = rail_of(cell, view.movers, view.movers)
    assert rail is not None
    model = CpModel()
    hold = next(iter(view.phases.values())).hold_steps
    period = model.new_int_var(1, longest, "period")
    count = len(view.transfers)
    made = Program(
        view=view, rail=rail, hold=hold, model=model, period=period,
        lift=[model.new_int_var(0, longest, "") for _ in range(count)],
        drop=[model.new_int_var(0, 2 * longest, "") for _ in range(count)],
        by=[{who: model.new_bool_var("") for who in sorted(each.who)} for each in view.transfers],
        wraps=[model.new_bool_var("") for _ in range(count - 1)], orders=[],
    )  # fmt: skip
    model.add(made.lift[0] == 0)
    add_transfers(made)
    add_stays(made)
    for one in range(count):
        for other in range(one):
            add_arms(made, one, other)
    made.orders += add_track(model, rail, rail_visits(made), period, laps=2)
    model.minimize(period)
    return made


def way(made: Program, arm: str, start: str, end: str, *, loaded: bool) -> int:
    """Travel between two stations."""
    steps = shortest_way_steps(made.rail, arm, (start, end), loaded=loaded)
    assert steps is not None
    return steps


def add_transfers(made: Program) -> None:
    """Each is made once, within the period, and takes its hold and its way."""
    for index, by in enumerate(made.by):
        made.model.add_exactly_one(by.values())
        made.model.add(made.lift[index] < made.period)
        made.model.add(made.drop[index] + made.hold <= made.lift[index] + made.period)
        for who, here in by.items():
            least = made.hold + way(made, who, f"s{index}", f"s{index + 1}", loaded=True)
            made.model.add(made.drop[index] >= made.lift[index] + least).only_enforce_if(here)


def add_stays(made: Program) -> None:
    """A part is lifted when its process is done, and in time; the station is empty before the next one comes."""
    (route,) = made.view.routes.values()
    for index, wraps in enumerate(made.wraps):
        stop = route[index + 1]
        for value in (0, 1):
            here = wraps if value else ~wraps
            lifted = made.lift[index + 1] + value * made.period
            placed = made.drop[index] + made.hold
            made.model.add(lifted >= placed + stop.times_steps[0]).only_enforce_if(here)
            if stop.stay_max_steps is not None:
                made.model.add(lifted <= placed + stop.stay_max_steps).only_enforce_if(here)
            made.model.add(lifted + made.hold <= made.drop[index] + made.period).only_enforce_if(here)


def add_arms(made: Program, one: int, other: int) -> None:
    """One arm makes its transfers one after the other."""
    for who in sorted(made.by[one].keys() & made.by[other].keys()):
        laps = []
        for lap in range(-2, 3):
            here = made.model.new_bool_var("")
            laps.append(here)
            there = made.hold + way(made, who, f"s{one + 1}", f"s{other}", loaded=False)
            back = made.hold + way(made, who, f"s{other + 1}", f"s{one}", loaded=False)
            shift = lap * made.period
            made.model.add(made.lift[other] + shift >= made.drop[one] + there).only_enforce_if(here)
            made.model.add(made.lift[one] + made.period >= made.drop[other] + shift + back).only_enforce_if(here)
        both = [made.by[one][who], made.by[other][who]]
        made.model.add_bool_or([*laps, *(~each for each in both)])
        made.model.add_at_most_one(laps)
        made.orders += laps
        for each in both:
            made.model.add_bool_and([~lap for lap in laps]).only_enforce_if(~each)


def rail_visits(made: Program) -> list[RailVisit]:
    """Both visits of each transfer, by whoever may make it."""
    found = []
    for index, by in enumerate(made.by):
        for who, here in by.items():
            for end, start in enumerate((made.lift[index], made.drop[index])):
                found.append(
                    RailVisit(
                        who=who,
                        place=f"s{index + end}",
                        task=str(index),
                        start=start,
                        end=start + made.hold,
                        present=here,
                        comes_loaded=end == 1,
                        goes_loaded=end == 0,
                    )
                )
    return found


def best(cell: Cell, *, longest: int, work: float = 30.0) -> Round:
    """The best cycle with motions."""
    made = program(cell, longest)
    choices = [*made.wraps, *made.orders, *(here for by in made.by for here in by.values())]
    visits = Visits(model=made.model, period=made.period, choices=choices, asked=lambda solver: asked_of(made, solver))
    found = best_round(visits, Allowance(work=work))
    assert found is not None
    return found


def asked_of(made: Program, solver: Any) -> Asked:
    """The tours of a solution, its events and their arcs."""
    times: list[int] = []
    for lift, drop in zip(made.lift, made.drop, strict=True):
        at = solver.value(lift), solver.value(drop)
        times += [at[0], at[0] + made.hold, at[1], at[1] + made.hold]
    tours: dict[str, tuple[Call, ...]] = {}
    period = solver.value(made.period)
    for arm in made.rail.arms:
        calls = [
            Call(
                place=f"s{index + end}",
                first=4 * index + 2 * end,
                last=4 * index + 2 * end + 1,
                goes_loaded=not end,
                at_once=end == 1,
            )
            for index, by in enumerate(made.by)
            if arm in by and solver.value(by[arm])
            for end in (0, 1)
        ]
        tours[arm] = tuple(sorted(calls, key=lambda call: times[call.first] % period))
    return Asked(
        rail=made.rail, tours=tours, times=tuple(times), period_steps=period, arcs=tuple(arcs_of(made, solver)),
        floor_steps=period,
    )  # fmt: skip


def arcs_of(made: Program, solver: Any) -> list[Lag]:
    """What binds the events besides the arms: holds, stays, and one part at a time in a station."""
    (route,) = made.view.routes.values()
    found: list[Lag] = []
    for index in range(len(made.lift)):
        first = 4 * index
        for event in (first, first + 2):
            found += [(event, event + 1, made.hold, 0), (event + 1, event, -made.hold, 0)]
        found += [(first + 1, first + 2, 0, 0)]
    for index, wraps in enumerate(made.wraps):
        stop, lap = route[index + 1], solver.value(wraps)
        placed, lifted = 4 * index + 3, 4 * index + 4
        found.append((placed, lifted, stop.times_steps[0], lap))
        if stop.stay_max_steps is not None:
            found.append((lifted, placed, -stop.stay_max_steps, -lap))
        found.append((lifted + 1, placed - 1, 0, 1 - lap))
    return found
