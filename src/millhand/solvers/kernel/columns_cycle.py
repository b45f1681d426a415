"""The columns of what attendants do in turn under the rule `cycle`."""

from collections.abc import Sequence
from typing import Any

from millhand.solvers.kernel.codes import HOLDS_ARM, OP_GO, OP_LIFT, SUPPLY
from millhand.solvers.kernel.compile_stations import ranges
from millhand.solvers.kernel.layout import Compiled, Op

Columns = dict[str, Any]


def cycle_columns(c: Compiled) -> Columns:
    """All turns one after the other, with the stations of each thing and what it waits for."""
    begins, ends = ranges([len(ops) for ops in c.ways.ops])
    flat = [op for ops in c.ways.ops for op in ops]
    at_from, at_to = ranges([len(op.at) for op in flat])
    waits_from, waits_to = ranges([len(op.waits) for op in flat])
    waits = [each for op in flat for each in op.waits]
    begun = {begins[each.who] + each.op for each in waits if each.begun}
    return {
        "cycles": int(bool(flat)),
        **taken_columns(c),
        **entry_columns(c),
        **coming_columns(c),
        "l_most": [c.ways.most_calls[d] for d in c.slots.duty],
        "op_from": begins,
        "op_to": ends,
        "a_sure": [int(_sure(c, a)) for a in range(c.size.attendants)],
        "a_goes": [int(any(op.what == OP_GO for op in ops)) for ops in c.ways.ops],
        "a_puts": [_visited(c, [op for op in ops if op.what != OP_LIFT]) for ops in c.ways.ops],
        "s_in_turn": _visited(c, flat),
        "p_in_turn": [int(any(p in (op.part, op.brings) for op in flat)) for p in range(c.size.parts)],
        "op_what": [op.what for op in flat],
        "op_place": [op.place for op in flat],
        "op_slot": [c.duties.own_slot[op.duty] if op.duty >= 0 else -1 for op in flat],
        "op_part": [op.part for op in flat],
        "op_lap": [op.lap for op in flat],
        "op_lies_at": [op.lies_at for op in flat],
        "op_brings": [op.brings for op in flat],
        "op_brings_step": [op.brings_step for op in flat],
        "op_brings_lap": [op.brings_lap for op in flat],
        "op_lies": [op.lies for op in flat],
        "op_came": [op.came for op in flat],
        "op_brings_came": [op.brings_came for op in flat],
        "op_gap": [op.gap for op in flat],
        "op_alone": [int(_in_turn_only(c, op)) for op in flat],
        "op_begun": [int(i in begun) for i in range(len(flat))],
        "op_at_from": at_from,
        "op_at_to": at_to,
        "op_at": [s for op in flat for s in op.at],
        "op_waits_from": waits_from,
        "op_waits_to": waits_to,
        "op_waits": [begins[each.who] + each.op for each in waits],
        "wait_who": [each.who for each in waits],
        "wait_laps": [each.laps for each in waits],
        "wait_begun": [int(each.begun) for each in waits],
        "wait_lag": [each.lag for each in waits],
    }


def taken_columns(c: Compiled) -> Columns:
    """What machines take out of their own buffers in turn, where all who bring parts there follow the schedule."""
    freely = {c.lots.only_to[s] for s in brought_freely(c)}
    rows = [() if m in freely or c.lots.endless[m] >= 0 else row for m, row in enumerate(c.ways.taken)]
    begins, ends = ranges([len(row) for row in rows])
    return {
        "taken_from": begins,
        "taken_to": ends,
        "taken_step": [step for row in rows for step, _, _ in row],
        "taken_lap": [lap for row in rows for _, lap, _ in row],
        "taken_came": [which for row in rows for _, _, which in row],
    }


def brought_freely(c: Compiled) -> set[int]:
    """The stations to which somebody brings parts who follows no schedule."""
    steps = c.size.steps
    return {
        c.work.station[o]
        for a, ops in enumerate(c.ways.ops)
        if not ops
        for o in range(c.work.option_from[a * steps], c.work.option_to[(a + 1) * steps - 1])
    }


