"""What an attendant does next: put down what it holds, fetch what is wanted, go ahead, or wait."""

from millhand.solvers.kernel.codes import (
    DONE,
    EMPTY,
    NEAREST,
    NEVER,
    NO_MODE,
    ORDER,
    PICK,
    PROCESS,
    STORE,
    SUPPLY,
    WORK,
)
from millhand.solvers.kernel.events.books import first_piece, next_step
from millhand.solvers.kernel.events.exchanging import exchange_later
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.loads import fits_behind, is_begun, is_of_hand
from millhand.solvers.kernel.events.machines import may_start
from millhand.solvers.kernel.events.mix import goes_on_with, may_come
from millhand.solvers.kernel.events.numbers import kind_of
from millhand.solvers.kernel.events.parts import WHOLE, settle_next, share_with_one_more
from millhand.solvers.kernel.events.setting_up import is_set_up_for, set_up_for
from millhand.solvers.kernel.events.stocks import gate_is_ready, is_shut, lot_gives
from millhand.solvers.kernel.events.traits import has_endless, has_gates, has_lots, has_stores
from millhand.solvers.kernel.events.visits import set_out
from millhand.solvers.kernel.events.ways import way_steps

READY, LATER, BUFFER, NOBODY = range(4)  # a station waits; for the next exchange; only into a store; nobody


@inner
def free_claims(c: Record, k: Record, a: int) -> None:
    """Give up what the attendant was on its way to; where a part in hand will go stays promised to it."""
    if k.a_source[a] >= 0:
        k.s_claimed[k.a_source[a]] -= 1
        k.a_source[a] = -1
    if k.a_target[a] >= 0 and k.a_holds[a] == 0:
        give_up_target(k, a)


@inner
def give_up_target(k: Record, a: int) -> None:
    """The station that was promised to the attendant is free for others."""
    if k.a_target[a] >= 0:
        k.s_expected[k.a_target[a]] -= 1
        k.a_target[a] = -1


@inner
def claim(k: Record, a: int, source: int, target: int) -> None:
    """Nobody else goes for these two."""
    if source >= 0:
        k.a_source[a] = source
        k.s_claimed[source] += 1
    if target >= 0:
        give_up_target(k, a)
        k.a_target[a] = target
        k.s_expected[target] += 1


@inner
def score(c: Record, k: Record, a: int, s: int, since: int) -> int:
    """What the attendant's rule looks at; the least is first."""
    rule = c.a_rule[a]
    if rule == NEAREST:
        return way_steps(c, k, a, c.s_place[s])
    if rule == ORDER:
        return c.a_rank[a, s]
    return since


@inner
def waits_since(c: Record, k: Record, s: int, now: int) -> int:
    """Since when a machine waits for somebody; a free one of endless slots does not."""
    if has_endless(c) and c.s_endless[s] >= 0 and k.s_mode[s] == EMPTY and k.s_inside[s] == 0:
        return now
    return k.s_ready[s]


@inner
def goes_to(c: Record, k: Record, a: int, s: int) -> bool:
    """True where the attendant has a way to the station from where it is."""
    return c.a_everywhere[a] > 0 or way_steps(c, k, a, c.s_place[s]) >= 0


@inner
def visit_at(c: Record, k: Record, a: int, o: int, g: int, free_hand: bool, now: int) -> int:
    """The visit by which the attendant could bring a part of step g to an option's station now, -1 where none can."""
    s = c.o_station[o]
    mode = k.s_mode[s]
    if mode == WORK:
        return -1
    if mode != NO_MODE:
        if k.s_expected[s] - (k.a_target[a] == s) or k.s_claimed[s] or not may_start(c, k, s, now):
            return -1
        if mode == EMPTY:
            if k.s_inside[s] < c.s_batch[s] and c.o_place[o] >= 0 and set_up_for(c, k, s, g, now):
                return c.o_place[o]
        elif mode == DONE and free_hand and c.o_swap[o] >= 0 and is_set_up_for(c, k, s, g):
            return c.o_swap[o]
        return -1
    others = k.s_expected[s] - (k.a_target[a] == s)
    room = c.s_capacity[s] < 0 or k.s_stock[s] + others < c.s_capacity[s]
    return c.o_place[o] if room and not is_shut(c, k, s, now) and fits_behind(c, k, s, g, others) else -1


@inner
def all_work(c: Record, k: Record, a: int, g: int) -> bool:
    """True where each station to which the attendant could bring a part of step g works."""
    return c.o_stations[a, g] & ~k.working == 0


