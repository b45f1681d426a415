"""What would change a cell: a machine more or fewer, a gripper more or fewer, a second arm, each measured twice.

Once by the load bound, which holds for every cycle; and once by the cycle that a search finds. The search is handed
over, so that any can be used. Chance, stops and people's duties are left out of both: the figures compare cycles.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.model.mix import part_set
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import cycle_bound_steps, least_for, load_bounds, plain_loads
from millhand.solvers.cycle.changed import (
    in_halves,
    with_machine,
    with_one_gripper,
    with_second_arm,
    with_second_gripper,
    without_machine,
)
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.setters import Setter, pace_of

HOUR_S = 3600.0
MOST_MACHINES = 24
Search = Callable[[Cell], Schedule]


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """A changed cell, what was changed, and what had to be assumed for it. `instead` is tried where the search refuses
    the cell itself."""

    name: str
    cell: Cell
    assumed: tuple[str, ...] = ()
    instead: Cell | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a variant makes an hour: at most by its loads, and in the cycle found, `best`; without one, the reason. With
    `kept` no better one was found than that of the cell as it was, which holds here too: what is added stands still."""

    name: str
    bound_per_h: float
    cycle_per_h: float | None
    proven: bool
    refused: str
    assumed: tuple[str, ...]
    best: Schedule | None = None
    kept: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Like:
    """The machines that a cell would get more or fewer of, and those that set its pace, where it has a cycle."""

    machines: tuple[str, ...]
    pace: tuple[Setter, ...] = ()

    @property
    def paced(self) -> bool:
        """Whether one of these machines is among those that set the pace."""
        return any(setter.name in self.machines for setter in self.pace)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tended:
    """How many like machines one arm can keep at work without a wait: by the loads, and in the cycle found (None where
    no cycle was found with one machine or more)."""

    machines: tuple[str, ...]
    arm: str
    by_load: int
    share: float  # machines' load over the arm's, both per part, times the machines: by_load before rounding down
    by_cycle: int | None


def outcome(variant: Variant, search: Search, before: Schedule | None = None) -> Outcome:
    """A variant measured; `before` is the cycle of the cell as it was, which counts where it holds here and the search,
    cut short, found none that is better."""
    size = sum(part_set(variant.cell.parts).values())
    steps = cycle_bound_steps(variant.cell)
    bound = size * HOUR_S / (steps * variant.cell.grid_s) if steps else float("inf")
    found, refused = cycle_of(variant, search)
    kept = before is not None and (found is None or rate_of(before) > rate_of(found)) and holds(variant.cell, before)
    best = before if kept else found
    rate = rate_of(best) if best else None
    proven = best is not None and (best.period_steps <= least_for(steps, variant.cell, best) if kept else best.proven)
    return Outcome(
        name=variant.name, bound_per_h=bound, cycle_per_h=rate, proven=proven, refused="" if kept else refused,
        assumed=variant.assumed, best=best, kept=kept,
    )  # fmt: skip


def rate_of(cycle: Schedule) -> float:
    """What a cycle makes an hour."""
    return HOUR_S * cycle.parts_per_period / (cycle.period_steps * cycle.grid_s)


def holds(cell: Cell, cycle: Schedule) -> bool:
    """Whether a cycle of another cell is one of this cell too."""
    try:
        return cell.grid_s == cycle.grid_s and not violations(cell, cycle)
    except NotYet:
        return False


def cycle_of(variant: Variant, search: Search) -> tuple[Schedule | None, str]:
    """The cycle of a variant, and why there is none."""
    refused = ""
    for cell in (variant.cell, variant.instead):
        if cell is not None:
            try:
                found = search(cell)
            except NotYet as reason:
                refused = refused or reason.thing
                continue
            if found.period_steps > 0:
                return found, ""
    return None, refused


def like_machines(cell: Cell, best: Schedule | None = None) -> Like:
    """The machines that more or fewer of would change: those that set the pace of a cycle; where none does, or without
    a cycle, those with the largest load."""
    groups = [each for each in plain_loads(cell) if all(is_machine(cell, name) for name in each.resources)]
    pace = pace_of(cell, best) if best is not None else None
    setters = pace.setters if pace else ()
    for setter in setters:
        for group in groups:
            if setter.name in group.resources:
                return Like(machines=group.resources, pace=setters)
    largest = max(groups, key=lambda group: group.time, default=None)
    return Like(machines=largest.resources if largest else (), pace=setters)


def is_machine(cell: Cell, name: str) -> bool:
    """Whether a resource is a station that works on parts."""
    return name in cell.stations and cell.stations[name].kind == "process"


def is_spared(cell: Cell, name: str) -> bool:
    """Whether each step done at a machine could be done at another."""
    steps = [step for part in cell.parts.values() for step in part.route if name in step.at]
    return all(len(step.at) > 1 for step in steps)


def arms_at(cell: Cell, machines: tuple[str, ...]) -> list[str]:
    """The attendants that serve these machines."""
    served = [name for row in cell.handling if set(row.at) & set(machines) for name in row.who]
    return [name for name in cell.attendants if name in served]


