"""Rule `cycle`: where an attendant is in its turn, and whether what others have to do before is done."""

from millhand.solvers.kernel.codes import NEVER, OP_GO, OP_LIFT, OP_SWAP, PARTS, PLACE, PROCESS, SWAP, TURNS, VISIT
from millhand.solvers.kernel.events.jit import Record, inner
from millhand.solvers.kernel.events.numbers import visit_of
from millhand.solvers.kernel.events.traits import has_gates


@inner
def passes(c: Record, k: Record, a: int) -> None:
    """On to the next thing of the turn; after the last one the next period begins."""
    k.changed |= TURNS
    k.a_op[a] += 1
    if k.a_op[a] == c.op_to[a] - c.op_from[a]:
        k.a_op[a] = 0
        k.a_period[a] += 1


@inner
def done(c: Record, k: Record, a: int, o: int) -> int:
    """How often an attendant has done something of its turn; a motion counts when it begins."""
    return k.a_period[a] + (o - c.op_from[a] < k.a_op[a])


@inner
def missing(c: Record, k: Record, x: int, period: int) -> int:
    """How often what a thing of this period waits for has still to be done, 0 or less where it is done."""
    return period + 1 - c.wait_laps[x] - done(c, k, c.wait_who[x], c.op_waits[x])


@inner
def is_turn(c: Record, k: Record, o: int, period: int) -> bool:
    """True where all is done that others have to do before; motions on a rail are looked at apart."""
    return turn_comes(c, k, o, period) == 0


@inner
def turn_comes(c: Record, k: Record, o: int, period: int) -> int:
    """When all is done that others have to do before, or begun where that is enough, and so long ago as it has to be: 0
    where none has to be waited for, NEVER where that is open."""
    comes = 0
    for x in range(c.op_waits_from[o], c.op_waits_to[o]):
        left = 0 if c.op_what[c.op_waits[x]] == OP_GO else missing(c, k, x, period)
        if left > 1 or (left == 1 and not (c.wait_begun[x] and is_under_way(c, k, x))):
            return NEVER
        if left == 1:
            comes = max(comes, k.a_hold_from[c.wait_who[x]])
        elif left == 0 and c.op_what[o] == OP_LIFT and c.wait_lag[x] > 0:
            comes = max(comes, k.op_over[c.op_waits[x]] + c.wait_lag[x])
    return comes if comes > k.before else 0


@inner
def is_under_way(c: Record, k: Record, x: int) -> bool:
    """True where what a thing waits for is being done, and is known to be held from a certain moment on."""
    a = c.wait_who[x]
    return bool(k.a_mode[a] == VISIT and k.a_in_turn[a] > 0 and c.op_from[a] + k.a_op[a] == c.op_waits[x])


@inner
def hold_begins(c: Record, k: Record, a: int, at: int) -> None:
    """From when on a station is held; whoever waits for no more than that looks again."""
    k.a_hold_from[a] = at
    if k.a_in_turn[a] and c.op_begun[c.op_from[a] + k.a_op[a]]:
        k.changed |= PARTS


@inner
def waits_there(c: Record, k: Record, a: int, now: int) -> None:
    """An attendant is at the station of its next thing, and waits: a lead that begins on arrival runs."""
    if k.a_waits_since[a] < 0:
        k.a_waits_since[a] = now


@inner
def rest_of_lead(c: Record, k: Record, a: int, s: int, lead: int, now: int) -> int:
    """What is left of a lead at a stock of those who have waited there for their turn; at a gate it begins no sooner
    than its turnaround is over."""
    since = k.a_waits_since[a]
    k.a_waits_since[a] = -1
    if has_gates(c) and since >= 0 and c.s_turnaround[s] > 0:
        since = max(since, k.s_set_down[c.s_twin[s]] + c.s_turnaround[s])
    return max(0, lead - (now - since)) if since >= 0 and c.s_kind[s] != PROCESS else lead


@inner
def planned_visit(c: Record, a: int, o: int, s: int) -> int:
    """The visit that the schedule means, with parts of its types; -1 where no row says how."""
    if c.op_what[o] == OP_LIFT:
        visit = c.pick_of[a, s, c.op_part[o]]
    else:
        visit = visit_of(c.row_of[a, s, c.op_brings[o]], SWAP if c.op_what[o] == OP_SWAP else PLACE)
    return visit if visit >= 0 and c.v_has[visit] else -1


@inner
def lead_on_arrival(c: Record, a: int, o: int, s: int) -> int:
    """How long before its hold the attendant has to be there, where that is known."""
    visit = planned_visit(c, a, o, s)
    if visit < 0 or (c.v_on_finish[visit] and c.s_kind[s] == PROCESS):
        return 0
    return max(0, c.v_lead_steps[visit])
