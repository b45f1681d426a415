"""The line of parts before a machine: which of several kinds the machine takes next out of its own buffer.

A load that is begun takes the first part of its kind, past those of other kinds. An empty machine begins what the
schedule says, and waits for it as long as there is room for it to come; where no schedule says anything, a load that is
all there before one that is not. Otherwise what came first goes first.
"""

from millhand.solvers.kernel.codes import EMPTY, STORE
from millhand.solvers.kernel.events.gone import is_gone
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.loads import is_before_loads, step_of_last, waiting
from millhand.solvers.kernel.events.traits import has_batches, has_cycles


@inner
def has_order(c: Record, s: int) -> bool:
    """True for the own buffer of a machine which takes parts of several kinds out of it as a schedule says."""
    m = c.s_only_to[s]
    return has_cycles(c) and m >= 0 and c.s_kind[s] == STORE and c.taken_to[m] > c.taken_from[m]


@inner
def leads(c: Record, k: Record, s: int) -> bool:
    """Bring the part that goes next to the front of a line; False where the machine waits for one that is not there."""
    if has_order(c, s) or (has_batches(c) and c.batches > 0 and is_before_loads(c, s)):
        return next_in_line(c, k, s)
    return True


@seldom
def next_in_line(c: Record, k: Record, s: int) -> bool:
    """The same for a buffer before a machine to which parts of several kinds come."""
    m = c.s_only_to[s]
    if k.s_mode[m] != EMPTY or k.s_inside[m] == c.s_batch[m]:
        return True
    i = place_of_next(c, k, s)
    if i >= 0:
        to_front(c, k, s, i)
    return i >= 0 or waiting(k, m) > 0 or not has_order(c, s) or is_full(c, k, s)


@seldom
def place_of_next(c: Record, k: Record, s: int) -> int:
    """Where the part that an empty machine, or one with a load that is begun, takes next stands in its line; -1 where
    it is not there."""
    m = c.s_only_to[s]
    begun, order = waiting(k, m) > 0, has_order(c, s)
    if order:
        passes_gone(c, k, m)
    for i in range(k.s_stock[s]):
        g = step_in(c, k, s, i) + 1
        if begun:
            found = step_of_last(c, k, m) == c.g_lies[g, m]
        elif order:
            found = c.taken_step[c.taken_from[m] + k.s_take[m]] == g
        else:
            found = mates(c, k, s, g - 1) >= c.s_batch[m]
        if found:
            return i
    return -1


@inner
def is_full(c: Record, k: Record, s: int) -> bool:
    """True where a line has no room for the part that its machine waits for: then the schedule is broken, and what came
    first goes first."""
    return c.s_capacity[s] >= 0 and k.s_stock[s] >= c.s_capacity[s]


@seldom
def has_next(c: Record, k: Record, s: int) -> bool:
    """True where something lies in a line that its machine takes without anything more coming there."""
    m = c.s_only_to[s]
    waits = k.s_mode[m] == EMPTY and k.s_inside[m] < c.s_batch[m]
    return not waits or is_full(c, k, s) or place_of_next(c, k, s) >= 0


@seldom
def began(c: Record, k: Record, s: int, g: int) -> None:
    """A machine has taken the first part of a load out of its line: where it is the one of the schedule, the next one
    of it is on, in the first periods that of which parts have come so far."""
    m = c.s_only_to[s]
    first, count = c.taken_from[m], c.taken_to[m] - c.taken_from[m]
    if c.taken_step[first + k.s_take[m]] != g:
        return
    comes_round(k, m, count)
    while c.taken_lap[first + k.s_take[m]] > k.s_take_period[m]:
        comes_round(k, m, count)


@inner
def passes_gone(c: Record, k: Record, m: int) -> None:
    """Loads whose part is gone are passed over in a machine's turn."""
    first, count = c.taken_from[m], c.taken_to[m] - c.taken_from[m]
    while is_gone(c, k, c.taken_came[first + k.s_take[m]], k.s_take_period[m] - c.taken_lap[first + k.s_take[m]]):
        comes_round(k, m, count)
        while c.taken_lap[first + k.s_take[m]] > k.s_take_period[m]:
            comes_round(k, m, count)


@inner
def comes_round(k: Record, m: int, count: int) -> None:
    """On to the next load of a machine's turn; after the last one the next period begins."""
    k.s_take[m] += 1
    if k.s_take[m] == count:
        k.s_take[m] = 0
        k.s_take_period[m] += 1


@inner
def of_kind(c: Record, k: Record, s: int, p: int, g: int) -> int:
    """Where the first part of a type, that has come to the step where one is meant, stands in a store; -1 where none is
    there."""
    for i in range(k.s_stock[s]):
        at = step_in(c, k, s, i)
        if c.g_part[at] == p and (g < 0 or at == g):
            return i
    return -1


@inner
def in_store(c: Record, k: Record, s: int, i: int) -> int:
    """The number of a part in a store; of the first where none is meant."""
    return k.piece[c.s_piece_from[s] + (k.s_head[s] + max(0, i)) % c.s_room[s]]


@seldom
def kind_to_front(c: Record, k: Record, s: int, p: int, g: int) -> None:
    """The first part of a type, and a step where one is meant, passes all before it in a store."""
    i = of_kind(c, k, s, p, g)
    if i > 0:
        to_front(c, k, s, i)


@inner
def step_in(c: Record, k: Record, s: int, i: int) -> int:
    """The step of a part in a store, counted from the first."""
    return k.q_step[in_store(c, k, s, i)]


@inner
def mates(c: Record, k: Record, s: int, g: int) -> int:
    """How many parts in a store are at a step."""
    found = 0
    for i in range(k.s_stock[s]):
        found += step_in(c, k, s, i) == g
    return found


@inner
def to_front(c: Record, k: Record, s: int, i: int) -> None:
    """A part in a store passes all before it."""
    base, room, head = c.s_piece_from[s], c.s_room[s], k.s_head[s]
    q = k.piece[base + (head + i) % room]
    for j in range(i, 0, -1):
        k.piece[base + (head + j) % room] = k.piece[base + (head + j - 1) % room]
    k.piece[base + head] = q
