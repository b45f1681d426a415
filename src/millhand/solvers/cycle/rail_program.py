"""The visits of the constraint program on a shared track, and a solution of it as tours that need motions."""

from typing import Any

from millhand.solvers.cycle.hands import stays_for
from millhand.solvers.cycle.program import Program, Whole, measured
from millhand.solvers.cycle.rail import Rail
from millhand.solvers.cycle.rail_cycle import Placed
from millhand.solvers.cycle.rail_order import RailVisit
from millhand.solvers.cycle.solved import inside_of, timed_tour
from millhand.solvers.cycle.tour import Stay
from millhand.solvers.cycle.view import Steady


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
    stays = 0 if lifts or not one_hand else stays_for(program.view, stay)
    start: Whole = (program.lift if lifts else program.set_down)[number]
    made = (program.picks if lifts else program.places)(number, who, station)
    return RailVisit(
        who=who,
        place=program.view.places[station] or "",
        task=str(number),
        start=start - least_lead(program.view, stay),
        end=start + measured(program, number, "lift" if lifts else "set", "hold") + stays,
        present=program.some(made),
        comes_loaded=not lifts if one_hand else None,
        goes_loaded=lifts if one_hand else None,
    )


def least_lead(view: Steady, stay: Stay) -> int:
    """How long before the visit its attendant has to be there in any case, by an exchange or not."""
    keys = ((stay.who, stay.station, stay.part, kind) for kind in (stay.kind, "swap"))
    return min(view.phases[key].arrival_lead_steps for key in keys if key in view.phases)


def placed_of(program: Program, solver: Any) -> Placed:
    """The visits of a solution with their times, in the order of time."""
    tour = timed_tour(program, solver)
    return Placed(
        tour=tuple(stay for stay, _ in tour),
        starts=tuple(at for _, at in tour),
        period_steps=solver.value(program.period),
        inside=inside_of(program, solver),
    )
