"""Rule `cycle` on a rail: when somebody leaves for sure, however the chances fall.

Certain is the end of what is under way, and what follows in the turn up to the next motion where each visit there takes
a known time and its station is ready or at work without faults.
"""

from millhand.solvers.kernel.codes import (
    AWAY,
    DONE,
    EMPTY,
    IDLE,
    NEVER,
    ON_DUTY,
    OP_DUTY,
    OP_GO,
    OP_LIFT,
    OP_SET,
    OP_SWAP,
    PICK,
    PROCESS,
    STAY,
    SUPPLY,
    TO_DUTY,
    VISIT,
    WAIT,
    WORK,
)
from millhand.solvers.kernel.events.calls import due_of
from millhand.solvers.kernel.events.choice import gives_raw
from millhand.solvers.kernel.events.gone import is_gone
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.numbers import kind_of, row_of
from millhand.solvers.kernel.events.tracks import delay_by
from millhand.solvers.kernel.events.traits import may_stand
from millhand.solvers.kernel.events.turns import is_turn, missing, planned_visit


@inner
def on_track_of(c: Record, a: int, b: int) -> bool:
    """True for two who share a rail."""
    return b != a and c.a_track[b] >= 0 and c.a_track[b] == c.a_track[a]


@seldom
def leaves_surely(c: Record, k: Record, b: int, a: int, now: int) -> tuple[int, int, int]:
    """When an attendant begins its next motion, which, and how long it takes; (NEVER, -1, 0) where that is not certain.
    What the one who asks does is left out: it asks whether it may move."""
    mode, when, at, period = k.a_mode[b], due_of(k, b), k.a_op[b], k.a_period[b]
    if mode == WAIT:  # at a station that is not ready yet
        when = now
    elif mode == STAY:
        when = ready_surely(c, k, k.a_target[b], OP_LIFT, now)
    if not c.a_sure[b] or k.a_halted[b] or when >= NEVER or mode == AWAY:
        return NEVER, -1, 0
    if mode == IDLE and c.op_what[c.op_from[b] + at] == OP_GO:
        return NEVER, -1, 0
    if c.op_to[b] == c.op_from[b] or mode == TO_DUTY or (mode == VISIT and not k.a_in_turn[b]):
        return NEVER, -1, 0
    holds = k.a_holds[b]
    picked = -1  # the station of which a part was lifted just before
    if mode == VISIT:
        if k.a_misses[b] or (kind_of(k.a_visit[b]) != PICK and c.s_attended[k.a_target[b]]):
            return NEVER, -1, 0
        picked = k.a_source[b] if kind_of(k.a_visit[b]) == PICK else -1
        holds += more_in_hand(kind_of(k.a_visit[b]))  # kinds of visits and of what a turn does have the same numbers
        at += 1
    elif mode == ON_DUTY:
        at += 1
    duties = 0
    for _ in range(c.op_to[b] - c.op_from[b]):
        if at == c.op_to[b] - c.op_from[b]:
            at = 0
            period += 1
        o = c.op_from[b] + at
        at += 1
        if c.op_what[o] == OP_DUTY:
            duties += 1
            when = duty_surely(c, k, b, o, duties, when)
            if when >= NEVER:
                return NEVER, -1, 0
        elif c.op_what[o] != OP_GO:
            when, picked, more = visit_surely(c, k, b, o, period, when, picked)
            holds += more
            if when >= NEVER:
                return NEVER, -1, 0
        elif c.op_place[o] != k.a_place[b]:
            way = way_with(c, k, b, c.op_place[o], holds)
            return (when, o, way) if goes_surely(c, k, b, a, o, period, when, way) else (NEVER, -1, 0)
    return NEVER, -1, 0


@inner
def duty_surely(c: Record, k: Record, b: int, o: int, many: int, when: int) -> int:
    """When a duty that may begin at `when`, after others to `many` with it, ends for sure; NEVER where that is open."""
    slot = c.op_slot[o]
    takes = c.n_fixed[c.l_takes[slot]]
    if c.op_place[o] != k.a_place[b] or k.l_waiting[slot] < many or k.l_left[slot] or takes < 0:
        return NEVER
    return when + takes


