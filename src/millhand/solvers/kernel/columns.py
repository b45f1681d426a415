"""The compiled cell as the columns of the loop's record: the same numbers, and the lists that only the loop needs."""

from collections.abc import Sequence
from math import ceil
from typing import Any

import numpy as np

from millhand.solvers.kernel.codes import (
    CYCLE_BINS,
    CYCLE_LOW_S,
    CYCLES_PER_DECADE,
    ENDS_NOTHING,
    PICK,
    PLACE,
    PROCESS,
    STORE,
    SWAP,
)
from millhand.solvers.kernel.columns_cycle import cycle_columns
from millhand.solvers.kernel.columns_tending import tending_columns
from millhand.solvers.kernel.compile_stations import bits, ranges
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.traits import stock_stands

Columns = dict[str, Any]


def columns_of(c: Compiled) -> Columns:
    """Every column of a cell's record but where kinds of events begin, which the shape says."""
    return {
        **_numbers(c),
        **_stations(c),
        **_owners(c),
        **_attendants(c),
        **_work(c),
        **_steps(c),
        **_troubles(c),
        **_duties(c),
        **_triggers(c),
        **_spans(c),
        **_hours(c),
        **_rails(c),
        **cycle_columns(c),
        **tending_columns(c),
    }


def _grid(values: Sequence[int], *dims: int) -> "np.ndarray[Any, Any]":
    """A flat column as a table."""
    return np.asarray(values, dtype=np.int64).reshape(dims)


def _by_four(values: Sequence[int]) -> "np.ndarray[Any, Any]":
    """Entries of visits with an empty place after each three, so that row and kind are bits of a visit's number."""
    return np.pad(_grid(values, -1, 3), ((0, 0), (0, 1))).ravel()


def _listed(rows: Sequence[Sequence[int]], name: str) -> Columns:
    """Lists one after the other, with where each begins and ends."""
    begins, ends = ranges([len(row) for row in rows])
    return {f"{name}_from": begins, f"{name}_to": ends, name: [each for row in rows for each in row]}


def _numbers(c: Compiled) -> Columns:
    """How many of each there are, and what the cell has none of at all."""
    return {
        "stations": c.size.stations,
        "attendants": c.size.attendants,
        "places": c.size.places,
        "people": c.attendants.arm.count(0),
        "parts": c.size.parts,
        "slots": c.size.slots,
        "faults": len(c.troubles.owner),
        "clocks": len(c.triggers.clock_duty),
        "calendars": len(c.calendars.period),
        "day": c.size.day,
        "room": c.size.room,
        "windows": int(max(c.steps.stay_max, default=-1) >= 0),
        "batches": int(max(c.stations.batch, default=1) > 1),
        "self_moving": int(any(c.stations.self_in) or any(c.stations.self_out)),
        "lots_end": int(c.lots.end),
        "bin_edge": _edges(c.grid_s),
        "any_uses": int(bool(c.steps.uses_at)),
    }


def _edges(grid_s: float) -> list[int]:
    """Edges of the bins of cycle times in grid steps; the outer two lie beyond all that can be."""
    inner = [CYCLE_LOW_S * 10 ** (number / CYCLES_PER_DECADE) for number in range(CYCLE_BINS - 1)]
    return [-1, *(ceil(edge / grid_s) for edge in inner), 1 << 60]


