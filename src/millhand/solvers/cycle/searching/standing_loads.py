"""Loads of several parts where other machines of their step have more own buffers: a load stays in its machine, whole,
while parts go on through the buffers of the others.

The moves that are none are made by each part in the moment in which it is lifted. So a stay at such a machine begins
with the set-down at its first step and ends with the lift at its last one, and nothing happens between the two.
"""

from millhand.solvers.cycle.chains import lies_at, may_come
from millhand.solvers.cycle.searching.jobs import Spot
from millhand.solvers.cycle.searching.program import Literal, Program


def stands(program: Program, spot: Spot, station: str) -> bool:
    """Whether a part of a load that is at a station for a step came to it for an earlier one."""
    if station not in program.view.loads:
        return False
    return station not in may_come(stations_along(program, spot), spot[2], program.view.only_to)


def stood(program: Program, spot: Spot) -> list[Literal]:
    """The ways in which a part comes to a stay that is one only in name."""
    move = program.jobs.stays[spot][0]
    return [lit for option, lit in program.chosen[move].items() if stands(program, spot, option.goal)]


def leaving(program: Program, spot: Spot, station: str) -> int:
    """The move by which a part leaves a station that it came to for a step."""
    step = spot[2]
    if station in program.view.loads:
        step = lies_at(stations_along(program, spot), step, station, program.view.only_to)
    return program.jobs.stays[spot[0], spot[1], step][1]


def add_stood(program: Program, spot: Spot, here: Literal) -> None:
    """A stay that is one only in name takes no time."""
    coming, going = program.jobs.stays[spot]
    program.model.add_implication(here, program.laps[spot][0])
    program.model.add(program.lift[going] == program.set_down[coming]).only_enforce_if(here)


def stations_along(program: Program, spot: Spot) -> list[tuple[str, ...]]:
    """The stations of each step of a part's route."""
    return [stop.stations for stop in program.view.routes[spot[0]]]
