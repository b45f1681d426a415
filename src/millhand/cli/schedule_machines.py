"""The machines of a cycle one by one: loads, shares of the time, pace alone and here, time left to limits of stays."""

from collections.abc import Iterator, Sequence

from millhand.cli.schedule_words import and_words, number, percent, wrapped
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.apart import Dragged, Machine, dragged, left_idle, machines


def machine_lines(cell: Cell, found: Schedule) -> Iterator[str]:
    """A line a machine, and a sentence for each that is kept below its own pace; nothing for a single machine."""
    own, idle = machines(cell, found), left_idle(cell, found)
    if len(own) + len(idle) < 2:
        return
    limited = any(each.slack_steps is not None for each in own)
    wide = max(8, *(len(each.name) for each in own))
    head = f"  {'machine':<{wide}} loads  works  hands stands    waits alone/h  here/h"
    yield f"{head}{'  to limit late' if limited else ''}"
    for each in own:
        yield row(each, wide, found.grid_s, limited=limited)
    for same in alike(dragged(cell, found)):
        yield from wrapped(drag_words(same, found))
    if idle:
        are, them = ("are", "them") if len(idle) > 1 else ("is", "it")
        yield from wrapped(
            f"{and_words(idle)} {are} not used in this cycle: with {them} none was found that makes more."
        )


def row(each: Machine, wide: int, grid_s: float, *, limited: bool) -> str:
    """One machine: `waits` is what it loses each load beyond its own time, `to limit` the least time left of its
    limited stays, `late` counts those beyond it."""
    alone = f"{each.alone_per_h(grid_s):.1f}" if each.own_steps else "-"
    waits = f"{each.wait_steps * grid_s:.4g} s"
    line = (
        f"  {each.name:<{wide}} {each.loads:>5} {percent(each.works):>6} {percent(each.hands):>6} "
        f"{percent(each.stands):>6} {waits:>8} {alone:>7} {each.here_per_h(grid_s):>7.1f}"
    )
    if not limited:
        return line
    left = "-" if each.slack_steps is None else f"{number(each.slack_steps * grid_s)} s"
    return f"{line} {left:>9}{'-' if each.slack_steps is None else each.late:>5}"


def alike(found: Iterator[Dragged]) -> list[list[Dragged]]:
    """Machines of which the same is to be said, together."""
    groups: dict[tuple[object, ...], list[Dragged]] = {}
    for each in found:
        size = (each.machine.own_steps, each.machine.loads, each.machine.batch)
        key = (each.attendants, each.slower, each.beside, size)
        groups.setdefault(key, []).append(each)
    return list(groups.values())


def drag_words(same: Sequence[Dragged], found: Schedule) -> str:
    """'im1 could make 150 an hour alone, in this cycle 118: it waits 5.1 s a load for the arm that ...'."""
    first, names = same[0], [each.machine.name for each in same]
    alone, here = first.machine.alone_per_h(found.grid_s), first.machine.here_per_h(found.grid_s)
    each, who = " each" if len(names) > 1 else "", and_words(first.attendants)
    plural = len(first.attendants) > 1
    what = f"{alone:.1f} loads of {first.machine.batch}" if first.machine.batch > 1 else f"{alone:.1f}"
    if first.slower:
        why = f"which {'keep' if plural else 'keeps'} pace with {and_words(first.slower)}"
    elif first.beside:
        why = f"whose round waits for {and_words(first.beside)}"
    else:
        why = f"which {'have' if plural else 'has'} no time left"
    wait = number(first.machine.wait_steps * found.grid_s)
    return (
        f"{and_words(names)} could make {what} an hour{each} alone, in this cycle {here:.1f}: "
        f"{'each' if len(names) > 1 else 'it'} waits {wait} s a load for {who}, {why}."
    )