@often
def deliver(c: Record, k: Record, a: int, now: int) -> bool:
    """Put down a part for which a station is ready. With a hand free a waiting machine comes before the outfeed."""
    holds = k.a_holds[a]
    free_hand = holds < c.a_hands[a]
    best_found, best_score, best_s, best_visit, best_hand = 2, NEVER, -1, -1, -1
    for i in range(holds):
        g = k.q_step[k.a_hand[a, i]]
        if all_work(c, k, a, g):
            continue
        for o in range(c.o_from[a, g], c.o_to[a, g]):
            s = c.o_station[o]
            visit = visit_at(c, k, a, o, g, free_hand, now)
            if visit < 0 or not goes_to(c, k, a, s):
                continue
            machine = c.s_kind[s] == PROCESS
            found = 1 if machine != free_hand else 0
            points = -1 if s == k.a_last[a] else score(c, k, a, s, waits_since(c, k, s, now) if machine else 0)
            points = -2 if is_begun(c, k, s) else points
            if found < best_found or (found == best_found and points < best_score):
                best_found, best_score, best_s, best_visit, best_hand = found, points, s, visit, i
    if best_s < 0:
        return False
    claim(k, a, -1, best_s)
    k.a_which[a] = best_hand
    set_out(c, k, a, best_s, best_visit, now)
    return True


@often
def wanted(c: Record, k: Record, a: int, g: int, now: int) -> tuple[int, int, int]:
    """(how soon, since when, where) a part whose next step is g could be put down, if the attendant took it now."""
    free_hand = k.a_holds[a] + 1 < c.a_hands[a]
    soon, since, where = NOBODY, NEVER, -1
    if all_work(c, k, a, g):
        return later_wanted(c, k, a, g) if free_hand else (soon, since, where)
    for o in range(c.o_from[a, g], c.o_to[a, g]):
        s = c.o_station[o]
        if visit_at(c, k, a, o, g, free_hand, now) >= 0:
            asks = waits_since(c, k, s, now) if c.s_kind[s] == PROCESS else 0
            points = -1 if is_begun(c, k, s) else score(c, k, a, s, asks)
            if soon > READY or points < since:
                soon, since, where = READY, points, s
        elif (soon > LATER or since > 0) and free_hand and c.o_swap[o] >= 0 and is_set_up_for(c, k, s, g):
            points = 1 if k.s_trouble[s] > 0 else 0
            if soon > LATER or (soon == LATER and points < since):
                soon, since, where = LATER, points, -1
    return soon, since, where


@inner
def later_wanted(c: Record, k: Record, a: int, g: int) -> tuple[int, int, int]:
    """The same with a hand free where each station works: for the next exchange, first at one that is in order."""
    soon, since = NOBODY, NEVER
    for o in range(c.o_from[a, g], c.o_to[a, g]):
        s = c.o_station[o]
        if c.o_swap[o] >= 0 and is_set_up_for(c, k, s, g):
            soon = LATER
            if not k.s_trouble[s]:
                return LATER, 0, -1
            since = 1
    return soon, since, -1


@inner
def fetch(c: Record, k: Record, a: int, now: int) -> bool:
    """Take a part that some station waits for, or have one ready for the next exchange."""
    limit = c.a_hands[a] - c.a_swaps[a]
    if k.a_holds[a] >= limit and k.finished == 0 and not has_stores(c):
        return False  # no more raw parts, and nothing else to take
    best0, best1, best2, best_u, best_t, best_part = NOBODY, NEVER, NEVER, -1, -1, -1
    for x in range(c.source_from[a], c.source_to[a]):
        u = c.source[x]
        kind = c.s_kind[u]
        if kind == PROCESS and k.s_mode[u] != DONE:
            continue
        if is_shut(c, k, u, now) or not goes_to(c, k, a, u):
            continue
        if kind == SUPPLY:
            if k.a_holds[a] >= limit or not gives_raw(c, k, u, now):
                continue
            found0, found1, found2, t, part = raw_wanted(c, k, a, u, now)
        else:
            found0, found1, found2, t = finished_wanted(c, k, a, u, kind, now)
            part = -1
        if found0 == NOBODY:
            continue
        if has_stores(c) and t >= 0 and kind != PROCESS and c.s_kind[t] == STORE:
            found0 = BUFFER
        if c.a_rule[a] == NEAREST:
            found1 = way_steps(c, k, a, c.s_place[u])
        better = found1 < best1 or (found1 == best1 and found2 < best2)
        if found0 < best0 or (found0 == best0 and better):
            best0, best1, best2, best_u, best_t, best_part = found0, found1, found2, u, t, part
    if best_u < 0:
        return False
    claim(k, a, best_u, best_t)
    k.a_want[a] = best_part
    row_part = best_part
    if best_part < 0:
        q = first_piece(c, k, best_u)
        settle_next(c, k, q)
        row_part = c.g_part[k.q_step[q]]
    set_out(c, k, a, best_u, c.pick_of[a, best_u, row_part], now)
    return True


@inner
def gives_raw(c: Record, k: Record, u: int, now: int) -> bool:
    """True where a supply has a part that nobody else is on the way to, and may give it now."""
    if c.s_capacity[u] >= 0 and k.s_stock[u] <= k.s_claimed[u]:
        return False
    if has_lots(c) and c.lot_to[u] > c.lot_from[u] and not lot_gives(c, k, u):
        return False
    return not has_gates(c) or c.s_turnaround[u] <= 0 or gate_is_ready(c, k, u, now)


