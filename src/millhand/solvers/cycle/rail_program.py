"""The visits of the constraint program on a shared track, and a solution of it as tours that need motions."""

from typing import Any

from millhand.solvers.cycle.program import Program, Whole, measured
from millhand.solvers.cycle.rail import Rail
from millhand.solvers.cycle.rail_cycle import Placed
from millhand.solvers.cycle.rail_order import RailVisit
from millhand.solvers.cycle.solved import inside_of, tour_of


def rail_visits(program: Program, rail: Rail) -> list[RailVisit]:
    """Every lift and set-down that an attendant on the track may make."""
    found = []
    for move in program.jobs.moves:
        for lifts in (True, False):
            stations = dict.fromkeys((o.who, o.start if lifts else o.goal) for o in move.options if o.who in rail.arms)
            for who, station in stations:
                found.append(rail_visit(program, (move.number, lifts), who, station))
    return found


def rail_visit(program: Program, of: tuple[int, bool], who: str, station: str) -> RailVisit:
    """One of them; with one hand it is known whether a part is carried before and after."""
    number, lifts = of
    move, one_hand = program.jobs.moves[number], program.view.movers[who].hands == 1
    stay = move.pick(who, station) if lifts else move.place(who, station)
    start: Whole = (program.lift if lifts else program.set_down)[number]
    lead = program.view.phases[who, station, stay.part, stay.kind].arrival_lead_steps
    made = (program.picks if lifts else program.places)(number, who, station)
    return RailVisit(
        who=who,
        place=program.view.places[station] or "",
        task=str(number),
        start=start - lead,
        end=start + measured(program, number, "lift" if lifts else "set", "hold"),
        present=program.some(made),
        comes_loaded=not lifts if one_hand else None,
        goes_loaded=lifts if one_hand else None,
    )


def placed_of(program: Program, solver: Any) -> Placed:
    """The visits of a solution with their times, in the order of time."""
    tour = tour_of(program, solver)
    times: dict[tuple[str, str, str, int], list[int]] = {}
    for move in program.jobs.moves:
        for option, lit in program.chosen[move.number].items():
            if solver.boolean_value(lit):
                pick, place = move.pick(option.who, option.start), move.place(option.who, option.goal)
                times.setdefault(("lift", pick.who, pick.station, pick.step), []).append(
                    solver.value(program.lift[move.number])
                )
                times.setdefault(("set", place.who, place.station, place.step), []).append(
                    solver.value(program.set_down[move.number])
                )
    for each in times.values():
        each.sort(reverse=True)
    starts = []
    for visit in tour:
        what, step = ("set", visit.step) if visit.kind == "place" else ("lift", visit.step)
        starts.append(times[what, visit.who, visit.station, step].pop())
    return Placed(
        tour=tour, starts=tuple(starts), period_steps=solver.value(program.period), inside=inside_of(program, solver)
    )
