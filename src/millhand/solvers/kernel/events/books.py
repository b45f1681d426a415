"""Time is booked when a state changes, so the states of an owner add up to the horizon exactly; stock likewise."""

from millhand.solvers.kernel.codes import (
    A_SLOWED,
    A_WAITING,
    DONE,
    EMPTY,
    HANDLED,
    LOG_ATTENDANT,
    LOG_GOES,
    LOG_LEAVES,
    LOG_ROOM,
    LOG_STATION,
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
    STOP_LOG,
    STORE,
    SUPPLY,
    TAIL,
    WARM,
    WORK,
)
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.traits import (
    has_halts,
    has_hours,
    has_lots,
    has_slowing,
    has_stores,
    has_wear,
    is_halted,
    logs,
)


@seldom
def note(c: Record, k: Record, now: int, what: int, who: int, where: int) -> None:
    """One line of the log: what happened (codes.py), which attendant and which station or duty (-1 none)."""
    line = k.log_lines
    k.log[line, 0], k.log[line, 1], k.log[line, 2], k.log[line, 3], k.log[line, 4] = now, what, who, where, 0
    k.log_lines = line + 1
    if line + LOG_LEAVES > LOG_ROOM and k.stop == 0:
        k.stop = STOP_LOG


@inner
def enter_station(c: Record, k: Record, s: int, state: int, now: int) -> None:
    """Book the state that ends and begin the next."""
    old = k.s_state[s]
    if old != state:
        k.s_time[s, old] += now - k.s_since[s]
        k.s_state[s] = state
        k.s_since[s] = now
        if logs(k):
            note(c, k, now, LOG_STATION + state, -1, s)


@often
def close_attendant(c: Record, k: Record, a: int, now: int) -> None:
    """Book an attendant up to now, phase by phase."""
    since = k.a_since[a]
    k.a_since[a] = now
    if is_halted(c, k, a):
        k.a_time[a, k.a_halted_as[a]] += now - since
        return
    until = k.a_until_first[a]
    if until > since:
        until = min(now, until)
        k.a_time[a, k.a_first[a]] += until - since
        since = until
    until = k.a_until_second[a]
    if until > since:
        until = min(now, until)
        k.a_time[a, k.a_second[a]] += until - since
        since = until
    k.a_time[a, k.a_state[a]] += now - since


@often
def enter_attendant(c: Record, k: Record, a: int, state: int, now: int) -> None:
    """Book what ends and begin one phase that lasts until the next change."""
    close_attendant(c, k, a, now)
    k.a_state[a] = state
    k.a_until_first[a] = 0
    k.a_until_second[a] = 0
    if logs(k):
        note(c, k, now, LOG_ATTENDANT + state, a, -1)


@often
def enter_way(c: Record, k: Record, a: int, way_as: int, way: int, lead: int, last: int, now: int) -> None:
    """Begin a way, a wait for the station's lead and a last phase, all known now."""
    close_attendant(c, k, a, now)
    k.a_first[a] = A_SLOWED if has_slowing(c) and k.a_slowed[a] else way_as
    k.a_until_first[a] = now + way
    k.a_second[a] = A_WAITING
    k.a_until_second[a] = now + way + lead
    k.a_state[a] = last
    if logs(k):
        if way:
            note(c, k, now, LOG_GOES, a, k.a_place[a])
            k.log[k.log_lines - 1, 4] = way
        note(c, k, now, LOG_ATTENDANT + k.a_first[a], a, -1)


@inner
def stock_changes(c: Record, k: Record, s: int, more: int, now: int) -> None:
    """One part more or fewer, or a whole filling: the mean level is booked, and whether anything lies there."""
    k.s_area[s] += part_steps(k.s_stock[s], now - k.s_stock_since[s])
    k.s_stock_since[s] = now
    k.s_stock[s] += more


@inner
def part_steps(stock: int, steps: int) -> float:
    """Parts times steps, as a float since it may be long and large."""
    return float(stock) * float(steps)


@inner
def station_state(c: Record, k: Record, s: int) -> int:
    """The state of a process station as rules 7 and 18 have it."""
    if k.s_down[s]:
        return S_IN_REPAIR if k.s_served[s] else S_FAILED
    if has_wear(c) and k.s_worn[s]:
        return S_IN_REPAIR if k.s_served[s] else S_WORN
    if has_halts(c) and k.s_held[s]:
        return k.s_held_as[s]
    mode = k.s_mode[s]
    if mode == WORK:
        return S_WORKING
    if mode == WARM:
        return S_WARMING
    if mode == HANDLED or mode == TAIL:
        return S_HANDLED
    if has_hours(c) and k.s_off[s]:
        return S_OFF
    return standing_state(c, k, s, mode)


