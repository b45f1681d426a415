"""What holds up the end of the lots: the critical path by whom it runs through."""

from collections import Counter
from itertools import pairwise

from millhand.model.schedule import Schedule


def held_steps(schedule: Schedule) -> dict[str, int]:
    """How long the critical path runs through each resource, longest first; together that is the makespan."""
    found: Counter[str] = Counter()
    lags: dict[tuple[str, str], tuple[int, str]] = {}
    for arc in schedule.arcs:
        key = (arc.before, arc.after)
        lags[key] = max(lags.get(key, (arc.lag_steps, arc.why)), (arc.lag_steps, arc.why))
    for pair in pairwise(schedule.critical):
        steps, why = lags[pair]
        found[why] += steps
    return dict(found.most_common())


def holders(schedule: Schedule) -> str:
    """The same in words: 'm2 420 s, arm 35 s'."""
    told = (
        f"{why} {f'{steps * schedule.grid_s:.3f}'.rstrip('0').rstrip('.')} s"
        for why, steps in held_steps(schedule).items()
        if steps
    )
    return ", ".join(told) or "nothing that takes time"
