"""In which order machines take parts of several kinds out of their own buffers, read from a schedule."""

from collections.abc import Sequence

from millhand.model.schedule import Event, Schedule
from millhand.solvers.kernel.expanded import Expanded

Taken = tuple[int, int]  # of a load: the step for which its parts come to the machine, and their lap from the supply on


def taken_in_turn(whole: Expanded, best: Schedule) -> tuple[tuple[Taken, ...], ...]:
    """Per station the loads that it begins in a period, in their order: of machines with a buffer of their own to which
    parts of several kinds come."""
    cell = whole.cell
    stores = [name for name, each in cell.stations.items() if each.kind == "store" and name in whole.only_to]
    before = {whole.only_to[name] for name in stores}
    return tuple(_taken(whole, best, name) if name in before else () for name in cell.stations)


def _taken(whole: Expanded, best: Schedule, name: str) -> tuple[Taken, ...]:
    """The loads of one machine; none where all are of one kind."""
    lies = {part: steps_to(whole, part, name) for part in whole.cell.parts}
    if sum(map(len, lies.values())) < 2:
        return ()
    starts = [event for event in best.events if event.what == "start" and event.station == name]
    ages = {part: [age_of(each, best) for each in starts if each.part == part] for part in lies}
    loads = sorted(starts, key=lambda each: (each.at_steps, each.part))[:: whole.cell.stations[name].batch]
    return first_first([(of_age(lies[each.part], age_of(each, best), ages[each.part]), each.lap) for each in loads])


def first_first(loads: Sequence[Taken]) -> tuple[Taken, ...]:
    """The same turn, beginning with the load that comes first in an empty cell, in lap 0; what stands before it in the
    schedule's period comes a period later."""
    least = min((lap for _, lap in loads), default=0)
    first = next((i for i, (_, lap) in enumerate(loads) if lap == least), 0)
    later = [(step, lap - least - 1) for step, lap in loads[:first]]
    return (*((step, lap - least) for step, lap in loads[first:]), *later)


def steps_to(whole: Expanded, part: str, name: str) -> list[int]:
    """The steps of a part for which it comes to a station, among all steps of all routes."""
    first = 0
    for other, told in whole.cell.parts.items():
        if other == part:
            break
        first += len(told.route)
    route = range(len(whole.cell.parts[part].route))
    return [first + i for i in route if name in whole.comes_to(part, i)]


def age_of(event: Event, best: Schedule) -> int:
    """How long after the beginning of the period in which its part was lifted out of the supply something happens."""
    return event.lap * best.period_steps + event.at_steps


def of_age(steps: Sequence[int], age: int, ages: Sequence[int]) -> int:
    """Which of several steps of a part at one station something belongs to: the earlier ones are done on younger
    parts."""
    ranked = sorted(ages)
    rank = ranked.index(age) if age in ranked else 0
    return steps[rank * len(steps) // max(1, len(ages))] if steps else -1