def variants(cell: Cell, machines: tuple[str, ...]) -> Iterator[Variant]:
    """The changes that make sense for a cell, one at a time; `machines` are those to have more or fewer of."""
    if len(machines) > 1 and is_spared(cell, machines[-1]):
        yield Variant(name=f"one machine fewer (no {machines[-1]})", cell=without_machine(cell, machines[-1]))
    if machines:
        more, new = with_machine(cell, machines[-1])
        yield Variant(
            name=f"one machine more ({new} like {machines[-1]})",
            cell=more,
            assumed=(f"{new} stands where {machines[-1]} stands, across the aisle: the same ways",),
        )
    arms = [name for name in arms_at(cell, machines) if cell.attendants[name].kind == "arm"]
    for name in arms:
        yield from gripper_variants(cell, name)
    if len(arms) == 1:
        yield second_arm(cell, arms[0], machines)


def gripper_variants(cell: Cell, who: str) -> Iterator[Variant]:
    """Two grippers instead of one, or one instead of two."""
    if cell.attendants[who].hands == 1:
        changed, added = with_second_gripper(cell, who)
        words = []
        if added:
            words.append("an exchange takes as long as a pick and a place one after the other")
            if not cell.attendants[who].turn_s:
                words.append(f"{who} turns from one gripper to the other in no time")
        yield Variant(name=f"two grippers on {who}", cell=changed, assumed=tuple(words))
    else:
        single = with_one_gripper(cell, who)
        if single is not None:
            yield Variant(name=f"one gripper on {who}", cell=single)


def second_arm(cell: Cell, who: str, machines: tuple[str, ...]) -> Variant:
    """One more arm of the same kind, free to serve every machine; or else each its own half of them."""
    changed, new, aside = with_second_arm(cell, who)
    track = next((name for name, each in changed.tracks.items() if who in each.attendants), None)
    if track is None:
        words = (f"{new} reaches what {who} reaches, and neither is in the other's way",)
        instead = in_halves(changed, (who, new), machines) if len(machines) > 1 else None
        return Variant(name=f"a second arm ({new})", cell=changed, assumed=words, instead=instead)
    keep = changed.tracks[track].keep_m
    place = (
        f"{new} stands aside at {aside}" if aside else f"track {track} has no free place where {new} could stand aside"
    )
    gap = "" if keep else "; the cell gives no distance to be kept"
    return Variant(name=f"a second arm ({new})", cell=changed, assumed=(place + gap,))


def tended(cell: Cell, search: Search, machines: tuple[str, ...]) -> Tended | None:
    """How many machines like these one arm could tend; None where several serve them."""
    arms = arms_at(cell, machines)
    if len(arms) != 1 or not machines:
        return None
    share = machines_share(cell, machines, arms[0])
    if share is None:
        return None
    by_load = min(int(share + 1e-9), MOST_MACHINES)
    by_cycle = kept_by_cycle(cell, search, machines, by_load)
    return Tended(machines=machines, arm=arms[0], by_load=by_load, share=share, by_cycle=by_cycle)


def kept_by_cycle(cell: Cell, search: Search, machines: tuple[str, ...], most: int) -> int | None:
    """The largest number of like machines of which none waits in the cycle found, upwards from those there are, or
    downwards where they wait; None where even one does."""
    here = min(max(1, most), len(machines))
    best = None
    for count in range(here, 0, -1):
        if none_waits(cell, search, machines, count):
            best = count
            break
    while best is not None and here <= best < most and none_waits(cell, search, machines, best + 1):
        best += 1
    return best


def none_waits(cell: Cell, search: Search, machines: tuple[str, ...], count: int) -> bool:
    """Whether a cycle is found with so many like machines in which they take no longer than their own load."""
    found, _ = cycle_of(Variant(name="", cell=with_count(cell, machines, count)), search)
    if found is None:
        return False
    one = machine_steps(cell, machines) or 0.0
    size = sum(part_set(cell.parts).values())
    return found.period_steps <= one / count * found.parts_per_period / size + 1


def machines_share(cell: Cell, machines: tuple[str, ...], arm: str) -> float | None:
    """How many machines the arm's load leaves room for: what one machine needs for a part over what the arm needs."""
    loads = {bound.resource: bound.cycle_steps for bound in load_bounds(cell)}
    if arm not in loads or not loads[arm]:
        return None
    one = machine_steps(cell, machines)
    return None if one is None else one / loads[arm]


def machine_steps(cell: Cell, machines: tuple[str, ...]) -> float | None:
    """What one of some like machines needs for one set of parts if it alone makes them."""
    steps = next((group.time for group in plain_loads(cell) if group.resources == machines), None)
    return None if steps is None else steps * len(machines)


def with_count(cell: Cell, machines: tuple[str, ...], count: int) -> Cell:
    """The cell with so many of some like machines."""
    changed, last = cell, machines[-1]
    for gone in machines[count:]:
        changed = without_machine(changed, gone)
    for _ in range(count - len(machines)):
        changed, _ = with_machine(changed, last)
    return changed
