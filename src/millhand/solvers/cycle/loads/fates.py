"""What becomes of the parts that come to a step: how many go on from it, at least, and how long they are worked on.

A part leaves its route early where a check takes it out, or where a stop spoils the load it is in. What comes behind
has less to do then, so a bound must not count on more parts there than are sure to come. Each share here is exact where
that is simple, and else on the side that makes the load smaller.
"""

from itertools import chain
from math import ceil, gamma, inf

from millhand.model.cell import Cell, CellPart, Step
from millhand.model.span import NO_TIME, Span
from millhand.model.station import Fault
from millhand.solvers.cycle.chains import rhythm_of


def going_on(cell: Cell, part: str, index: int, bad: float) -> float:
    """The least share of the parts that come to a step which go on from it; `bad` of them are so when it is over."""
    route = cell.parts[part].route
    step = route[index]
    kept = 1.0 - max(lost_share(cell, step, name) for name in step.at)
    if step.on_bad is None:
        return kept
    if any(each.stay_max_s is not None for each in route[: index + 1]):
        return 0.0  # how many stay too long, and are taken out here, is not for a load to say
    if all(each.on_bad != "scrap_since_last" for _, each in checks(cell)):
        return kept * (1.0 - bad)
    ahead = checked_ahead(cell, route, index)
    return 0.0 if ahead == inf else kept * (1.0 - bad) ** (1 + ahead)


def checks(cell: Cell) -> list[tuple[CellPart, Step]]:
    """The steps of all routes that take bad parts out."""
    return [(part, step) for part in cell.parts.values() for step in part.route if step.on_bad is not None]


def checked_ahead(cell: Cell, route: tuple[Step, ...], index: int) -> float:
    """How many parts of the same station may be checked while a part waits for its own check, at most; infinite where
    no limit is plain.

    With one check in the cell, and one attendant who brings parts there, they come in the order in which they are made.
    """
    check = cell.stations[route[index].at[0]]
    carriers = {who for row in cell.handling for who in row.who} or set(cell.attendants)
    if len(checks(cell)) > 1 or len(route[index].at) > 1 or check.capacity != 1 or len(carriers) > 1:
        return inf
    room = float(sum(cell.attendants[who].hands for who in carriers)) + size(check.in_queue) + check.batch
    for at in range(index - 1, -1, -1):
        found = {name: cell.stations[name] for name in route[at].at}
        if any(name in step.at for step in route[:at] for name in found if found[name].kind == "process"):
            return inf
        beside = [size(each.out_queue) + size(each.capacity) * each.batch for each in found.values()]
        machines = all(each.kind == "process" for each in found.values())
        room += max(beside) - 1 if machines else sum(beside) if at else 0.0
        if route[at].every == 1 and machines:
            break
    return room if room == inf else ceil(room / rhythm_of(route, index))


def size(room: int | None) -> float:
    """A number of parts; None is no limit."""
    return inf if room is None else float(room)


def lost_share(cell: Cell, step: Step, name: str) -> float:
    """The share of the parts that the stops of a station spoil, at most, but for those by the clock."""
    return min(1.0, at_the_start(cell, name) + span_of(step, name).mean_s / between_s(cell, name))


def ended_share(cell: Cell, step: Step, name: str) -> float:
    """The share of the loads of a station that no stop spoils, at least."""
    return 0.0 if hourly(cell, name) else 1.0 - lost_share(cell, step, name)


def spoilt_by_clock(cell: Cell, step: Step, period_s: float) -> float:
    """How many parts the stops by the clock spoil at a step in a time, at most: each a load, whatever its work."""
    return sum(period_s * hourly(cell, name) * cell.stations[name].batch for name in step.at)


def worked_share(cell: Cell, step: Step, name: str) -> float:
    """The share of its time that a station works on a load on average, at least: one that is spoilt is not finished.
    What stops by the clock save is not in it.

    A stop at a moment of the work saves what was left of it. Where moments are as likely as each other that is half of
    the square of the time by the mean time between stops; where stops keep to a rhythm it is at most twice as much.
    """
    span = span_of(step, name)
    if not span.mean_s:
        return 1.0
    by_chance = all(fault.every and fault.every.dist == "exponential" for fault in spoiling(cell, name, "busy"))
    saved = hit_s(span) / between_s(cell, name) * (0.5 if by_chance else 1.0)
    return max(0.0, 1.0 - at_the_start(cell, name) - saved)


def saved_by_clock(cell: Cell, name: str) -> float:
    """The work that stops by the clock save at a station, at most, by its time: each all of a load."""
    spans = [span_of(step, name) for part in cell.parts.values() for step in part.route if name in step.at]
    return hourly(cell, name) * max((hit_s(span) for span in spans if span.mean_s), default=0.0)


def spoiling(cell: Cell, name: str, on: str) -> tuple[Fault, ...]:
    """The stops of a machine of this kind that spoil what is in it."""
    station = cell.stations[name]
    found = station.faults if station.kind == "process" else ()
    return tuple(fault for fault in found if not fault.keeps_part and fault.on == on)


def at_the_start(cell: Cell, name: str) -> float:
    """The share of the loads that a stop spoils as they start."""
    found = spoiling(cell, name, "load")
    return min(1.0, sum(fault.p or (1.0 / fault.every.mean_s if fault.every else 0.0) for fault in found))


def between_s(cell: Cell, name: str) -> float:
    """The mean time of work between two stops that spoil it; infinite where there are none."""
    often = sum(1.0 / fault.every.mean_s for fault in spoiling(cell, name, "busy") if fault.every)
    return 1.0 / often if often else inf


def hourly(cell: Cell, name: str) -> float:
    """How often a stop by the clock spoils what is in a station, at most [1/s]."""
    return sum(1.0 / fault.every.mean_s for fault in spoiling(cell, name, "clock") if fault.every)


def may_stop(cell: Cell, name: str) -> bool:
    """Whether a machine may stand in the midst of its work: by a stop, a duty that holds it, or its hours. Whoever
    attends it is free then, and need not come back for the rest."""
    station = cell.stations[name]
    by_machines = (fault.stops for each in cell.stations.values() for fault in each.faults)
    by_people = (fault.stops for each in cell.attendants.values() for fault in each.faults)
    stopped = any(name in stops or "all" in stops for stops in chain(by_machines, by_people))
    held = any(duty.holds == "station" and duty.trigger.kind not in ("stop", "wear") for duty in cell.duties.values())
    return bool(station.faults) or station.calendar is not None or stopped or held


def span_of(step: Step, name: str) -> Span:
    """How long a station works on a load at this step."""
    return (step.times_s or {}).get(name) or step.time_s or NO_TIME


def hit_s(span: Span) -> float:
    """The mean length of the work that a moment falls into: long work is hit more often than short work."""
    return mean_square_s2(span) / span.mean_s


def mean_square_s2(span: Span) -> float:
    """The mean of the square of a time."""
    mean, low, high = span.mean_s, span.low_s or 0.0, span.high_s or 0.0
    if span.dist in ("exponential", "geometric"):
        return 2.0 * mean**2
    if span.dist == "weibull" and span.shape:
        return mean**2 * gamma(1 + 2 / span.shape) / gamma(1 + 1 / span.shape) ** 2
    if span.dist == "uniform":
        return mean**2 + (high - low) ** 2 / 12
    if span.dist == "triangular":
        top = span.mode_s or 0.0
        return mean**2 + (low**2 + top**2 + high**2 - low * top - low * high - top * high) / 18
    if span.values_s:
        return sum(value**2 for value in span.values_s) / len(span.values_s)
    return mean**2 * (1 + (span.cv or 0.0) ** 2)