@inner
def more_in_hand(what: int) -> int:
    """How many parts more are in hand afterwards."""
    if what == OP_LIFT:
        return 1
    return -1 if what == OP_SET else 0


@inner
def way_with(c: Record, k: Record, b: int, place: int, holds: int) -> int:
    """The time of the way, with so many parts in hand by then."""
    if c.a_full[b] < 0:
        return 0
    return c.moves[c.a_full[b] + (holds > 0), k.a_place[b], place]


@inner
def goes_surely(c: Record, k: Record, b: int, a: int, o: int, period: int, when: int, way: int) -> bool:
    """True where neither the order nor anybody else on the rail can hold the motion up."""
    for x in range(c.op_waits_from[o], c.op_waits_to[o]):
        if missing(c, k, x, period) > 0:
            return False
    place = c.op_place[o]
    if way < 0:
        return False
    for d in range(c.attendants):
        if d != a and on_track_of(c, b, d) and delay_by(c, k, b, d, c.place_x[place], way, when) > 0:
            return False
    return True


@inner
def visit_surely(c: Record, k: Record, b: int, o: int, period: int, when: int, picked: int) -> tuple[int, int, int]:
    """When a visit that may begin at `when` ends for sure, NEVER where that is open; where it lifts; and how
    many parts more are in hand then."""
    what, s = c.op_what[o], c.op_at[c.op_at_from[o]]
    if c.op_at_to[o] - c.op_at_from[o] > 1 or c.s_place[s] != k.a_place[b] or (c.s_attended[s] and what != OP_LIFT):
        return NEVER, -1, 0
    if is_gone(c, k, c.op_came[o], period - c.op_lap[o]) or is_gone(
        c, k, c.op_brings_came[o], period - c.op_brings_lap[o]
    ):
        return NEVER, -1, 0
    if (what == OP_SET or period >= c.op_lap[o]) and (what == OP_LIFT or period >= c.op_brings_lap[o]):
        if not is_turn(c, k, o, period):
            return NEVER, -1, 0
    elif what != OP_SWAP:
        return when, picked, 0  # the line is still filling: passed over
    else:
        return NEVER, -1, 0
    begins = ready_surely(c, k, s, what, when)
    if begins >= NEVER:
        return NEVER, -1, 0
    visit = planned_visit(c, b, o, s)
    if visit < 0 or c.v_lead_steps[visit] < 0 or c.v_hold_steps[visit] < 0:
        return NEVER, -1, 0
    if c.r_miss_p[row_of(visit)] > 0.0 and what != OP_SET:
        return NEVER, -1, 0
    lead = c.v_lead_steps[visit]
    if c.v_on_finish[visit] and c.s_kind[s] == PROCESS:
        lead = max(0, min(begins, max(k.s_ready[s], k.s_end[s])) + lead - begins)
    turn = c.a_turn[b] if what == OP_SWAP else 0
    if what == OP_SET and (picked == s or (picked >= 0 and c.s_gate[s] == picked)):
        turn = max(0, c.a_turn[b] - (begins - when))
    ends = begins + lead + c.v_hold_steps[visit] + turn
    return ends, s if what == OP_LIFT else -1, more_in_hand(what)


@inner
def ready_surely(c: Record, k: Record, s: int, what: int, when: int) -> int:
    """From when on, not before `when`, the station can surely be visited; NEVER where that is open."""
    kind, mode = c.s_kind[s], k.s_mode[s]
    if may_stand(c, s):
        return NEVER
    if kind == SUPPLY:
        return when if gives_raw(c, k, s, when) else NEVER
    if kind != PROCESS:
        if what == OP_LIFT:
            return when if k.s_stock[s] > 0 else NEVER
        return when if c.s_capacity[s] < 0 or k.s_stock[s] < c.s_capacity[s] else NEVER
    if k.s_trouble[s] or c.f_from[s] < c.f_to[s] or c.u_from[s] < c.u_to[s] or c.s_calendar[s] >= 0:
        return NEVER
    if what == OP_SET:
        return when if mode == EMPTY and k.s_inside[s] < c.s_batch[s] else NEVER
    if mode == DONE:
        return when
    return max(when, k.s_end[s]) if mode == WORK else NEVER