@often
def standing_state(c: Record, k: Record, s: int, mode: int) -> int:
    """Why a station stands that could work: nobody there, nothing to load, or nowhere to put the part."""
    if mode == DONE:
        if leads_on(c, k, s):
            return S_STARVED if c.s_swap_only[s] and not raw_at_hand(c, k, s) else S_WAITING
        return S_BLOCKED
    if (
        k.s_inside[s] == c.s_batch[s]
    ):  # loaded, but it could not start: short of what the load uses up, or not its hours
        return S_STARVED
    return S_WAITING if raw_at_hand(c, k, s) else S_STARVED


@inner
def raw_at_hand(c: Record, k: Record, s: int) -> bool:
    """True where a part that may come here next lies in a supply, store, finished station or hand."""
    for at in range(c.feed_from[s], c.feed_to[s]):
        other = c.feed[at]
        if c.s_kind[other] == SUPPLY:
            if (k.s_stock[other] > 0 or c.s_capacity[other] < 0) and not lots_are_over(c, k, other):
                return True
        elif k.s_done[other] or (has_stores(c) and c.s_kind[other] == STORE and k.s_stock[other]):
            return True
    for at in range(c.step_from[s], c.step_to[s]):
        if k.g_in_hand[c.step[at]]:
            return True
    return False


@inner
def lots_are_over(c: Record, k: Record, s: int) -> bool:
    """True for a supply that gives no more: the last part of its last lot has been lifted."""
    return has_lots(c) and c.lot_to[s] > c.lot_from[s] and k.lot_now[s] >= c.lot_to[s]


@inner
def leads_on(c: Record, k: Record, s: int) -> bool:
    """True where the first finished part of a station has somewhere to go, now or by an exchange."""
    g = next_step(c, k, first_piece(c, k, s))
    for at in range(c.g_at_from[g], c.g_at_to[g]):
        target = c.g_at[at]
        if c.s_only_to[s] >= 0 and c.s_only_to[s] != target:
            continue
        if c.s_kind[target] == PROCESS:
            if k.s_mode[target] == EMPTY or c.s_exchanged[target]:
                return True
        elif c.s_capacity[target] < 0 or k.s_stock[target] < c.s_capacity[target]:
            return True
    return False


@inner
def first_piece(c: Record, k: Record, s: int) -> int:
    """The number of the first part in a process station or store."""
    return k.piece[c.s_piece_from[s] + k.s_head[s]]


@inner
def next_step(c: Record, k: Record, q: int) -> int:
    """The step after the one that the piece is at; gauged steps are skipped for all but each n-th part.

    Whether a part is one of those is settled once, when somebody sets out to take it.
    """
    g = k.q_step[q]
    if c.g_straight[g]:
        return g + 1
    if k.q_settled[q] >= 0:
        return k.q_settled[q]
    g += 1
    while c.g_every[g] > 1 and k.g_until[g] != 1:
        g += 1
        while c.g_every[g] == 0:  # the rest of a machine with own buffers is skipped with its first
            g += 1
    return g


@often
def show(c: Record, k: Record, s: int, now: int) -> None:
    """Book the station's state anew."""
    enter_station(c, k, s, station_state(c, k, s), now)


@inner
def refresh_standing(c: Record, k: Record, now: int) -> None:
    """Settle anew why the stations that stand do so; called when stock, room or a neighbour has changed."""
    for s in range(c.stations):
        mode = k.s_mode[s]
        if mode > DONE:  # supplies, stores and sinks are in none of a machine's modes
            continue
        plain = k.s_trouble[s] == 0 and not (has_hours(c) and k.s_off[s])
        state = standing_state(c, k, s, mode) if plain else station_state(c, k, s)
        if state != k.s_state[s]:
            enter_station(c, k, s, state, now)


@inner
def is_open_sink(c: Record, k: Record, s: int) -> bool:
    """True where an outfeed or store has room beside what others bring."""
    return c.s_capacity[s] < 0 or k.s_stock[s] + k.s_expected[s] < c.s_capacity[s]
