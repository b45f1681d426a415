"""What attendants do as soon as they are free, arrive or are woken: choose, begin, wait."""

from millhand.solvers.kernel.codes import (
    A_IDLE,
    A_WAITING,
    CALLS,
    DONE,
    EMPTY,
    FINISH_LOAD,
    FIRST_TO_FINISH,
    IDLE,
    NEVER,
    ON_DUTY,
    PARTS,
    PICK,
    PLACE,
    STAY,
    STOCK,
    TURNS,
    WAIT,
)
from millhand.solvers.kernel.events.ahead import go_ahead
from millhand.solvers.kernel.events.books import enter_attendant, first_piece, next_step
from millhand.solvers.kernel.events.calls import set_due
from millhand.solvers.kernel.events.choice import deliver, fetch, free_claims, give_up_target, more_here
from millhand.solvers.kernel.events.cycle import next_of_cycle
from millhand.solvers.kernel.events.duties import best_call, interrupted, take_call
from millhand.solvers.kernel.events.hours import (
    goes_away,
    is_here,
)
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.numbers import kind_of
from millhand.solvers.kernel.events.stocks import is_shut
from millhand.solvers.kernel.events.traits import (
    has_batches,
    in_turn,
    is_halted,
    may_stand,
)
from millhand.solvers.kernel.events.visits import begin_visit


@inner
def decide(c: Record, k: Record, a: int, now: int) -> None:
    """Choose what comes next: a call, putting down, fetching, going ahead; else wait here."""
    free_claims(c, k, a)
    k.a_mode[a] = IDLE
    set_due(k, a, NEVER)
    here = is_here(c, k, a, now)
    if not may_choose(c, k, a, here):
        goes_away(c, k, a, now)
        return
    if here and k.waiting_calls and c.answer_to[a] > c.answer_from[a] and take_call(c, k, a, now):
        return
    if in_turn(c, a):
        if next_of_cycle(c, k, a, now):
            return
    elif k.a_holds[a]:
        if here and has_batches(c) and c.batches and more_here(c, k, a, now):
            return
        if deliver(c, k, a, now):
            return
    if here and not in_turn(c, a):
        if k.a_holds[a] < c.a_hands[a] and fetch(c, k, a, now):
            return
        if c.a_rule[a] == FIRST_TO_FINISH and go_ahead(c, k, a, now):
            return
    state = A_WAITING if k.a_holds[a] else A_IDLE
    if k.a_state[a] != state or k.a_until_second[a] or k.a_until_first[a]:
        enter_attendant(c, k, a, state, now)


@inner
def may_choose(c: Record, k: Record, a: int, here: bool) -> bool:
    """On shift, or at the end of it with a load still in hand that has to be brought away."""
    return here or (c.e_at_end[c.a_calendar[a]] == FINISH_LOAD and k.a_holds[a] > 0)


@inner
def goes_on(c: Record, k: Record, a: int, now: int) -> None:
    """What was under way is over: choose what comes next, at once or when nothing stops the attendant any more."""
    if not is_halted(c, k, a):
        decide(c, k, a, now)
    else:
        k.a_mode[a] = IDLE
        set_due(k, a, NEVER)


@often
def at_station(c: Record, k: Record, a: int, now: int) -> None:
    """Arrived at a process station, or waiting there and something has changed: begin, wait on, or choose anew."""
    kind = kind_of(k.a_visit[a])
    s = k.a_source[a] if kind == PICK else k.a_target[a]
    mode = k.s_mode[s]
    if k.s_trouble[s] or not may_choose(c, k, a, is_here(c, k, a, now)):
        decide(c, k, a, now)
    elif may_stand(c, s):
        comes_to_stock(c, k, a, s, now)
    elif (mode == DONE and kind != PLACE) or (mode == EMPTY and kind == PLACE and k.s_inside[s] < c.s_batch[s]):
        begin_visit(c, k, a, s, 0, now)
    elif mode > DONE:
        if k.a_mode[a] != WAIT:
            k.a_mode[a] = WAIT
            set_due(k, a, NEVER)
            enter_attendant(c, k, a, A_WAITING, now)
            if k.waiting_calls:
                k.changed |= CALLS
    else:
        k.changed |= PARTS
        decide(c, k, a, now)


@seldom
def comes_to_stock(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """Arrived at a supply, store or outfeed that may stand, and does not by its stops: begin, unless its hours end."""
    if is_shut(c, k, s, now):
        decide(c, k, a, now)
    else:
        begin_visit(c, k, a, s, 0, now)


@often
def wake(c: Record, k: Record, now: int) -> None:
    """Whoever waits looks again, in file order, until nobody's choice changes anything for another."""
    while k.changed & (PARTS | CALLS):
        calls = k.changed & CALLS
        k.changed &= STOCK | TURNS
        for a in range(len(c.a_arm)):
            if k.a_mode[a] >= ON_DUTY and (calls or k.a_holds[a] or c.a_picks[a]):
                wake_one(c, k, a, calls, now)


@often
def wake_one(c: Record, k: Record, a: int, calls: int, now: int) -> None:
    """One attendant looks again, where it is free to."""
    mode = k.a_mode[a]
    if is_halted(c, k, a):
        return
    if mode == ON_DUTY:
        if calls and interrupted(c, k, a, now):
            decide(c, k, a, now)
    elif mode == IDLE:
        decide(c, k, a, now)
    elif mode == WAIT:
        slot, again = -1, NEVER
        if k.waiting_calls:
            slot, again = best_call(c, k, a, now)
        set_due(k, a, again)
        if slot >= 0 and is_here(c, k, a, now):
            decide(c, k, a, now)
        else:
            at_station(c, k, a, now)
    elif mode == STAY:
        look_at_attended(c, k, a, now)


@seldom
def look_at_attended(c: Record, k: Record, a: int, now: int) -> None:
    """Staying at an attended process: take the part out when it is done; leave when the station stands."""
    s = k.a_target[a]
    if k.s_trouble[s] or k.s_mode[s] == EMPTY:
        give_up_target(k, a)
        k.changed |= PARTS
        decide(c, k, a, now)
    elif k.s_mode[s] == DONE:
        visit = c.pick_of[a, s, c.g_part[k.q_step[first_piece(c, k, s)]]]
        give_up_target(k, a)
        if visit < 0 or not may_bring_away(c, k, a, s) or k.a_holds[a] >= c.a_hands[a] or in_turn(c, a):
            k.changed |= PARTS  # whoever has waited there for the part may take it now
            decide(c, k, a, now)
            return
        k.a_source[a] = s
        k.s_claimed[s] += 1
        k.a_visit[a] = visit
        begin_visit(c, k, a, s, 0, now)


@inner
def may_bring_away(c: Record, k: Record, a: int, s: int) -> bool:
    """True where an attendant may take the part of a machine, and put it where it goes next."""
    g = next_step(c, k, first_piece(c, k, s))
    if c.s_only_to[s] >= 0 or c.o_from[a, g] == c.o_to[a, g]:
        return False
    for x in range(c.source_from[a], c.source_to[a]):
        if c.source[x] == s:
            return True
    return False
