"""What happens at one moment in a plan for lots on a track has an order: nothing waits, over other things, for itself.

Elsewhere parts may pass through buffers and machines in no time, each visit tied to others all round.
"""

from collections.abc import Iterator

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from millhand.model.schedule import Schedule

DUE = (("lift", "placed"), ("set", "lifted"))  # what these waits ask for is no order


def moment_violations(schedule: Schedule) -> Iterator[str]:
    """Things that wait for each other in a circle, all at one moment.

    Two events that wait for each other directly happen together, as the two ends of a visit that takes no time; a
    circle over more than one such happening cannot be gone through. That a stay may take no time at all says when its
    lift is due, not what comes first; so it is with one hand that sets down at once what it has lifted.
    """
    number = {event.id: index for index, event in enumerate(schedule.events)}
    what = {event.id: event.what for event in schedule.events}
    waits = {
        (number[arc.before], number[arc.after])
        for arc in schedule.arcs
        if arc.laps == 0 and arc.lag_steps == 0 and (what[arc.before], what[arc.after]) not in DUE
    }
    together = strong_parts(len(number), {(a, b) for a, b in waits if (b, a) in waits})
    circles = strong_parts(len(number), {(int(together[a]), int(together[b])) for a, b in waits})
    for circle in range(int(circles.max(initial=-1)) + 1):
        inside = [event for event in schedule.events if circles[together[number[event.id]]] == circle]
        if len({int(together[number[event.id]]) for event in inside}) > 1:
            names = " and ".join(event.id for event in (inside[0], inside[-1]))
            yield f"{names} wait for each other at one moment"


def strong_parts(count: int, arcs: set[tuple[int, int]]) -> np.ndarray:
    """Of each node the number of its strongly connected part."""
    ends = np.array(sorted(arcs), dtype=int).reshape(-1, 2)
    graph = coo_array((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(count, count))
    return np.asarray(connected_components(graph, directed=True, connection="strong")[1])
