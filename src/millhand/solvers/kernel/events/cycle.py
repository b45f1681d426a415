"""Rule `cycle`: an attendant does what the schedule says, in its order, each thing as soon as it can be done.

So the arcs of the schedule are kept: its own order by the list, those between attendants by counting what the others
have done, the rest by the stations themselves. With nothing left to chance the run settles into the schedule's period.
After a stop it goes on where it was; what has nothing to act on, since a part was lost or the line is still filling, is
passed over. Parts that leave the cycle, to a gauge say, are brought there and fetched in between, by the ordinary
choice.
"""

from millhand.solvers.kernel.codes import (
    A_WAITING,
    DONE,
    EMPTY,
    EMPTY_TURNS,
    HANDLED,
    NEVER,
    OP_DUTY,
    OP_GO,
    OP_LIFT,
    OP_SET,
    OP_SWAP,
    PARTS,
    PICK,
    PLACE,
    PROCESS,
    STORE,
    SUPPLY,
    SWAP,
    TAIL,
    TURNS,
    WORK,
)
from millhand.solvers.kernel.events.books import enter_attendant, first_piece
from millhand.solvers.kernel.events.calls import set_due
from millhand.solvers.kernel.events.choice import READY, claim, deliver, finished_wanted, gives_raw
from millhand.solvers.kernel.events.coming import is_coming
from millhand.solvers.kernel.events.duties import answers
from millhand.solvers.kernel.events.entries import may_bring
from millhand.solvers.kernel.events.gone import number_of, set_is_gone
from millhand.solvers.kernel.events.in_line import in_store, is_full, of_kind
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.late import is_late, leaves_lying, lift_is_over
from millhand.solvers.kernel.events.numbers import kind_of, visit_of
from millhand.solvers.kernel.events.parts import settle_next
from millhand.solvers.kernel.events.rail_turns import goes
from millhand.solvers.kernel.events.stocks import is_shut
from millhand.solvers.kernel.events.traits import has_batches, has_endless
from millhand.solvers.kernel.events.turns import lead_on_arrival, passes, turn_comes, waits_there
from millhand.solvers.kernel.events.visits import lifted_here, sends, set_out
from millhand.solvers.kernel.events.ways import way_steps

PASS, STAY_HERE, GO = range(3)  # nothing to act on; not yet; at once or on arrival


@seldom
def next_of_cycle(c: Record, k: Record, a: int, now: int) -> bool:
    """Begin the next thing of the turn that has something to act on, or wait for it; False where others may choose."""
    k.a_in_turn[a] = 0
    k.a_came[a] = -1
    if (k.a_stray[a] or has_other_part(c, k, a)) and deliver(c, k, a, now):
        k.a_stray[a] = 0
        return True
    if k.a_holds[a] < c.a_hands[a] and fetch_stray(c, k, a, now):
        return True
    if has_other_part(c, k, a):
        return False
    if may_pass_no_more(k, a):
        return False
    first = c.op_from[a]
    for _ in range(c.op_to[a] - first):
        o = first + k.a_op[a]
        if c.op_what[o] == OP_GO:
            if k.a_place[a] != c.op_place[o]:
                return goes(c, k, a, o, now)
            passes(c, k, a)
            continue
        if c.op_what[o] == OP_DUTY:
            if is_called(c, k, a, o):
                return goes_to_duty(c, k, a, o, now)
            passes_over(c, k, a, o)
            continue
        what, hand = what_there_is(c, k, a, o)
        ready, s = looks_at(c, k, a, o, what, hand, now)
        if k.gone and what == OP_LIFT and ready != PASS and leaves_lying(c, k, a, o):
            ready = PASS
        if ready == PASS:
            passes_over(c, k, a, o)
            if c.op_at_to[o] > c.op_at_from[o]:
                k.changed |= PARTS  # others may wait for it
        elif not not_too_soon(c, k, a, o, s, now):
            return False
        else:
            return sets_out(c, k, a, o, s, what, hand, now) if ready == GO else waits_at(c, k, a, s, now)
    k.a_empty[a] += 1
    return False


@inner
def passes_over(c: Record, k: Record, a: int, o: int) -> None:
    """There is nothing to act on: the turn goes on as if it had been done."""
    if k.gone:
        is_late(c, k, a, o)
    if k.a_hold_began[a] >= 0:
        k.a_hold_began[a] += c.op_gap[o]
    k.a_waits_since[a] = -1
    passes(c, k, a)


@inner
def is_called(c: Record, k: Record, a: int, o: int) -> bool:
    """True where a duty of the turn is asked for, and its attendant at work."""
    return bool(k.l_waiting[c.op_slot[o]] > 0 and k.a_on[a])


