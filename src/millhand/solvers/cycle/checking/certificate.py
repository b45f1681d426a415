"""The proof that an event graph has the period it claims: its times keep every arc, and one circuit allows no less."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from millhand.model.schedule import Arc, Schedule


def certificate_violations(schedule: Schedule) -> list[str]:
    """What is wrong with the times, the arcs or the critical circuit of a schedule, in words.

    Times that keep every arc show that the period is possible; a circuit whose lags divided by its laps give the period
    shows that no shorter one is. Together they prove the cycle ratio without searching for it. With the goal 'makespan'
    the circuit is a chain of arcs to the last event, which cannot come earlier.
    """
    known = {event.id for event in schedule.events}
    unknown = [arc for arc in schedule.arcs if arc.before not in known or arc.after not in known]
    if unknown:
        return [f"the arc {arc.before} -> {arc.after} names an event that does not exist" for arc in unknown]
    if len(known) < len(schedule.events):
        return ["two events have the same id"]
    if schedule.goal == "makespan":
        return [*late_arcs(schedule), *outside_events(schedule), *chain_violations(schedule)]
    return [*late_arcs(schedule), *outside_events(schedule), *circuit_violations(schedule)]


def late_arcs(schedule: Schedule) -> Iterator[str]:
    """Arcs that the times do not keep."""
    at = {event.id: event.at_steps for event in schedule.events}
    for arc in schedule.arcs:
        slack = at[arc.after] - at[arc.before] - arc.lag_steps + arc.laps * schedule.period_steps
        if slack < 0:
            yield f"{arc.after} comes {-slack} steps too early after {arc.before} ({arc.why})"


def outside_events(schedule: Schedule) -> Iterator[str]:
    """Events that do not lie inside one period."""
    end = schedule.period_steps + 1 if schedule.goal == "makespan" else max(1, schedule.period_steps)
    for event in schedule.events:
        if not 0 <= event.at_steps < end:
            yield f"{event.id} lies outside the period"


def circuit_violations(schedule: Schedule) -> Iterator[str]:
    """Whether the critical circuit exists and gives the period (rounded up to a whole step)."""
    if not schedule.critical:
        yield "no critical circuit is named"
        return
    lag, laps, best = 0, 0, tightest(schedule)
    for before, after in zip(schedule.critical, schedule.critical[1:] + schedule.critical[:1], strict=True):
        arc = best.get((before, after))
        if arc is None:
            yield f"the critical circuit has no arc from {before} to {after}"
            return
        lag, laps = lag + arc.lag_steps, laps + arc.laps
    if laps < 1 or not schedule.period_steps - 1 < Fraction(lag, laps) <= schedule.period_steps:
        yield f"the critical circuit takes {lag} steps in {laps} laps, not {schedule.period_steps} a lap"


def chain_violations(schedule: Schedule) -> Iterator[str]:
    """Whether nothing repeats, the last event gives the makespan, and the critical chain leaves it no room."""
    at = {event.id: event.at_steps for event in schedule.events}
    if any(arc.laps for arc in schedule.arcs) or any(event.lap for event in schedule.events):
        yield "something repeats in a schedule of lots that end"
    if max(at.values(), default=0) != schedule.period_steps:
        yield f"the last event comes after {max(at.values(), default=0)} steps, not {schedule.period_steps}"
    if not schedule.critical or at.get(schedule.critical[-1]) != schedule.period_steps:
        yield "no critical chain is named that ends with the last event"
    best = tightest(schedule)
    for before, after in pairwise(schedule.critical):
        arc = best.get((before, after))
        if arc is None or at[before] + arc.lag_steps != at[after]:
            yield f"the critical chain has no arc without slack from {before} to {after}"


def tightest(schedule: Schedule) -> dict[tuple[str, str], Arc]:
    """The arc between each two events that leaves the least slack."""
    best: dict[tuple[str, str], Arc] = {}
    for arc in schedule.arcs:
        ends = arc.before, arc.after
        known = best.get(ends)
        if known is None or slackless(schedule, arc) > slackless(schedule, known):
            best[ends] = arc
    return best


def slackless(schedule: Schedule, arc: Arc) -> int:
    """By how much an arc holds its second event after its first within one period."""
    return arc.lag_steps - arc.laps * schedule.period_steps
