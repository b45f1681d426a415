"""Parts that move without anybody: machines that take in or put out by themselves."""

from millhand.solvers.kernel.codes import DONE, EMPTY, PROCESS, SINK, STORE, SUPPLY
from tests.twin.books import next_step
from tests.twin.calls import part_left
from tests.twin.flags import NOW, STOCK_CHANGED
from tests.twin.machines import may_start, settle
from tests.twin.mix import may_come
from tests.twin.pieces import advance, stayed_too_long
from tests.twin.state import Run
from tests.twin.visits import into_sink, lift_raw, put_last, take_first


def self_moves(k: Run, now: int) -> None:
    """Let parts move until nothing moves any more."""
    moved = True
    while moved:
        moved = False
        for s in range(k.c.size.stations):
            if k.c.stations.kind[s] in (PROCESS, STORE) and _gives(k, s) and _pushed(k, s, now):
                moved = True
            if k.c.stations.kind[s] != SUPPLY and _raw_comes(k, s, now):
                moved = True


def _gives(k: Run, s: int) -> bool:
    """True where a part could leave."""
    if k.c.stations.kind[s] == STORE:
        return k.st.inside[s] > k.st.claimed[s]
    return k.st.mode[s] == DONE and not k.st.claimed[s] and may_start(k, s, k.flags[NOW])


def _takes(k: Run, s: int) -> bool:
    """True where there is room for one part more."""
    c, st = k.c, k.st
    capacity = c.stations.capacity[s]
    if c.stations.kind[s] == SINK:
        return capacity < 0 or st.stock[s] + st.expected[s] < capacity
    if c.stations.kind[s] == STORE:
        return capacity < 0 or st.inside[s] + st.expected[s] < capacity
    room = st.mode[s] == EMPTY and st.inside[s] < c.stations.batch[s]
    return room and not st.expected[s] and not st.claimed[s] and may_start(k, s, k.flags[NOW])


def _pushed(k: Run, s: int, now: int) -> bool:
    """Move the first finished part on, where the machine puts out or the next one takes in by itself."""
    c = k.c
    g = next_step(k, k.st.piece[c.stations.piece_from[s]])
    for target in c.steps.at[c.steps.at_from[g] : c.steps.at_to[g]]:
        if not (c.stations.self_out[s] or c.stations.self_in[target]) or not _takes(k, target):
            continue
        stayed_too_long(k, s, now)
        piece = take_first(k, s)
        advance(k, piece)
        _into(k, target, piece, now)
        if c.stations.kind[s] == PROCESS:
            part_left(k, s, now)
            settle(k, s, now)
        k.flags[STOCK_CHANGED] = 1
        return True
    return False


def _into(k: Run, s: int, piece: int, now: int) -> None:
    """Put a part into a station."""
    if k.c.stations.kind[s] == SINK:
        into_sink(k, s, piece, now)
        return
    put_last(k, s, piece, now)
    if k.c.stations.kind[s] == PROCESS:
        settle(k, s, now)


def _raw_comes(k: Run, s: int, now: int) -> bool:
    """A station gets a raw part out of a supply that puts out by itself, or takes one in by itself."""
    c = k.c
    if not _takes(k, s):
        return False
    for part in range(c.size.parts):
        first = c.steps.first[part]
        if s not in c.steps.at[c.steps.at_from[first + 1] : c.steps.at_to[first + 1]] or not may_come(k, part):
            continue
        for supply in c.steps.at[c.steps.at_from[first] : c.steps.at_to[first]]:
            if not (c.stations.self_out[supply] or c.stations.self_in[s]):
                continue
            if c.stations.capacity[supply] < 0 or k.st.stock[supply] > k.st.claimed[supply]:
                _into(k, s, lift_raw(k, supply, part, now), now)
                return True
    return False
