"""What has to hold for every schedule of lots beside what the validator says: each event as early as its arcs allow."""

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.kept import LEFT_OUT


def proof_gaps(found: Schedule) -> list[str]:
    """Events that could come earlier than they do, and a bound above the makespan."""
    longest = dict.fromkeys((event.id for event in found.events), 0)
    for _ in longest:
        before = dict(longest)
        for arc in found.arcs:
            longest[arc.after] = max(longest[arc.after], longest[arc.before] + arc.lag_steps)
        if longest == before:
            break
    wrong = [
        f"{event.id} could come at {longest[event.id]}, not {event.at_steps}"
        for event in found.events
        if longest[event.id] != event.at_steps
    ]
    if not found.least_steps <= found.period_steps:
        wrong.append("the bound is above the makespan")
    if not is_checked(found):
        wrong.append(found.how)
    return wrong


def is_checked(found: Schedule) -> bool:
    """Whether the validator has looked at the plan, and at no better one that it refused."""
    return "not checked" not in found.how and LEFT_OUT not in found.how
