"""What would change the output of a cell, as a short table: machines, grippers, arms, each by load and by cycle."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from millhand.cli.schedule_words import and_words, number, wrapped
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.variants import (
    Like,
    Outcome,
    Search,
    Tended,
    Variant,
    like_machines,
    outcome,
    tended,
    variants,
)

NAME = 41
WORTH = 0.005  # gains below half a percent are none
HEAD = "What would change it, parts an hour while nothing goes wrong"


def change_lines(cell: Cell, search: Search, known: Schedule | None = None) -> Iterator[str]:
    """The table, whose number is changed, how many machines one arm could tend, and what was assumed. `known`: a cycle
    of the cell as it is, which counts where this search finds none that is better."""
    yield HEAD
    if cell.goal == "makespan":
        yield "  (only for cycles: this cell asks for lots to be finished early)"
        return
    now = replace(outcome(Variant(name="as it is", cell=cell), search, known), kept=False)
    like = like_machines(cell, now.best)
    changed = [outcome(each, search, now.best) for each in variants(cell, like.machines)]
    yield f"  {'':<{NAME}} {'by load':>8} {'in cycle':>8} {'gain':>16}".rstrip()
    for each in (now, *changed):
        yield row(each, now)
    yield from wrapped(like_words(cell, like))
    found = tended(cell, search, like.machines)
    if found is not None:
        yield from wrapped(tended_words(found))
    yield from remarks((now, *changed))


def row(each: Outcome, now: Outcome) -> str:
    """One line: the bound, the cycle, and the gain over the cell as it is, cycle against cycle where both are there."""
    cycle = f"{each.cycle_per_h:.1f}" if each.cycle_per_h is not None else "none"
    beside = "" if each is now else gain_words(each, now)
    return f"  {each.name:<{NAME}} {each.bound_per_h:>8.1f} {cycle:>8} {beside:>16}".rstrip()


def gain_words(each: Outcome, now: Outcome) -> str:
    """Parts an hour and percent; by the loads only, where there is no cycle to compare."""
    both = each.cycle_per_h is not None and now.cycle_per_h is not None
    old, new = (now.cycle_per_h, each.cycle_per_h) if both else (now.bound_per_h, each.bound_per_h)
    if not old or new is None:
        return ""
    share = new / old - 1
    said = "none" if abs(share) < WORTH else f"{new - old:+.1f}, {100 * share:+.0f} %"
    return said if both else f"{said} *"


def like_words(cell: Cell, like: Like) -> str:
    """Why these machines and no others are changed; nothing where there are no others."""
    others = [name for name, each in cell.stations.items() if each.kind == "process" and name not in like.machines]
    if not like.machines or not others:
        return ""
    setters = [setter.name for setter in like.pace]
    whom, one = and_words(list(like.machines)), len(like.machines) == 1
    if like.paced:
        others = [name for name in setters if name not in like.machines]
        beside = f", beside {and_words(others)}" if others else ""
        return f"Machines more or fewer are like {whom}, which {'sets' if one else 'set'} the pace{beside}."
    why = f"; the pace is set by {and_words(setters)}" if setters else ""
    return f"Machines more or fewer are like {whom}, which {'has' if one else 'have'} the largest load of them{why}."


def tended_words(found: Tended) -> str:
    """How many machines one arm could tend without any of them waiting, by load and by cycle."""
    kind = f"machines like {found.machines[-1]}" if found.by_load != 1 else f"machine like {found.machines[-1]}"
    if found.by_load == 0:
        return f"By load {found.arm} cannot keep even one machine like {found.machines[-1]} at work without a wait."
    said = (
        f"By load {found.arm} could keep {found.by_load} {kind} at work without a wait ({number(found.share)} of them)"
    )
    if found.by_cycle is None:
        return f"{said}; a cycle in which none waits was not found, not even for one."
    if found.by_cycle == found.by_load:
        return f"{said}, and cycles for so many were found."
    verb = "does" if found.by_cycle == 1 else "do"
    return f"{said}; in the cycles found {found.by_cycle} of them {verb} not wait."


def remarks(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """What was assumed, and why there is no cycle, each said once."""
    for words, names in gathered((said, each.name) for each in outcomes for said in each.assumed).items():
        yield from wrapped(f"Assumed for {and_words(names)}: {words}.")
    for words, names in gathered((each.refused, each.name) for each in outcomes if each.refused).items():
        whom = "any of these" if len(names) == len(outcomes) else and_words(names)
        yield from wrapped(f"No cycle for {whom}: this version cannot compute {words} yet.")
    kept = [each.name for each in outcomes if each.kept]
    if kept:
        yield from wrapped(
            f"With this small effort no better cycle was found for {and_words(kept)}: said is the cycle as it is, in "
            "which what is added stands still. A longer search of the changed cell, in a file of its own, may find one."
        )
    if any(each.cycle_per_h is None for each in outcomes):
        yield "* by load: the most that any cycle could gain, not what one does."


def gathered(pairs: Iterator[tuple[str, str]]) -> dict[str, list[str]]:
    """Names by what is said of them."""
    found: dict[str, list[str]] = {}
    for words, name in pairs:
        found.setdefault(words, []).append(name)
    return found
