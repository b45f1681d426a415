"""Rule `cycle`: where an attendant is in its turn, and whether what others have to do before is done."""

from millhand.solvers.kernel.codes import OP_GO, OP_LIFT, OP_SWAP, PLACE, PROCESS, SWAP, TURNS
from millhand.solvers.kernel.events.jit import Record, inner
from millhand.solvers.kernel.events.numbers import visit_of


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
    for x in range(c.op_waits_from[o], c.op_waits_to[o]):
        if c.op_what[c.op_waits[x]] != OP_GO and missing(c, k, x, period) > 0:
            return False
    return True


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
