"""Time is booked when a state changes, so the states of an owner add up to the horizon exactly."""

from millhand.solvers.kernel.codes import (
    A_SLOWED,
    DONE,
    EMPTY,
    HANDLED,
    PROCESS,
    S_BLOCKED,
    S_FAILED,
    S_HANDLED,
    S_IN_REPAIR,
    S_OFF,
    S_STARVED,
    S_WAITING,
    S_WARMING,
    S_WORKING,
    S_WORN,
    SINK,
    STORE,
    SUPPLY,
    TAIL,
    WARM,
    WORK,
)
from tests.twin.state import ATTENDANT_KINDS_OF_TIME, STATION_KINDS_OF_TIME, Run


def enter_station(k: Run, s: int, state: int, now: int) -> None:
    """Book the state that ends and begin the next."""
    books = k.books
    old = books.station_state[s]
    if old != state:
        books.station[s * STATION_KINDS_OF_TIME + old] += now - books.station_since[s]
        books.station_state[s] = state
        books.station_since[s] = now


def close_attendant(k: Run, a: int, now: int) -> None:
    """Book an attendant up to now, phase by phase."""
    books = k.books
    since, base = books.since[a], a * ATTENDANT_KINDS_OF_TIME
    books.since[a] = now
    if k.at.halted[a]:
        books.attendant[base + books.halted_as[a]] += now - since
        return
    if books.until_first[a] > since:
        until = min(now, books.until_first[a])
        books.attendant[base + books.first[a]] += until - since
        since = until
    if books.until_second[a] > since:
        until = min(now, books.until_second[a])
        books.attendant[base + books.second[a]] += until - since
        since = until
    books.attendant[base + books.state[a]] += now - since


def enter_attendant(k: Run, a: int, state: int, now: int) -> None:
    """Book what ends and begin one phase that lasts until the next change."""
    close_attendant(k, a, now)
    books = k.books
    books.state[a] = state
    books.until_first[a] = books.until_second[a] = 0


def enter_phases(k: Run, a: int, first: tuple[int, int], second: tuple[int, int], last: tuple[int, int]) -> None:
    """Begin up to three phases at `last[1]`: (state, steps), (state, steps), (state, now)."""
    now = last[1]
    close_attendant(k, a, now)
    books = k.books
    books.first[a] = A_SLOWED if k.by.slowed[a] else first[0]
    books.until_first[a] = now + first[1]
    books.second[a] = second[0]
    books.until_second[a] = now + first[1] + second[1]
    books.state[a] = last[0]


def station_state(k: Run, s: int) -> int:
    """The state of a process station as rules 7 and 18 have it."""
    st = k.st
    if st.down[s]:
        return S_IN_REPAIR if st.served[s] else S_FAILED
    if st.worn[s]:
        return S_IN_REPAIR if st.served[s] else S_WORN
    if st.held[s]:
        return st.held_as[s]
    mode = st.mode[s]
    if mode == WORK:
        return S_WORKING
    if mode == WARM:
        return S_WARMING
    if mode in (HANDLED, TAIL):
        return S_HANDLED
    if st.off[s]:
        return S_OFF
    return _standing_state(k, s, mode)


def _standing_state(k: Run, s: int, mode: int) -> int:
    """Why a station stands that could work: nobody there, nothing to load, or nowhere to put the part."""
    if mode == DONE and _leads_on(k, s):
        swap_only = s not in k.c.attendants.source and not k.c.stations.self_out[s]
        return S_STARVED if swap_only and not _raw_at_hand(k, s) else S_WAITING
    if mode == DONE:
        return S_BLOCKED
    return S_WAITING if _raw_at_hand(k, s) else S_STARVED


def _raw_at_hand(k: Run, s: int) -> bool:
    """True where a part that may come here next lies in a supply, store, finished station or hand."""
    c, st, n = k.c, k.st, k.c.size.stations
    for other in range(n):
        if c.work.feeders[s * n + other]:
            kind = c.stations.kind[other]
            if kind == SUPPLY:
                if st.stock[other] > 0 or c.stations.capacity[other] < 0:
                    return True
            elif st.done[other] or (kind == STORE and st.inside[other]):
                return True
    steps, hands = c.steps, c.size.hands
    for a in range(c.size.attendants):
        for i in range(k.at.holds[a]):
            g = k.pieces.step[k.at.hand[a * hands + i]]
            if s in steps.at[steps.at_from[g] : steps.at_to[g]]:
                return True
    return False


def _leads_on(k: Run, s: int) -> bool:
    """True where the first finished part of a station has somewhere to go, now or by an exchange."""
    c, st = k.c, k.st
    piece = st.piece[c.stations.piece_from[s]]
    g = next_step(k, piece)
    for target in c.steps.at[c.steps.at_from[g] : c.steps.at_to[g]]:
        kind = c.stations.kind[target]
        if kind == PROCESS:
            if st.mode[target] == EMPTY or target in _exchanged(k):
                return True
        elif kind == SINK:
            if c.stations.capacity[target] < 0 or st.stock[target] < c.stations.capacity[target]:
                return True
        elif st.inside[target] < c.stations.capacity[target] or c.stations.capacity[target] < 0:
            return True
    return False


def _exchanged(k: Run) -> tuple[int, ...]:
    """Stations that somebody may exchange at."""
    work = k.c.work
    return tuple(s for s, row in zip(work.station, work.row, strict=True) if work.has[3 * row + 2])


def next_step(k: Run, piece: int) -> int:
    """The step after the one that the piece is at; gauged steps are skipped for all but each n-th part.

    Whether a part is one of those is settled once, when somebody sets out to take it.
    """
    steps = k.c.steps
    if k.pieces.settled[piece] >= 0:
        return k.pieces.settled[piece]
    g = k.pieces.step[piece] + 1
    while steps.every[g] > 1 and (k.pieces.step_count[g] + 1) % steps.every[g] != 0:
        g += 1
    return g


def refresh_standing(k: Run, now: int) -> None:
    """Settle anew why the stations that stand do so; called when stock, room or a neighbour has changed."""
    c, st = k.c, k.st
    for s in range(c.size.stations):
        if c.stations.kind[s] == PROCESS and (st.mode[s] == EMPTY or st.mode[s] == DONE):
            enter_station(k, s, station_state(k, s), now)
