"""What happens at one moment in a plan for lots on a track has an order: nothing waits, over other things, for itself.

Elsewhere parts may pass through buffers and machines in no time, each visit tied to others all round.
"""

from collections.abc import Iterable, Iterator

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from millhand.model.schedule import Schedule

DUE = (("lift", "placed"), ("set", "lifted"))  # what these waits ask for is no order


def moment_violations(schedule: Schedule, turns: Iterable[tuple[tuple[str, str], ...]] = ()) -> Iterator[str]:
    """Things that wait for each other in a circle, all at one moment.

    Two events that wait for each other directly happen together, as the two ends of a visit that takes no time; a
    circle over more than one such happening cannot be gone through. That a stay may take no time at all says when its
    lift is due, not what comes first; so it is with one hand that sets down at once what it has lifted. `turns` are
    waits beside the arcs, each one of two events or another one of two others.
    """
    number = {event.id: index for index, event in enumerate(schedule.events)}
    what = {event.id: event.what for event in schedule.events}
    waits = {
        (number[arc.before], number[arc.after])
        for arc in schedule.arcs
        if arc.laps == 0 and arc.lag_steps == 0 and (what[arc.before], what[arc.after]) not in DUE
    }
    together = strong_parts(len(number), {(a, b) for a, b in waits if (b, a) in waits})
    order = {(int(together[a]), int(together[b])) for a, b in waits}
    things = {event: int(together[index]) for event, index in number.items()}
    asked = [[(things[one], things[other]) for one, other in turn] for turn in turns]
    order = with_turns(order, asked)
    circles = strong_parts(len(number), order)
    for circle in range(int(circles.max(initial=-1)) + 1):
        inside = [event for event in schedule.events if circles[together[number[event.id]]] == circle]
        if len({int(together[number[event.id]]) for event in inside}) > 1:
            names = " and ".join(event.id for event in (inside[0], inside[-1]))
            yield f"{names} wait for each other at one moment"


def with_turns(order: set[tuple[int, int]], turns: list[list[tuple[int, int]]]) -> set[tuple[int, int]]:
    """The order with one wait of each turn: of two the first that makes no circle."""
    for turn in sorted(turns, key=len):
        pairs = [(one, other) for one, other in turn if one != other]
        open_ones = [pair for pair in pairs if not reaches(order, pair[1], pair[0])]
        if pairs:
            order = order | {(open_ones or pairs)[0]}
    return order


def reaches(order: set[tuple[int, int]], start: int, goal: int) -> bool:
    """Whether one thing comes before another in an order."""
    onward: dict[int, list[int]] = {}
    for one, other in order:
        onward.setdefault(one, []).append(other)
    seen, queue = {start}, [start]
    for each in queue:
        new = [other for other in onward.get(each, ()) if other not in seen]
        seen.update(new)
        queue += new
    return goal in seen


def strong_parts(count: int, arcs: set[tuple[int, int]]) -> np.ndarray:
    """Of each node the number of its strongly connected part."""
    ends = np.array(sorted(arcs), dtype=int).reshape(-1, 2)
    graph = coo_array((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(count, count))
    return np.asarray(connected_components(graph, directed=True, connection="strong")[1])