@seldom
def goes_to_duty(c: Record, k: Record, a: int, o: int, now: int) -> bool:
    """Do a duty in its turn; False where it is too soon for it, or others have to come first."""
    comes = turn_comes(c, k, o, k.a_period[a])
    if comes > now:
        if comes < NEVER:
            set_due(k, a, comes)
        return False
    place = c.op_place[o]
    if c.windows and k.a_hold_began[a] >= 0:
        leave = k.a_hold_began[a] + c.op_gap[o] - max(0, way_steps(c, k, a, place))
        if leave > now:
            set_due(k, a, leave)
            return False
    k.a_in_turn[a] = 1
    answers(c, k, a, c.op_slot[o], place, now)
    if k.a_slot[a] < 0:  # it waits for the rail
        k.a_in_turn[a] = 0
    return True


@inner
def may_pass_no_more(k: Record, a: int) -> bool:
    """True where whole turns have been passed over since the last event, enough to fill any line: with nothing to act
    on, more of them would never end."""
    if k.a_empty_at[a] != k.events:
        k.a_empty_at[a] = k.events
        k.a_empty[a] = 0
    return bool(k.a_empty[a] >= EMPTY_TURNS)


@inner
def not_too_soon(c: Record, k: Record, a: int, o: int, s: int, now: int) -> bool:
    """Where stays are limited nothing is done sooner after the thing before it than the schedule has it: whoever
    hurries would lift a part that has to wait elsewhere. False, and a time to look again, where it would be."""
    if not c.windows or k.a_hold_began[a] < 0:
        return True
    way = max(0, way_steps(c, k, a, c.s_place[s]))
    if way == 0 and c.op_what[o] == OP_SET and k.a_picked_last[a] and lifted_here(c, k, a, s):
        way = c.a_turn[a]
    leave = k.a_hold_began[a] + c.op_gap[o] - way - lead_on_arrival(c, a, o, s)
    if leave <= now:
        return True
    set_due(k, a, leave)
    return False


@inner
def waits_at(c: Record, k: Record, a: int, s: int, now: int) -> bool:
    """Not yet: go there, except along a rail, where the turn says when, and wait."""
    place = c.s_place[s]
    way = way_steps(c, k, a, place)
    if way > 0 and c.a_track[a] < 0:
        sends(c, k, a, place, way, now)
        return True
    if way == 0:
        waits_there(c, k, a, now)
    if k.a_state[a] != A_WAITING or k.a_until_first[a] or k.a_until_second[a]:
        enter_attendant(c, k, a, A_WAITING, now)
    return True


@inner
def has_other_part(c: Record, k: Record, a: int) -> bool:
    """True with a part in hand whose next step is at no station of the turn."""
    for i in range(k.a_holds[a]):
        g = k.q_step[k.a_hand[a, i]]
        known = False
        for s in range(c.stations):
            known = known or (c.a_puts[a, s] > 0 and c.g_allows[g, s] > 0)
        if not known:
            return True
    return False


@inner
def fetch_stray(c: Record, k: Record, a: int, now: int) -> bool:
    """Take a finished part out of a station that is in nobody's turn, a gauge say, where it can be put down."""
    for x in range(c.source_from[a], c.source_to[a]):
        u = c.source[x]
        if c.s_in_turn[u] or c.s_kind[u] != PROCESS or k.s_mode[u] != DONE:
            continue
        soon, _, _, t = finished_wanted(c, k, a, u, PROCESS, now)
        if soon != READY:
            continue
        q = first_piece(c, k, u)
        settle_next(c, k, q)
        claim(k, a, u, t)
        k.a_stray[a] = 1
        set_out(c, k, a, u, c.pick_of[a, u, c.g_part[k.q_step[q]]], now)
        return True
    return False


@inner
def what_there_is(c: Record, k: Record, a: int, o: int) -> tuple[int, int]:
    """What is left of a thing while the line is filling or a part is missing, and which hand holds the part for it; the
    kind is that of a motion where nothing is."""
    what, hand = c.op_what[o], -1
    if what != OP_LIFT and k.a_period[a] >= c.op_brings_lap[o] and not set_is_gone(c, k, a, o):
        hand = hand_for(c, k, a, o)
    lifts = what != OP_SET and k.a_period[a] >= c.op_lap[o] and (hand >= 0 or not lift_is_over(c, k, a, o))
    if hand >= 0:
        return (OP_SWAP if lifts else OP_SET), hand
    if what == OP_SWAP and lifts and k.a_holds[a] < c.a_hands[a]:
        return OP_SWAP, -1
    return (OP_LIFT if lifts and k.a_holds[a] < c.a_hands[a] else OP_GO), -1


