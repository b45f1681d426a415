"""Loads of several parts: those of one load are of one type, at one step of their route."""

from millhand.solvers.kernel.codes import PROCESS, WORK
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.traits import has_batches, has_stores


@inner
def fits_load(c: Record, k: Record, s: int, g: int) -> bool:
    """True where a part of step g may come to what waits at the station for its load to be complete."""
    if not has_batches(c) or not c.batches:
        return True
    if c.s_kind[s] != PROCESS:
        return fits_behind(c, k, s, g, 0)
    if c.s_batch[s] == 1:
        return True
    return k.s_mode[s] == WORK or waiting(k, s) == 0 or step_of_last(c, k, s) == c.g_lies[g, s]


@inner
def fits_behind(c: Record, k: Record, s: int, g: int, others: int) -> bool:
    """The same at a machine's own buffer, out of which it takes part after part as they came: a load is begun with the
    last parts there, or in the machine. Where several types come, one attendant at a time brings them."""
    if not has_batches(c) or not c.batches or c.s_kind[s] == PROCESS or c.s_only_to[s] < 0:
        return True
    return one_type_only(c, s) or (others == 0 and fits_last(c, k, s, g))


@inner
def one_type_only(c: Record, s: int) -> bool:
    """True where the machine behind an own buffer has loads of one part, or all its parts are of one step."""
    return not has_types(c, c.s_only_to[s])


@inner
def has_types(c: Record, m: int) -> bool:
    """True where a machine has loads of several parts, and parts of several steps come to it."""
    return c.s_batch[m] > 1 and c.step_to[m] - c.step_from[m] > 1


@inner
def is_before_loads(c: Record, s: int) -> bool:
    """True for the own buffer before a machine that has loads of several types."""
    if c.s_kind[s] == PROCESS or c.s_only_to[s] < 0:
        return False
    return has_types(c, c.s_only_to[s])


@inner
def is_begun(c: Record, k: Record, s: int) -> bool:
    """True where a load of one of several types has been begun and is completed before others are begun: else each of
    two machines could wait for the part that lies in the other."""
    if not has_batches(c) or not c.batches:
        return False
    m = s if c.s_kind[s] == PROCESS else c.s_only_to[s]
    return m >= 0 and has_types(c, m) and lacking(c, k, s, m)


@seldom
def fits_last(c: Record, k: Record, s: int, g: int) -> bool:
    """True where a part would begin a load behind all that are there, or belongs to the load of the last one."""
    m = c.s_only_to[s]
    if not lacking(c, k, s, m):
        return True
    if k.s_stock[s] == 0:
        return step_of_last(c, k, m) == c.g_lies[g + 1, m]
    last = (k.s_head[s] + k.s_stock[s] - 1) % c.s_room[s]
    return k.q_step[k.piece[c.s_piece_from[s] + last]] == g


@inner
def lacking(c: Record, k: Record, s: int, m: int) -> bool:
    """True where the last load of a machine, and of its own buffer s where that is another station, is not complete."""
    inside = 0 if k.s_mode[m] == WORK else waiting(k, m)
    return (inside + (k.s_stock[s] if s != m else 0)) % c.s_batch[m] != 0


@inner
def waiting(k: Record, s: int) -> int:
    """How many parts at a machine that does not work wait for their load to be complete."""
    return k.s_inside[s] - k.s_done[s]


@inner
def step_of_last(c: Record, k: Record, s: int) -> int:
    """The step of the part that came last into a machine."""
    return k.q_step[k.piece[c.s_piece_from[s] + k.s_inside[s] - 1]]


@inner
def is_of_hand(c: Record, k: Record, a: int, s: int) -> bool:
    """True where the first part of a store is of the type that the attendant just took there, for one load."""
    if not has_stores(c) or k.s_stock[s] <= k.s_claimed[s]:
        return False
    first = k.piece[c.s_piece_from[s] + (k.s_head[s] + k.s_claimed[s]) % c.s_room[s]]
    return c.g_part[k.q_step[first]] == c.g_part[k.q_step[k.a_hand[a, k.a_holds[a] - 1]]]
