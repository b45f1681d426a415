"""In which order machines take parts of several kinds out of their own buffers, read from a schedule."""

from collections.abc import Mapping, Sequence

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.unrolled import number_of
from millhand.solvers.kernel.expanded import Expanded

Taken = tuple[int, int]  # of a load: the step for which its parts come to the machine, and their lap from the supply on


def taken_in_turn(whole: Expanded, best: Schedule, begins: Mapping[str, int]) -> tuple[tuple[Taken, ...], ...]:
    """Per station the loads that it begins in a period, in their order: of machines with a buffer of their own to which
    parts of several kinds come. `begins`: the step of the part that each work is begun on."""
    cell = whole.cell
    stores = [name for name, each in cell.stations.items() if each.kind == "store" and name in whole.only_to]
    before = {whole.only_to[name] for name in stores}
    return tuple(_taken(whole, best, name, begins) if name in before else () for name in cell.stations)


def _taken(whole: Expanded, best: Schedule, name: str, begins: Mapping[str, int]) -> tuple[Taken, ...]:
    """The loads of one machine; none where all are of one kind."""
    parts = whole.cell.parts.items()
    if sum(name in whole.comes_to(part, i) for part, each in parts for i in range(len(each.route))) < 2:
        return ()
    starts = [event for event in best.events if event.what == "start" and event.station == name]
    loads = sorted(starts, key=lambda each: (each.at_steps, each.part))[:: whole.cell.stations[name].batch]
    return first_first([(begins.get(number_of(each), -1), each.lap) for each in loads])


def first_first(loads: Sequence[Taken]) -> tuple[Taken, ...]:
    """The same turn, beginning with the load that comes first in an empty cell, in lap 0; what stands before it in the
    schedule's period comes a period later."""
    least = min((lap for _, lap in loads), default=0)
    first = next((i for i, (_, lap) in enumerate(loads) if lap == least), 0)
    later = [(step, lap - least - 1) for step, lap in loads[:first]]
    return (*((step, lap - least) for step, lap in loads[first:]), *later)
