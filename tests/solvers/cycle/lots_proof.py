"""What has to hold for every schedule of lots, whatever the cell."""

from itertools import pairwise

from millhand.model.schedule import Schedule


def proof_gaps(found: Schedule) -> list[str]:
    """What is wrong with times, arcs or critical path: each event comes exactly when its longest path says."""
    at = {event.id: event.at_steps for event in found.events}
    wrong = [f"{arc} is not kept" for arc in found.arcs if at[arc.after] < at[arc.before] + arc.lag_steps]
    wrong += [f"{arc} has laps" for arc in found.arcs if arc.laps]
    if len(at) < len(found.events):
        wrong.append("two events have one id")
    longest = dict.fromkeys(at, 0)
    for _ in at:
        for arc in found.arcs:
            longest[arc.after] = max(longest[arc.after], longest[arc.before] + arc.lag_steps)
    wrong += [f"{name} could come at {longest[name]}, not {time}" for name, time in at.items() if longest[name] != time]
    lags = {(arc.before, arc.after): -1 for arc in found.arcs}
    for arc in found.arcs:
        lags[arc.before, arc.after] = max(lags[arc.before, arc.after], arc.lag_steps)
    if sum(lags[pair] for pair in pairwise(found.critical)) != found.period_steps:
        wrong.append("the critical path does not take the makespan")
    if not found.least_steps <= found.period_steps:
        wrong.append("the bound is above the makespan")
    return wrong
