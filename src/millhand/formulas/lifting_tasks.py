"""Several lifting tasks in one job: their own indices, and the composite index of all together."""

import math
from collections.abc import Sequence

from millhand.formulas.lifting_frequency import CAUTION, frequency_multiplier
from millhand.formulas.limits import NOT_NEGATIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="niosh94110, sec. 2.4, single-task recommended weight limit",
    unit="kg",
    valid={"limit_kg": NOT_NEGATIVE, "frequency": SHARE},
    caution=CAUTION,
)
def single_task_limit_kg(limit_kg: float, *, frequency: float) -> float:
    """Weight limit of a task as if it were the only one, from its limit without the frequency multiplier [kg].

    limit_kg is recommended_weight_limit_kg with frequency=1.
    Source: niosh94110, sec. 2.4.  Valid for one task of several.
    """
    return limit_kg * frequency


@formula(
    source="niosh94110, sec. 2.4, composite lifting index",
    unit="1",
    valid={"duration_h": (0.0, 8.0)},
    units={"lifts_per_min": "1/min", "verticals_m": "m"},
    caution=CAUTION,
)
def composite_lifting_index(
    single_task: Sequence[float],
    *,
    frequency_independent: Sequence[float],
    lifts_per_min: Sequence[float],
    verticals_m: Sequence[float],
    duration_h: float,
) -> float:
    """Index of a job of several lifting tasks: the hardest one's own, and what each further one adds [1].

    single_task: mean load over single_task_limit_kg. frequency_independent: greatest load over the limit without the
    frequency multiplier. From the hardest task on each adds its frequency-independent index times the growth of
    1 / frequency multiplier as the lifts a minute add up, at the task's own height. Infinite where the table ends.
    Source: niosh94110, sec. 2.4.  Valid for tasks that are done in turn through the same hours.
    """
    order = sorted(range(len(single_task)), key=lambda task: -single_task[task])
    total, lifts = single_task[order[0]], lifts_per_min[order[0]]
    for task in order[1:]:
        before = frequency_multiplier(lifts, vertical_m=verticals_m[task], duration_h=duration_h)
        lifts += lifts_per_min[task]
        after = frequency_multiplier(lifts, vertical_m=verticals_m[task], duration_h=duration_h)
        if after == 0.0:
            return math.inf
        total += frequency_independent[task] * (1.0 / after - 1.0 / before)
    return total