def _stations(c: Compiled) -> Columns:
    """One entry a station."""
    s, n = c.stations, c.size.stations
    exchanged = {at for at, row in zip(c.work.station, c.work.row, strict=True) if c.work.has[3 * row + SWAP]}
    picked = {s for s in range(n) if s in c.attendants.source}
    feeders = [[o for o in range(n) if c.work.feeders[at * n + o]] for at in range(n)]
    at_step = [
        [g for g in range(c.size.steps) if at in c.steps.at[c.steps.at_from[g] : c.steps.at_to[g]]] for at in range(n)
    ]
    ends = (*s.piece_from[1:], c.size.room)
    return {
        "s_kind": s.kind,
        "s_place": s.place,
        "s_capacity": s.capacity,
        "s_batch": s.batch,
        "start": s.start,
        "s_attended": s.attended,
        "s_self_in": s.self_in,
        "s_self_out": s.self_out,
        "s_calendar": s.calendar,
        "s_warm_after": s.warm_after,
        "s_warm_takes": s.warm_takes,
        "s_piece_from": s.piece_from,
        "s_room": [
            max(1, end - at) if k == STORE else 1 for k, at, end in zip(s.kind, s.piece_from, ends, strict=True)
        ],
        "s_good_stream": c.steps.good_stream,
        "s_swap_only": [int(k == PROCESS and at not in picked and not s.self_out[at]) for at, k in enumerate(s.kind)],
        "s_exchanged": [int(at in exchanged) for at in range(n)],
        "s_changes": [int(any(slot >= 0 for slot in c.lots.change_slot[at])) for at in range(n)],
        "s_turnaround": c.lots.turnaround,
        "s_twin": c.lots.twin,
        "s_gate": [c.lots.twin.index(at) if at in c.lots.twin else -1 for at in range(n)],
        "s_only_to": c.lots.only_to,
        "s_endless": c.lots.endless,
        "s_stands": [int(stock_stands(c, at)) for at in range(n)],
        "given_from": s.part_from,
        "given_to": s.part_to,
        "given": s.part,
        "feeds": _grid(c.work.feeders, n, n),
        **_listed(feeders, "feed"),
        **_listed(at_step, "step"),
        **dict(zip(("lot_from", "lot_to"), ranges([len(lots) for lots in c.lots.of_station]), strict=True)),
        "lot_part": [p for lots in c.lots.of_station for p, _ in lots],
        "lot_size": [size for lots in c.lots.of_station for _, size in lots],
        "lot_first": c.lots.first,
        "lot_keeps": c.lots.keeps,
        "change_slot": _grid([x for row in c.lots.change_slot for x in row], n, c.lots.families, c.lots.families),
    }


def _owners(c: Compiled) -> Columns:
    """Faults and wear of stations, then of attendants; both are listed owner by owner."""
    owners = c.size.stations + c.size.attendants
    faults, wears = c.troubles.owner, c.troubles.wear_owner
    f_from, f_to = ranges([faults.count(owner) for owner in range(owners)])
    u_from, u_to = ranges([wears.count(owner) for owner in range(owners)])
    return {"f_from": f_from, "f_to": f_to, "u_from": u_from, "u_to": u_to}


