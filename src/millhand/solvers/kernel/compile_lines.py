"""In which order machines take parts of several kinds out of their own buffers, read from a schedule."""

from collections.abc import Sequence

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.unrolled import number_of
from millhand.solvers.kernel.compile_steps import Steps
from millhand.solvers.kernel.expanded import Expanded

Taken = tuple[int, int, int]
"""Of a load: the step for which its parts come to the machine, their lap from the supply on, and which of the parts
that come in in a period it is, where it is one."""

Mate = tuple[int, int, int]
"""Which part is of one load with another, so many periods later from the supply, and the step at which they are."""


def mates_of(whole: Expanded, best: Schedule, steps: Steps) -> tuple[tuple[Mate, ...], ...]:
    """Of each part that comes in in a period those that are of one load with it, at any machine but those of one kind
    of parts that put out by themselves: there any two may be of one load."""
    found: list[list[Mate]] = [[] for _ in range(steps.came.each_period)]
    for name, station in whole.cell.stations.items():
        if station.batch == 1 or (station.self_out and kinds_at(whole, name) == 1):
            continue
        starts = [event for event in best.events if event.what == "start" and event.station == name]
        starts.sort(key=lambda each: (each.at_steps, each.part))
        told = [(steps.came.begun.get(number_of(each), -1), each) for each in starts]
        for i, (one, event) in enumerate(told):
            load = told[i - i % station.batch :][: station.batch]
            step = steps.begins.get(number_of(event), -1)
            if one >= 0:
                found[one] += [(which, event.lap - each.lap, step) for which, each in load if each is not event]
    return tuple(tuple(mate for mate in mates if mate[0] >= 0) for mates in found)


def taken_in_turn(whole: Expanded, best: Schedule, steps: Steps) -> tuple[tuple[Taken, ...], ...]:
    """Per station the loads that it begins in a period, in their order: of machines with a buffer of their own to which
    parts of several kinds come. `steps`: among them that of the part that each work is begun on."""
    cell = whole.cell
    stores = [name for name, each in cell.stations.items() if each.kind == "store" and name in whole.only_to]
    before = {whole.only_to[name] for name in stores}
    return tuple(_taken(whole, best, name, steps) if name in before else () for name in cell.stations)


def kinds_at(whole: Expanded, name: str) -> int:
    """For how many steps of all routes parts come to a machine."""
    parts = whole.cell.parts.items()
    return sum(name in whole.comes_to(part, i) for part, each in parts for i in range(len(each.route)))


def _taken(whole: Expanded, best: Schedule, name: str, steps: Steps) -> tuple[Taken, ...]:
    """The loads of one machine; none where all are of one kind."""
    if kinds_at(whole, name) < 2:
        return ()
    starts = [event for event in best.events if event.what == "start" and event.station == name]
    loads = sorted(starts, key=lambda each: (each.at_steps, each.part))[:: whole.cell.stations[name].batch]
    single = whole.cell.stations[name].batch == 1
    came = [steps.came.begun.get(number_of(each), -1) if single else -1 for each in loads]
    told = [(steps.begins.get(number_of(each), -1), each.lap) for each in loads]
    return first_first([(*each, which) for each, which in zip(told, came, strict=True)])


def first_first(loads: Sequence[Taken]) -> tuple[Taken, ...]:
    """The same turn, beginning with the load that comes first in an empty cell, in lap 0; what stands before it in the
    schedule's period comes a period later."""
    least = min((lap for _, lap, _ in loads), default=0)
    first = next((i for i, (_, lap, _) in enumerate(loads) if lap == least), 0)
    later = [(step, lap - least - 1, which) for step, lap, which in loads[:first]]
    return (*((step, lap - least, which) for step, lap, which in loads[first:]), *later)
