"""What the attendant of a row of like machines does next, found without comparing all that a route could be.

Each function gives what the general choice (choice.py, ahead.py) gives in a cell of this kind, or says that it cannot.
"""

from millhand.solvers.kernel.codes import A_IDLE, A_WAITING, DONE, EMPTY, FIRST_TO_FINISH, IDLE, NEVER, WORK
from millhand.solvers.kernel.events.books import enter_attendant, first_piece
from millhand.solvers.kernel.events.calls import set_due
from millhand.solvers.kernel.events.choice import claim
from millhand.solvers.kernel.events.deciding import decide
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.parts import settle_next
from millhand.solvers.kernel.events.tending_visits import begins_lift, begins_putting, goes
from millhand.solvers.kernel.events.traits import is_held
from millhand.solvers.kernel.events.visits import set_out


@seldom
def otherwise(c: Record, k: Record, now: int) -> None:
    """The general choice, where something is not as usual."""
    decide(c, k, 0, now)


@often
def is_checked_next(c: Record, k: Record) -> bool:
    """True where the next finished part goes to the gauge."""
    return c.t_check >= 0 and k.g_until[c.t_check] == 1


@often
def has_room(c: Record, k: Record) -> bool:
    """True where the outfeed takes one part more."""
    s = c.t_sink
    return (c.s_capacity[s] < 0 or k.s_stock[s] < c.s_capacity[s]) and not is_held(c, k, s)


@often
def takes_away(c: Record, k: Record, now: int) -> bool:
    """The finished part goes into the outfeed, where there is room."""
    if not has_room(c, k):
        return False
    begins_putting(c, k, now)
    return True


@often
def waits_longest(c: Record, k: Record, at: int) -> tuple[int, int, int]:
    """(since when, which, the visit) of the machine that has waited longest for a raw part, -1 none; one that stands
    at `at` comes first of all."""
    since, found, visit = NEVER, -1, -1
    if c.t_row & ~k.working:
        for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
            s = c.o_station[o]
            mode = k.s_mode[s]
            if mode > DONE or k.s_trouble[s]:
                continue
            if (mode == DONE and c.a_hands[0] < 2) or (mode == EMPTY and k.s_inside[s]):
                continue
            points = -1 if s == at else k.s_ready[s]
            if points < since:
                since, found, visit = points, s, c.o_swap[o] if mode == DONE else c.o_place[o]
    return since, found, visit


@often
def finishes_first(c: Record, k: Record) -> tuple[int, int]:
    """(which, the exchange) of the machine that finishes first, -1 where none works."""
    first, at = NEVER, -1
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        if k.s_end[s] < first and k.s_mode[s] == WORK and not k.s_trouble[s]:
            first, at = k.s_end[s], o
    return (c.o_station[at], c.o_swap[at]) if at >= 0 else (-1, -1)


@often
def brings(c: Record, k: Record, now: int) -> bool:
    """A raw part in hand: to the machine that waits longest, else (where the rule says so) to the one that finishes
    first, else wait. False where something finished might be fetched first."""
    _, s, visit = waits_longest(c, k, k.a_last[0])
    if s < 0 and c.a_hands[0] > 1:
        if k.finished:
            return False
        if c.a_rule[0] == FIRST_TO_FINISH:
            s, visit = finishes_first(c, k)
    if s < 0:
        rests(c, k, A_WAITING, now)
        return True
    goes(c, k, s, visit, now)
    return True


@seldom
def rests(c: Record, k: Record, state: int, now: int) -> None:
    """Nothing to do until something changes."""
    k.a_mode[0] = IDLE
    set_due(k, 0, NEVER)
    if k.a_state[0] != state or k.a_until_second[0] or k.a_until_first[0]:
        enter_attendant(c, k, 0, state, now)


@often
def fetches(c: Record, k: Record, now: int) -> bool:
    """With empty hands: a raw part, where one hand takes out and puts in also a finished one. False where the gauge,
    the supply or the outfeed are not as usual."""
    u = c.t_supply
    if (c.t_gauge >= 0 and k.s_mode[c.t_gauge] != EMPTY) or is_held(c, k, u):
        return False
    if c.s_capacity[u] >= 0 and k.s_stock[u] == 0:
        return False
    if c.a_hands[0] > 1:
        _, s, _ = waits_longest(c, k, -1)
        begins_lift(c, k, s, now)
        return True
    return has_room(c, k) and not is_checked_next(c, k) and takes_either(c, k, now)


@seldom
def takes_either(c: Record, k: Record, now: int) -> bool:
    """One hand: for the machine that waits longest a raw part or its finished one out; else (where the rule says so) to
    the one that finishes first; else wait."""
    since, s, _ = waits_longest(c, k, -1)
    u = first_in_mode(c, k, DONE, since + 1)
    if s >= 0 and u < 0:
        begins_lift(c, k, s, now)
        return True
    if u < 0 and c.a_rule[0] == FIRST_TO_FINISH:
        u = first_in_mode(c, k, WORK, NEVER)
    if u < 0:
        rests(c, k, A_IDLE, now)
        return True
    settle_next(c, k, first_piece(c, k, u))
    claim(k, 0, u, c.t_sink)
    set_out(c, k, 0, u, c.pick_of[0, u, 0], now)
    return True


@inner
def first_in_mode(c: Record, k: Record, mode: int, before: int) -> int:
    """The machine that has finished or will finish first, before a time; -1 none."""
    found = -1
    for x in range(c.source_from[0], c.source_to[0]):
        s = c.source[x]
        if (c.t_row >> s) & 1 and k.s_mode[s] == mode and k.s_end[s] < before and not k.s_trouble[s]:
            before, found = k.s_end[s], s
    return found


@seldom
def chooses(c: Record, k: Record, now: int) -> None:
    """What comes next, with whatever is in hand."""
    done = False
    if k.waiting_calls == 0:
        if k.a_holds[0] == 0:
            done = k.a_target[0] < 0 and fetches(c, k, now)
        elif k.a_holds[0] == 1:
            g = k.q_step[k.a_hand[0, 0]]
            done = brings(c, k, now) if g == c.t_step else (g == c.t_out and takes_away(c, k, now))
    if not done:
        otherwise(c, k, now)
