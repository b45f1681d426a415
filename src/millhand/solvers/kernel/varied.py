"""One cell with some of its numbers scaled, many times over: what it puts out in the same few weeks each time.

Every variant meets the same chance (docs/streams.md: a stream is keyed by source, replication and day), so that what
differs between two of them is what was changed, but for what chance makes of the change.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from millhand.errors import InputError, ToolError
from millhand.formulas.hours import WEEK_H
from millhand.model.cell import Cell
from millhand.model.slots import paths_of, scaled
from millhand.solvers.cycle.bounds import long_run_loads, per_hour
from millhand.solvers.kernel.codes import ATTENDANT_STATES, COUNTS
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counts_of
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.running import finished_run, ready

NO_NAME = "varied"
WALKS = ("travelling", "carrying")


class Rates(NamedTuple):
    """What one variant comes to: means of the weeks."""

    bound_per_h: float
    loads: tuple[float, ...]  # time that each resource needs, of the long run, in grid steps
    parts_per_h: float
    attended_per_h: float
    unattended_per_h: float
    duties: Mapping[str, float]  # share of the time that somebody works on it
    walking: float  # time of all people on the way, as a share of one's
    late_per_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Variants:
    """A cell, by which factor each of its facts is scaled in each variant, and the weeks that all of them meet."""

    cell: Cell
    factors: tuple[Mapping[str, float], ...]
    seed: int
    weeks: int


def varied(task: Variants) -> tuple[Rates | None, ...]:
    """The rates of each variant, None where one cannot be simulated. May run in another process."""
    paths = paths_of(task.cell)
    return tuple(_rates(scaled(task.cell, factors, paths), task) for factors in task.factors)


def _rates(cell: Cell, task: Variants) -> Rates | None:
    """One variant."""
    found = long_run_loads(cell)
    try:
        c = compiled(cell, name=NO_NAME)
        ready(c)
        horizon = round(WEEK_H * 3600 / cell.grid_s)
        weeks = [counts_of(finished_run(c, horizon, seed=task.seed, replication=week)) for week in range(task.weeks)]
    except (ToolError, InputError):
        return None
    return _means(c, weeks, per_hour(cell, found), tuple(each.time for each in found), horizon)


def _means(c: Compiled, weeks: list[Counts], bound: float, loads: tuple[float, ...], horizon: int) -> Rates:
    """Means over the weeks."""
    steps = horizon * len(weeks)
    hours = steps * c.grid_s / 3600

    def per_h(name: str) -> float:
        return sum(week.counted[COUNTS.index(name)] for week in weeks) / hours

    return Rates(
        bound_per_h=bound,
        loads=loads,
        parts_per_h=per_h("parts"),
        attended_per_h=per_h("attended"),
        unattended_per_h=per_h("unattended"),
        duties={name: sum(week.duty_steps[d] for week in weeks) / steps for d, name in enumerate(c.duty_names)},
        walking=sum(_walked(week, len(c.attendant_names)) for week in weeks) / steps,
        late_per_h=sum(sum(week.late) for week in weeks) / hours,
    )


def _walked(week: Counts, attendants: int) -> int:
    """Time of all attendants on the way, in grid steps."""
    states = len(ATTENDANT_STATES)
    return sum(week.attendants[a * states + ATTENDANT_STATES.index(walk)] for a in range(attendants) for walk in WALKS)
