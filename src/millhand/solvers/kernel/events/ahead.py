"""Rule first_to_finish where nobody waits: to the station that finishes first, and there the attendant waits."""

from millhand.solvers.kernel.codes import NEVER, PROCESS, WORK
from millhand.solvers.kernel.events.books import first_piece, next_step
from millhand.solvers.kernel.events.choice import READY, claim, wanted
from millhand.solvers.kernel.events.exchanging import exchange_later
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.parts import settle_next
from millhand.solvers.kernel.events.setting_up import is_set_up_for
from millhand.solvers.kernel.events.visits import set_out


@inner
def go_ahead(c: Record, k: Record, a: int, now: int) -> bool:
    """Rule first_to_finish: where nobody waits, go to the station that finishes first and wait there."""
    best, best_s, best_visit, best_hand = NEVER, -1, -1, -1
    if k.a_holds[a] < c.a_hands[a]:
        for i in range(k.a_holds[a]):
            g = k.q_step[k.a_hand[a, i]]
            for o in range(c.o_from[a, g], c.o_to[a, g]):
                s = c.o_station[o]
                if k.s_mode[s] != WORK or k.s_end[s] >= best or c.o_swap[o] < 0:
                    continue
                if k.s_expected[s] - (k.a_target[a] == s) or k.s_claimed[s] or k.s_trouble[s]:
                    continue
                if is_set_up_for(c, k, s, g):
                    best, best_s, best_visit, best_hand = k.s_end[s], s, c.o_swap[o], i
    if best_s >= 0:
        claim(k, a, -1, best_s)
        k.a_which[a] = best_hand
        set_out(c, k, a, best_s, best_visit, now)
        return True
    return k.a_holds[a] == 0 and go_ahead_empty(c, k, a, now)


@seldom
def go_ahead_empty(c: Record, k: Record, a: int, now: int) -> bool:
    """With empty hands: to the station whose part will be finished first and can then be put down."""
    best, best_u, best_t, best_visit = NEVER, -1, -1, -1
    for x in range(c.source_from[a], c.source_to[a]):
        u = c.source[x]
        if c.s_kind[u] != PROCESS or k.s_mode[u] != WORK or k.s_end[u] >= best:
            continue
        if k.s_expected[u] or k.s_claimed[u] or k.s_trouble[u] or exchange_later(c, k, a, u):
            continue
        q = first_piece(c, k, u)
        visit = c.pick_of[a, u, c.g_part[k.q_step[q]]]
        soon, _, t = wanted(c, k, a, next_step(c, k, q), now)
        if visit >= 0 and soon == READY:
            best, best_u, best_t, best_visit = k.s_end[u], u, t, visit
    if best_u < 0:
        return False
    settle_next(c, k, first_piece(c, k, best_u))
    claim(k, a, best_u, best_t)
    set_out(c, k, a, best_u, best_visit, now)
    return True
