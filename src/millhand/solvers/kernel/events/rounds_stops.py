"""How a round is left in the middle, as its events would have left it."""

from millhand.solvers.kernel.codes import (
    SLOT_BITS,
    STOCK,
    WORK,
)
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.numbers import station_slot
from millhand.solvers.kernel.events.rounds_machines import one_done, refresh_soon, up_to
from millhand.solvers.kernel.events.tending_choice import brings, otherwise, waits_longest
from millhand.solvers.kernel.events.tending_visits import promised
from millhand.solvers.kernel.events.traits import has_slowing
from millhand.solvers.kernel.events.ways import remember_way


@seldom
def stops_with_raw(c: Record, k: Record, raw: int, now: int) -> None:
    """Left with a raw part in hand, before it is brought anywhere."""
    k.before = now
    up_to(c, k, now << SLOT_BITS)
    holds(k, raw, c.t_step, now)
    k.a_place[0] = c.s_place[c.t_supply]
    k.a_last[0] = c.t_supply
    k.a_picked_last[0] = 1
    if k.waiting_calls or not brings(c, k, now):
        otherwise(c, k, now)


@seldom
def stops_exchanging(c: Record, k: Record, s: int, raw: int, now: int) -> None:
    """Left at a machine, at the moment at which the exchange begins."""
    arrives = now + c.t_way_out[s]
    begins = max(arrives, k.s_end[s])
    k.before = begins
    k.events += 1  # arrived
    waited = arrives <= k.s_end[s]  # then what had the same time and came before the machine's own event is over
    up_to(c, k, (begins << SLOT_BITS) | (station_slot(c) + s if waited else 0))
    if k.s_mode[s] == WORK:
        one_done(c, k, s)
        refresh_soon(c, k)
    holds(k, raw, c.t_step, begins)
    promised(k, s)
    k.a_which[0] = 0
    k.a_visit[0] = c.t_swap[s]
    k.a_place[0] = c.s_place[s]


@seldom
def stops_with_finished(c: Record, k: Record, s: int, out: int, now: int) -> None:
    """Left with a finished part in hand, on leaving the machine or the gauge."""
    k.before = now
    up_to(c, k, left_key(c, s, now))
    holds(k, out, k.q_step[out], now)
    k.a_place[0] = c.s_place[s]
    if has_slowing(c) and c.a_slow[0] >= 0:
        remember_way(c, k, 0, c.s_place[c.t_sink])


@seldom
def stops_with_nothing(c: Record, k: Record, s: int, now: int) -> None:
    """Left with empty hands, on leaving the outfeed, or the gauge where the part was scrapped."""
    k.before = now
    up_to(c, k, gauge_key(c, now) if s == c.t_gauge else now << SLOT_BITS)
    k.a_holds[0] = 0
    k.a_since[0] = now
    k.a_until_first[0] = k.a_until_second[0] = 0
    k.a_place[0] = c.s_place[s]
    _, wanted, _ = waits_longest(c, k, -1)
    if wanted >= 0:
        promised(k, wanted)
    if has_slowing(c) and c.a_slow[0] >= 0:
        remember_way(c, k, 0, c.s_place[c.t_supply])


@seldom
def stops_before_gauge(c: Record, k: Record, s: int, q: int, now: int) -> None:
    """Left at a machine with a part in hand that goes to the gauge."""
    stops_with_finished(c, k, s, q, now)
    k.a_last[0] = s
    k.a_picked_last[0] = 0
    otherwise(c, k, now)
    k.changed |= STOCK


@inner
def holds(k: Record, q: int, g: int, now: int) -> None:
    """One part in hand, on its way to a step; the books of the attendant are closed up to now."""
    k.a_hand[0, 0] = q
    k.a_holds[0] = 1
    k.g_in_hand[g] += 1
    k.a_since[0] = now
    k.a_until_first[0] = k.a_until_second[0] = 0


@inner
def gauge_key(c: Record, now: int) -> int:
    """The event of the gauge at a time."""
    return (now << SLOT_BITS) | (station_slot(c) + c.t_gauge)


@inner
def left_key(c: Record, s: int, now: int) -> int:
    """The event up to which all has happened when the attendant leaves a station: its own, but where it takes no time
    to take the part out of the gauge (or it was scrapped) that of the gauge."""
    pick = c.t_check_pick
    if s == c.t_gauge and (c.v_lead_steps[pick] + c.v_hold_steps[pick] == 0):
        return gauge_key(c, now)
    return now << SLOT_BITS