@inner
def hand_for(c: Record, k: Record, a: int, o: int) -> int:
    """Which hand holds a part for the station: one of the schedule's step before one of its type before others; -1
    none."""
    found, best = -1, 0
    for i in range(k.a_holds[a]):
        g = k.q_step[k.a_hand[a, i]]
        fits = 1 + (c.g_part[g] == c.op_brings[o]) + (g == c.op_brings_step[o])
        for x in range(c.op_at_from[o], c.op_at_to[o]):
            if c.g_allows[g, c.op_at[x]] and fits > best:
                found, best = i, fits
    return found


@inner
def looks_at(c: Record, k: Record, a: int, o: int, what: int, hand: int, now: int) -> tuple[int, int]:
    """Whether the thing can be set out for, has to be waited for, or has nothing to act on; and at which station."""
    if what == OP_GO:
        return PASS, -1
    best, best_since, best_s = PASS, NEVER, -1
    if not comes_now(c, k, a, o, now) or (hand >= 0 and not may_bring(c, k, o, k.a_period[a])):
        return STAY_HERE, c.op_at[c.op_at_from[o]]
    if what != OP_SET and has_too_many_calls(c, k, o):
        return STAY_HERE, c.op_at[c.op_at_from[o]]
    for x in range(c.op_at_from[o], c.op_at_to[o]):
        s = c.op_at[x]
        ready = at_one(c, k, a, o, s, what, hand, now)
        since = 0
        if has_batches(c) and c.s_kind[s] == PROCESS and what == OP_SET and k.s_inside[s]:
            since = -1  # a load that is begun is completed first
        elif what == OP_SET and c.s_kind[s] == PROCESS and k.s_mode[s] != EMPTY:
            since = 1 + (k.s_mode[s] == HANDLED)  # of free slots one that is just emptied, or closes, comes last
        elif what == OP_SWAP and c.s_kind[s] == PROCESS and not k.s_inside[s]:
            since = NEVER - 2  # a part is exchanged where one is
        if c.s_kind[s] == PROCESS and what != OP_SET and (k.s_inside[s] or (has_endless(c) and c.s_endless[s] >= 0)):
            since = done_since(c, k, s)
            if c.op_at_to[o] - c.op_at_from[o] > 1 and c.g_part[k.q_step[first_piece(c, k, s)]] != c.op_part[o]:
                ready = min(ready, PASS if k.freed else STAY_HERE)
            if c.op_lies_at[o] >= 0 and k.q_step[first_piece(c, k, s)] != c.op_lies_at[o]:
                ready = min(ready, STAY_HERE if (hand >= 0 and not k.freed) or may_come(c, k, a, o, s) else PASS)
        if ready > best or (ready == best and since < best_since):
            best, best_since, best_s = ready, since, s
    return best, best_s


@inner
def has_too_many_calls(c: Record, k: Record, o: int) -> bool:
    """True where a lift may call for a duty of which more calls wait than a period makes: whoever does nothing else but
    duties has not kept up, and nobody runs ahead of it."""
    for x in range(c.op_at_from[o], c.op_at_to[o]):
        s = c.op_at[x]
        for y in range(c.parts_from[s], c.parts_to[s]):
            most = c.l_most[c.parts_slot[y]]
            if most and k.l_waiting[c.parts_slot[y]] >= most:
                return True
    return False


@inner
def comes_now(c: Record, k: Record, a: int, o: int, now: int) -> bool:
    """True where others are so far; where they will be at a moment that is known, it is looked again then."""
    comes = turn_comes(c, k, o, k.a_period[a])
    if now < comes < NEVER:
        s = c.op_at[c.op_at_from[o]]
        lead = lead_on_arrival(c, a, o, s)
        if k.a_waits_since[a] < 0 or c.s_kind[s] == PROCESS:
            comes -= lead
        elif k.a_waits_since[a] + lead > comes:
            comes = now  # its own lead runs longer
        if comes > now:
            set_due(k, a, comes)
    return comes <= now


@inner
def done_since(c: Record, k: Record, s: int) -> int:
    """Since when the part in a machine is done, or when it will be; what was just put in, or waits for the rest of its
    load, comes behind all others. Of endless slots a free one is none to lift from, and a load that is begun comes
    first."""
    if k.s_mode[s] == HANDLED or k.s_mode[s] == TAIL or k.s_mode[s] == EMPTY:
        return NEVER - 1
    if has_endless(c) and c.s_endless[s] >= 0 and k.s_mode[s] == DONE and k.s_done[s] < c.s_batch[s]:
        return -1
    return k.s_ready[s] if k.s_mode[s] == DONE else k.s_end[s]