def _attendants(c: Compiled) -> Columns:
    """One entry an attendant."""
    a, n, places = c.attendants, c.size.attendants, max(1, c.size.places**2)
    owns = {*c.troubles.owner, *c.troubles.wear_owner}
    swaps = [
        [
            int(any(r >= 0 and c.work.has[3 * r + SWAP] for r in c.work.row_of[base : base + c.size.parts]))
            for base in range(
                who * c.size.stations * c.size.parts, (who + 1) * c.size.stations * c.size.parts, c.size.parts
            )
        ]
        for who in range(n)
    ]
    return {
        "a_everywhere": [int(_goes_everywhere(c, who)) for who in range(n)],
        "a_arm": a.arm,
        "a_hands": a.hands,
        "a_turn": a.turn,
        "a_home": a.home,
        "a_full": [at // places if at >= 0 else -1 for at in a.full],
        "a_slow": [at // places if at >= 0 else -1 for at in a.slow],
        "a_pace": a.pace,
        "a_calendar": a.calendar,
        "a_swaps": a.swaps,
        "a_picks": [int(end > at) for at, end in zip(a.source_from, a.source_to, strict=True)],
        "a_rule": a.rule,
        "a_rank": _grid(a.rank, n, c.size.stations),
        "a_counts": [int(c.size.stations + who in owns) for who in range(n)],
        "s_swaps": _grid([each for row in swaps for each in row], n, c.size.stations),
        "source_from": a.source_from,
        "source_to": a.source_to,
        "source": a.source,
        "answer_from": a.slot_from,
        "answer_to": a.slot_to,
        "answer": a.slot,
    }


def _goes_everywhere(c: Compiled, who: int) -> bool:
    """True where an attendant has a way between all places, so that nobody need ask."""
    tables = [at for at in (c.attendants.full[who], c.attendants.slow[who]) if at >= 0]
    size = 2 * c.size.places**2
    return all(min(c.ways.times[at : at + size], default=0) >= 0 for at in tables)


def _work(c: Compiled) -> Columns:
    """Rows of handling, visits and options."""
    w, n, steps = c.work, c.size.attendants, c.size.steps
    return {
        "row_of": _grid(w.row_of, n, c.size.stations, c.size.parts),
        "pick_of": _grid(
            [4 * r + PICK if r >= 0 and w.has[3 * r + PICK] else -1 for r in w.row_of], n, c.size.stations, c.size.parts
        ),
        "v_has": _by_four(w.has),
        "v_lead": _by_four(w.lead),
        "v_hold": _by_four(w.hold),
        "v_tail": _by_four(w.tail),
        "v_on_finish": _by_four(w.on_finish),
        "v_lead_steps": _by_four([c.spans.fixed[n] for n in w.lead]),
        "v_hold_steps": _by_four([c.spans.fixed[n] for n in w.hold]),
        "v_tail_steps": _by_four([c.spans.fixed[n] for n in w.tail]),
        "r_miss_p": w.miss_p,
        "r_miss_stream": w.miss_stream,
        "r_retries": w.retries,
        "r_retry": w.retry,
        "r_miss_slot": w.miss_slot,
        "o_from": _grid(w.option_from, n, steps),
        "o_to": _grid(w.option_to, n, steps),
        "o_stations": _grid(bits(w.station, w.option_from, w.option_to), n, steps),
        "o_station": w.station,
        "o_place": [
            4 * r + PLACE if w.has[3 * r + PLACE] or c.stations.kind[s] != PROCESS else -1
            for s, r in zip(w.station, w.row, strict=True)
        ],
        "o_swap": [4 * r + SWAP if w.has[3 * r + SWAP] else -1 for r in w.row],
    }


def _steps(c: Compiled) -> Columns:
    """Steps of the routes and part types."""
    g, n = c.steps, c.size.stations
    allows = [[int(s in g.at[a:b]) for s in range(n)] for a, b in zip(g.at_from, g.at_to, strict=True)]
    return {
        "g_part": g.part,
        "g_at_from": g.at_from,
        "g_at_to": g.at_to,
        "g_at": g.at,
        "g_every": g.every,
        "g_straight": [int(n + 1 < len(g.every) and g.every[n + 1] <= 1) for n in range(len(g.every))],
        "g_on_bad": g.on_bad,
        "g_good": g.good,
        "g_family": g.family,
        "g_stay_max": g.stay_max,
        "g_time": _grid(g.time, c.size.steps, n),
        "g_lies": _grid(g.lies, c.size.steps, n),
        "g_allows": _grid([each for row in allows for each in row], c.size.steps, n),
        "uses_from": g.uses_from,
        "uses_to": g.uses_to,
        "uses_at": g.uses_at,
        "uses_pieces": g.uses_pieces,
        "p_first": g.first,
        "p_share": g.share,
    }


def _troubles(c: Compiled) -> Columns:
    """Faults and wear."""
    t = c.troubles
    return {
        "f_owner": t.owner,
        "f_on": t.on,
        "f_every": t.every,
        "f_p": t.p,
        "f_stream": t.stream,
        "f_slot": t.slot,
        "f_self_end": t.self_end,
        "f_keeps": t.keeps,
        "stop_from": t.stop_from,
        "stop_to": t.stop_to,
        "stop": t.stop,
        "u_owner": t.wear_owner,
        "u_loads": t.wear_loads,
        "u_limit": t.wear_limit,
        "u_spares": t.wear_spares,
        "u_slot": t.wear_slot,
    }


def _duties(c: Compiled) -> Columns:
    """Duties and slots for calls."""
    d, slots = c.duties, c.slots
    return {
        "d_priority": d.priority,
        "d_place": d.place,
        "d_needs": d.needs,
        "d_holds": d.holds,
        "d_interruptible": d.interruptible,
        "d_stack": d.stack,
        "d_own_slot": d.own_slot,
        "zone_from": d.zone_from,
        "zone_to": d.zone_to,
        "zone_attendant": d.zone_attendant,
        "zone_slow": d.zone_slow,
        "restore_from": d.restore_from,
        "restore_to": d.restore_to,
        "restore": d.restore,
        "restore_full": d.restore_full,
        "l_duty": slots.duty,
        "l_kind": slots.kind,
        "l_what": slots.what,
        "l_owner": slots.owner,
        "l_takes": slots.takes,
        "l_by_call": [int(slot in c.attendants.slot) for slot in range(c.size.slots)],
        "l_response": slots.response,
    }


def _triggers(c: Compiled) -> Columns:
    """What calls a duty apart from faults and wear; levels and counts of parts station by station."""
    x, n = c.triggers, c.size.stations
    levels = [[i for i, s in enumerate(x.level_station) if s == at] for at in range(n)]
    counts = [[i for i, s in enumerate(x.parts_station) if s == at] for at in range(n)]
    level, part = _listed(levels, "level"), _listed(counts, "parts")
    triggers = [x.parts_trigger[i] for i in part["parts"]]
    at_station = [s for s in range(n) for _ in counts[s]]
    return {
        "level_from": level["level_from"],
        "level_to": level["level_to"],
        "level_below": [x.level_below[i] for i in level["level"]],
        "level_slot": [_slot(c, x.level_duty[i], x.level_station[i]) for i in level["level"]],
        "parts_from": part["parts_from"],
        "parts_to": part["parts_to"],
        "parts_trigger": triggers,
        "parts_slot": [_slot(c, x.parts_duty[t], s) for t, s in zip(triggers, at_station, strict=True)],
        "x_every": x.parts_every,
        "clock_duty": x.clock_duty,
        "clock_span": x.clock_span,
        "clock_from": x.clock_from,
        "clock_to": x.clock_to,
        "clock_times": x.clock_at,
        "clock_period": x.clock_period,
    }


def _slot(c: Compiled, duty: int, s: int) -> int:
    """The duty's slot for calls from this station where it has one, otherwise its own."""
    for slot, (d, kind, owner) in enumerate(zip(c.slots.duty, c.slots.kind, c.slots.owner, strict=True)):
        if d == duty and kind == ENDS_NOTHING and owner == s:
            return slot
    return c.duties.own_slot[duty]


def _spans(c: Compiled) -> Columns:
    """Durations, streams and ways."""
    n, places = c.spans, c.size.places
    return {
        "n_fixed": n.fixed,
        "n_dist": n.dist,
        "n_a": n.a,
        "n_b": n.b,
        "n_c": n.c,
        "n_scale": n.scale,
        "n_stream": n.stream,
        "n_from": n.value_from,
        "n_to": n.value_to,
        "values": n.value,
        "y_source": c.spans.streams,
        "moves": _grid(c.ways.times, -1, places, places) if places else (),
    }


def _hours(c: Compiled) -> Columns:
    """Calendars."""
    e = c.calendars
    return {
        "e_period": e.period,
        "e_from": e.on_from,
        "e_to": e.on_to,
        "e_at_end": e.at_end,
        "hours_start": e.start,
        "hours_end": e.end,
        "hours_pause": e.pause,
    }


def _rails(c: Compiled) -> Columns:
    """Who shares a rail, and where its places are."""
    w = c.ways
    return {
        "tracks": len(w.keep),
        "a_track": w.track_of,
        "a_order": w.order,
        "track_keep": w.keep,
        "track_order": w.by_order,
        "place_x": w.place_x,
        "place_on": w.place_on,
    }
