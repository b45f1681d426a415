"""In which order parts enter stations to which some come by themselves, read from a schedule."""

from collections.abc import Iterator, Mapping, Sequence

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.unrolled import Handled, handled, number_of, turns
from millhand.solvers.kernel.compile_steps import Steps
from millhand.solvers.kernel.expanded import Expanded
from millhand.solvers.kernel.layout import Entries, Entry

Owners = Mapping[str, tuple[int, int]]  # what is done, by the number of its set-down: attendant, place in its turn
Group = tuple[int, ...]  # a station, or the slots of one


def entries_of(whole: Expanded, best: Schedule, owners: Owners, steps: Steps) -> tuple[Entries, ...]:
    """Per station or row of slots the parts that enter it in a period, in their order: of those to which parts come by
    themselves, and others by hand, from elsewhere or of another kind. `steps`: of what each part is set down for."""
    found: dict[Group, list[Entry]] = {}
    for turn in turns(best, handled(best)[0], 1):
        if turn.visit.kind in ("place", "swap", "self"):
            for group, entry in _entry(whole, turn.visit, owners, steps):
                found.setdefault(group, []).append(entry)
    return tuple(Entries(at=group, rows=tuple(rows)) for group, rows in found.items() if _has_order(rows))


def _entry(whole: Expanded, visit: Handled, owners: Owners, steps: Steps) -> Iterator[tuple[Group, Entry]]:
    """What enters and where; nothing that stays within one machine and its buffers, or leaves the cell."""
    names, sets = list(whole.cell.stations), visit.begins
    at = whole.served(sets.station, sets=True)
    sources = whole.served(visit.first.station, sets=False) if visit.kind == "self" else ()
    within = any(names.index(whole.only_to[names[u]]) in at for u in sources if names[u] in whole.only_to)
    if within or any(whole.cell.stations[names[s]].kind not in ("process", "store") for s in at):
        return
    who, op = owners.get(number_of(sets), (-1, -1))
    step, came = steps.comes_for.get(number_of(sets), -1), steps.came.placed.get(number_of(sets), -1)
    yield at, Entry(who=who, op=op, sources=sources, step=step, lap=sets.lap, came=came)


def _has_order(rows: Sequence[Entry]) -> bool:
    """True where some come by themselves, not all alike, and all who bring others follow the schedule."""
    known = all(row.op >= 0 or (bool(row.sources) and row.step >= 0) for row in rows)
    kinds = {(row.sources, row.step if row.sources else -1) for row in rows}
    return known and len(kinds) > 1 and any(row.sources for row in rows)