@inner
def at_one(c: Record, k: Record, a: int, o: int, s: int, what: int, hand: int, now: int) -> int:
    """The same for one station."""
    kind = c.s_kind[s]
    if kind == SUPPLY:
        of_lot = c.lot_to[s] <= c.lot_from[s] or k.lot_now[s] >= c.lot_to[s] or c.lot_part[k.lot_now[s]] == c.op_part[o]
        return GO if of_lot and gives_raw(c, k, s, now) and not is_shut(c, k, s, now) else STAY_HERE
    if kind != PROCESS:
        if what == OP_LIFT:
            if k.s_stock[s] > k.s_claimed[s]:
                other = c.s_kind[s] == STORE and meant_in(c, k, o, s) < 0  # than the schedule lifts here
                waits = other and not k.freed and not is_full(c, k, s) and is_coming(c, k, a, s)
                return STAY_HERE if waits or is_shut(c, k, s, now) else GO
            return STAY_HERE if may_come(c, k, a, o, s) else PASS
        room = c.s_capacity[s] < 0 or k.s_stock[s] + k.s_expected[s] - (k.a_target[a] == s) < c.s_capacity[s]
        return GO if room and not is_shut(c, k, s, now) else STAY_HERE
    if k.s_trouble[s] or k.s_claimed[s] or k.s_expected[s] - (k.a_target[a] == s):
        return STAY_HERE
    if what == OP_SET:
        half_emptied = has_batches(c) and k.s_done[s] > 0
        shut = k.s_mode[s] == WORK or k.s_mode[s] == DONE or half_emptied
        return GO if not shut and k.s_inside[s] < c.s_batch[s] else STAY_HERE
    if k.s_inside[s] == 0 and hand < 0:
        return STAY_HERE if may_come(c, k, a, o, s) else PASS
    if k.s_mode[s] == EMPTY and k.s_inside[s] == c.s_batch[s]:
        return STAY_HERE  # loaded, and short of the pieces that the load uses up
    if has_batches(c) and what == OP_LIFT and k.s_mode[s] == EMPTY:
        return STAY_HERE if may_come(c, k, a, o, s) else PASS  # a load that is not complete
    return PASS if what == OP_SWAP and hand < 0 and not lifts_there(c, k, a, s) else GO


@inner
def may_come(c: Record, k: Record, a: int, o: int, s: int) -> bool:
    """True where a part may still come to be lifted; not where nothing moves any more."""
    return not k.freed and (not c.op_alone[o] or is_coming(c, k, a, s))


@inner
def meant_in(c: Record, k: Record, o: int, s: int) -> int:
    """Where in a store the part stands that the schedule lifts; -1 where none such is there."""
    return of_kind(c, k, s, c.op_part[o], c.op_lies_at[o])


@inner
def lifts_there(c: Record, k: Record, a: int, s: int) -> bool:
    """True where the part in the station can be lifted without bringing another."""
    return c.pick_of[a, s, c.g_part[k.q_step[first_piece(c, k, s)]]] >= 0


@inner
def sets_out(c: Record, k: Record, a: int, o: int, s: int, what: int, hand: int, now: int) -> bool:
    """Go and do it; False where no row of handling says how."""
    kind = c.s_kind[s]
    if kind == SUPPLY:
        visit = c.pick_of[a, s, c.op_part[o]]
    elif hand < 0:
        q = in_store(c, k, s, meant_in(c, k, o, s)) if kind == STORE else first_piece(c, k, s)
        if kind == STORE or k.s_mode[s] == DONE:
            settle_next(c, k, q)
        visit = c.pick_of[a, s, c.g_part[k.q_step[q]]]
    else:
        row = c.row_of[a, s, c.g_part[k.q_step[k.a_hand[a, hand]]]]
        swaps = kind == PROCESS and what == OP_SWAP and k.s_mode[s] != EMPTY
        visit = visit_of(row, SWAP if swaps else PLACE)
    if visit < 0 or not c.v_has[visit]:
        return False
    k.a_in_turn[a] = 1
    k.changed |= TURNS
    if kind_of(visit) != PLACE:
        k.a_came[a] = number_of(c, c.op_came[o], k.a_period[a] - c.op_lap[o])
    if kind_of(visit) == PICK:
        claim(k, a, s, -1)
        k.a_want[a], k.a_want_step[a] = c.op_part[o], c.op_lies_at[o]
    else:
        claim(k, a, -1, s)
        k.a_which[a] = hand
    set_out(c, k, a, s, visit, now)
    return True


@seldom
def visit_done(c: Record, k: Record, a: int, now: int) -> None:
    """A visit has ended: where it was the next thing of the turn, the turn moves on."""
    if k.a_in_turn[a]:
        k.a_in_turn[a] = 0
        k.a_left_lying[a] = 0
        k.op_over[c.op_from[a] + k.a_op[a]] = now
        passes(c, k, a)
