"""Whether a finished part is left where it is until somebody comes back with a raw one and exchanges."""

from millhand.solvers.kernel.codes import DONE, PROCESS, STORE, SUPPLY
from millhand.solvers.kernel.events.jit import Record, seldom
from millhand.solvers.kernel.events.mix import comes_by_share, goes_on_with, may_come
from millhand.solvers.kernel.events.setting_up import is_set_up_for
from millhand.solvers.kernel.events.traits import has_lots, has_stores, may_stand


@seldom
def exchange_later(c: Record, k: Record, a: int, u: int) -> bool:
    """True where the attendant should rather come back with a raw part and exchange."""
    if not c.a_swaps[a] or k.a_holds[a] + 1 >= c.a_hands[a]:
        return holds_for(c, k, a, u)
    for x in range(c.source_from[a], c.source_to[a]):
        other = c.source[x]
        if not c.feeds[u, other]:
            continue
        kind = c.s_kind[other]
        if may_stand(c, other) and k.s_trouble[other]:
            continue
        if kind == SUPPLY and (c.s_capacity[other] < 0 or k.s_stock[other] > k.s_claimed[other]):
            if not mix_gives(c, k, a, u, other):
                continue
            return comes_to_swap(c, k, a, u, other)
        if has_stores(c) and kind == STORE and k.s_stock[other] > k.s_claimed[other]:
            return comes_to_swap(c, k, a, u, other)
        if kind == PROCESS and k.s_mode[other] == DONE and not k.s_trouble[other] and not k.s_claimed[other]:
            return comes_to_swap(c, k, a, u, other)
    return False


@seldom
def mix_gives(c: Record, k: Record, a: int, u: int, supply: int) -> bool:
    """True where the mix gives the attendant a raw part of a supply that could be exchanged at the station as it is set
    up."""
    if not has_lots(c) or c.parts == 1:
        return True
    for x in range(c.given_from[supply], c.given_to[supply]):
        p = c.given[x]
        if not comes_by_share(c, p):
            return True
        g = c.p_first[p] + 1
        comes = c.g_allows[g, u] or not c.g_straight[g - 1]
        if not comes or (c.s_changes[u] and not is_set_up_for(c, k, u, g)):
            continue
        if may_come(c, k, p) and goes_on_with(c, k, a, p, u):
            return True
    return False


@seldom
def comes_to_swap(c: Record, k: Record, a: int, u: int, source: int) -> bool:
    """True where the attendant has an exchange row at the station and the source's next part is of its family."""
    if not c.s_swaps[a, u]:
        return False
    if not has_lots(c):
        return True
    if c.lot_to[source] > c.lot_from[source] and k.lot_now[source] >= c.lot_to[source]:
        return False
    if not c.s_changes[u]:
        return True
    if c.lot_to[source] > c.lot_from[source]:
        g = c.p_first[c.lot_part[k.lot_now[source]]] + 1
        return is_set_up_for(c, k, u, g)
    return True


@seldom
def holds_for(c: Record, k: Record, a: int, u: int) -> bool:
    """True where a part in hand is meant for the station and can be exchanged there."""
    for i in range(k.a_holds[a]):
        g = k.q_step[k.a_hand[a, i]]
        if c.g_allows[g, u] and k.a_holds[a] < c.a_hands[a] and is_set_up_for(c, k, u, g):
            return c.s_swaps[a, u] > 0
    return False