@inner
def raw_wanted(c: Record, k: Record, a: int, u: int, now: int) -> tuple[int, int, int, int, int]:
    """The raw part of a supply that is wanted most, of those that the mix allows; of equal ones the type that is
    furthest behind its share."""
    best0, best1, best2, best_t, best_part = NOBODY, NEVER, NEVER, -1, -1
    lots = has_lots(c) and c.lot_to[u] > c.lot_from[u]
    for x in range(c.given_from[u], c.given_to[u]):
        p = c.given[x]
        if c.pick_of[a, u, p] < 0 or (lots and c.lot_part[k.lot_now[u]] != p) or not may_come(c, k, p):
            continue
        soon, since, t = wanted(c, k, a, after(c, k, c.p_first[p]), now)
        if soon == NOBODY or not goes_on_with(c, k, a, p, t):
            continue
        behind = WHOLE  # behind every number of a station: of equal claims a finished part comes before a raw one
        if has_lots(c) and c.parts > 1:
            behind = share_with_one_more(c, k, p)
        found1 = since if not has_lots(c) or c.parts == 1 or soon == LATER else behind
        better = found1 < best1 or (found1 == best1 and behind < best2)
        if soon < best0 or (soon == best0 and better):
            best0, best1, best2, best_t, best_part = soon, found1, behind, t, p
    return best0, best1, best2, best_t, best_part


@inner
def after(c: Record, k: Record, g: int) -> int:
    """The step after g for the next part that comes by."""
    if c.g_straight[g]:
        return g + 1
    g += 1
    while c.g_every[g] > 1 and k.g_until[g] != 1:
        g += 1
        while c.g_every[g] == 0:  # the rest of a machine with own buffers is skipped with its first
            g += 1
    return g


@seldom
def finished_wanted(c: Record, k: Record, a: int, u: int, kind: int, now: int) -> tuple[int, int, int, int]:
    """Whether the first part of a store or finished machine can be taken and put down."""
    since = 0
    if kind == PROCESS:
        if k.s_mode[u] != DONE or k.s_claimed[u] or k.s_expected[u] > (k.a_target[a] == u):
            return NOBODY, NEVER, NEVER, -1
        if not may_start(c, k, u, now) or exchange_later(c, k, a, u):
            return NOBODY, NEVER, NEVER, -1
        since = k.s_ready[u]
    elif k.s_stock[u] <= k.s_claimed[u]:
        return NOBODY, NEVER, NEVER, -1
    q = first_piece(c, k, u)
    if c.pick_of[a, u, c.g_part[k.q_step[q]]] < 0:
        return NOBODY, NEVER, NEVER, -1
    soon, asked, t = wanted(c, k, a, next_step(c, k, q), now)
    if soon == NOBODY or (soon == LATER and kind == STORE and k.a_holds[a] >= c.a_hands[a] - 1):
        return NOBODY, NEVER, NEVER, -1
    return soon, asked if kind == STORE else score(c, k, a, u, since), u, t


@seldom
def more_here(c: Record, k: Record, a: int, now: int) -> bool:
    """After a pick: take another part at the same station where a load holds several and hands are free."""
    s, visit, target = k.a_last[a], k.a_visit[a], -1
    if kind_of(visit) != PICK or s < 0 or k.a_holds[a] >= c.a_hands[a] or k.a_holds[a] == 0:
        return False
    kind = c.s_kind[s]
    if kind == PROCESS:
        promised = k.s_claimed[s] or k.s_expected[s] > (k.a_target[a] == s)
        again = k.s_mode[s] == DONE and not promised and may_start(c, k, s, now)
    else:
        target, again = load_short(c, k, a, now)
        enough = gives_raw(c, k, s, now) if kind == SUPPLY else is_of_hand(c, k, a, s)
        again = again and enough and k.a_holds[a] < c.a_hands[a] - c.a_swaps[a]
        if kind == SUPPLY:  # of the type just taken: it may have meant to go elsewhere since, and not got through
            k.a_want[a] = c.g_part[k.q_step[k.a_hand[a, k.a_holds[a] - 1]]]
            again = again and (c.lot_to[s] <= c.lot_from[s] or c.lot_part[k.lot_now[s]] == k.a_want[a])
    if not again:
        return False
    claim(k, a, s, target)
    set_out(c, k, a, s, visit, now)
    return True


@inner
def load_short(c: Record, k: Record, a: int, now: int) -> tuple[int, bool]:
    """Whether the load that the part in hand belongs to needs more parts than are in hand, and where."""
    g = k.q_step[k.a_hand[a, 0]]
    for o in range(c.o_from[a, g], c.o_to[a, g]):
        s = c.o_station[o]
        if c.s_kind[s] != PROCESS or visit_at(c, k, a, o, g, True, now) < 0:
            continue
        short = k.s_done[s] if k.s_done[s] else c.s_batch[s] - k.s_inside[s]
        if short > k.a_holds[a]:
            return s, True
    return -1, False