def entry_columns(c: Compiled) -> Columns:
    """Which part enters before which, where all who bring parts there follow the schedule; all under the number of the
    first station of a row of slots."""
    freely = brought_freely(c) | {s for s, endless in enumerate(c.lots.endless) if endless >= 0}
    groups = {each.at[0]: each for each in c.ways.entries if not freely & set(each.at)}
    begins, ends = ranges([len(groups[s].rows) if s in groups else 0 for s in range(c.size.stations)])
    rows = [row for s in sorted(groups) for row in groups[s].rows]
    from_begins, from_ends = ranges([len(row.sources) for row in rows])
    first, _ = ranges([len(ops) for ops in c.ways.ops])
    leads = {s: each.at[0] for each in groups.values() for s in each.at}
    number = {(row.who, row.op): i for i, row in enumerate(rows) if row.op >= 0}
    return {
        "entries": len(rows),
        "s_enters": [leads.get(s, -1) for s in range(c.size.stations)],
        "row_from": begins,
        "row_to": ends,
        "enter_who": [row.who for row in rows],
        "enter_op": [first[row.who] + row.op if row.op >= 0 else -1 for row in rows],
        "enter_step": [row.step for row in rows],
        "enter_lap": [row.lap for row in rows],
        "enter_came": [row.came for row in rows],
        "enter_source_from": from_begins,
        "enter_source_to": from_ends,
        "enter_source": [u for row in rows for u in row.sources],
        "op_enters": [number.get((a, i), -1) for a, ops in enumerate(c.ways.ops) for i in range(len(ops))],
    }


def coming_columns(c: Compiled) -> Columns:
    """Which parts come in in a period, of each type that comes in by itself; and which are of one load."""
    begins, ends = ranges([len(row) for row in c.ways.comes])
    mates_from, mates_to = ranges([len(row) for row in c.ways.mates])
    mates = [mate for row in c.ways.mates for mate in row]
    return {
        "comings": c.ways.comings,
        "p_comes_from": begins,
        "p_comes_to": ends,
        "comes": [which for row in c.ways.comes for which in row],
        "mate_from": mates_from,
        "mate_to": mates_to,
        "mate": [which for which, _, _ in mates],
        "mate_laps": [laps for _, laps, _ in mates],
        "mate_step": [step for _, _, step in mates],
    }


def _visited(c: Compiled, ops: Sequence[Op]) -> list[int]:
    """Per station: 1 where one of these things is done there."""
    at = {s for op in ops for s in op.at}
    return [int(s in at) for s in range(c.size.stations)]


def _in_turn_only(c: Compiled, op: Op) -> bool:
    """True where parts come to the stations only by those who follow the schedule, or from stations that they serve."""
    n, steps = c.size.stations, c.size.steps
    ahead = set(op.at)
    while more := {o for s in ahead for o in range(n) if c.work.feeders[s * n + o] and _by_itself(c, o, s)} - ahead:
        ahead |= more
    if any(c.stations.kind[s] == SUPPLY for s in ahead - set(op.at)):
        return False
    for a, ops in enumerate(c.ways.ops):
        if not ops:
            options = range(c.work.option_from[a * steps], c.work.option_to[(a + 1) * steps - 1])
            if any(c.work.station[o] in ahead for o in options):
                return False
    return True


def _by_itself(c: Compiled, start: int, end: int) -> bool:
    """True where parts go from one station to the other without anybody."""
    return bool(c.stations.self_out[start] or c.stations.self_in[end])


def _sure(c: Compiled, a: int) -> bool:
    """True where an attendant answers no calls and nothing can stop it, slow it or send it home."""
    each, owner = c.attendants, c.size.stations + a
    return (
        each.fault_from[a] == each.fault_to[a]
        and not each.wears[a]
        and each.slot_from[a] == each.slot_to[a]
        and owner not in c.troubles.stop
        and a not in c.duties.zone_attendant
        and HOLDS_ARM not in c.duties.holds
        and each.calendar[a] < 0
    )
