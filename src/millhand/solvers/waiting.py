"""How often several machines stand ready and wait at once, counted in logged weeks of a cell.

The books of a simulation say how long each machine waits, not how many of them at the same time: that is in the log.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.formulas.hours import WEEK_H
from millhand.model.cell import Cell
from millhand.model.performance import Figure
from millhand.solvers.kernel.codes import (
    A_OFF,
    ATTENDANT_STATES,
    LOG_ATTENDANT,
    LOG_STATION,
    PROCESS,
    S_OFF,
    S_WAITING,
    STATION_STATES,
)
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.running import finished_run, run_on
from millhand.solvers.output.interval import mean_interval

BREAK = ATTENDANT_STATES.index("break")
AWAY = (A_OFF, BREAK)
SEVERAL = 2  # machines that wait at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Waited:
    """Of the time in which somebody who loads is there and a machine may run."""

    weeks: int
    several: Figure  # share of it in which two machines or more stand ready and wait
    one_of: Figure  # machines that wait in the mean, over the whole time: the books' own figure, to be held against


@dataclass(slots=True)
class Tally:
    """Grid steps of one week."""

    open: int = 0
    several: int = 0
    waiting: int = 0  # machine by machine, whoever is there


def waited(cell: Cell, *, weeks: int, seed: int) -> Waited | None:
    """Counted in so many weeks, each a replication; None for fewer than two machines, or where nothing ever loads."""
    c = compiled(cell)
    machines = [s for s, kind in enumerate(c.stations.kind) if kind == PROCESS]
    if len(machines) < SEVERAL:
        return None
    end = round(WEEK_H * 3600.0 / c.grid_s)
    found = [tally_of(c, machines, end, seed, number) for number in range(weeks)]
    if not all(each.open for each in found):
        return None
    return Waited(
        weeks=weeks,
        several=mean_interval([each.several / each.open for each in found]),
        one_of=mean_interval([each.waiting / end for each in found]),
    )


def tally_of(c: Compiled, machines: list[int], end: int, seed: int, replication: int) -> Tally:
    """One week, from one change of state to the next."""
    run = finished_run(c, 0, seed=seed, replication=replication, logging=True)
    stations = [int(run.k["s_state"][s]) for s in range(c.size.stations)]
    people = [int(run.k["a_state"][a]) for a in range(c.size.attendants)]
    arms = [a for a in range(c.size.attendants) if c.attendants.arm[a]]
    load = arms or list(range(c.size.attendants))
    run_on(run, end)
    tally, since = Tally(), 0
    for at, what, who in changes(run.log, end):
        if at > since:  # most changes come several at a moment, and only the last of them lasts
            waiting = sum(stations[s] == S_WAITING for s in machines)
            tally.waiting += waiting * (at - since)
            if any(people[a] not in AWAY for a in load) and any(stations[s] != S_OFF for s in machines):
                tally.open += at - since
                tally.several += at - since if waiting >= SEVERAL else 0
            since = at
        if what == "station":
            stations[who[0]] = who[1]
        elif what == "attendant":
            people[who[0]] = who[1]
    return tally


def changes(log: list[tuple[int, ...]], end: int) -> Iterator[tuple[int, str, tuple[int, int]]]:
    """When which station or attendant goes into which state, in the order of time, and the end."""
    for at, what, who, where, _ in sorted(log, key=lambda line: line[0]):
        if at >= end:
            break
        if LOG_STATION <= what < LOG_STATION + len(STATION_STATES):
            yield at, "station", (where, what - LOG_STATION)
        elif LOG_ATTENDANT <= what < LOG_ATTENDANT + len(ATTENDANT_STATES):
            yield at, "attendant", (who, what - LOG_ATTENDANT)
    yield end, "end", (0, 0)
