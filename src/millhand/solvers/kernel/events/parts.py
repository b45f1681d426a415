"""Parts under way: made, gauged, scrapped, put out."""

from millhand.solvers.kernel.codes import (
    C_ALONE,
    C_ATTENDED,
    C_ESCAPED,
    C_GAUGED,
    C_GOOD,
    C_GOOD_ALONE,
    C_LATE,
    C_PARTS,
    C_PICKED,
    C_SCRAPPED,
    LOG_OUT,
    LOG_SCRAPPED,
    ON_BAD_NOTHING,
    SCRAP_SINCE_LAST,
)
from millhand.solvers.kernel.events.books import next_step, note
from millhand.solvers.kernel.events.draws import next_uniform
from millhand.solvers.kernel.events.entries import has_entries, is_lost
from millhand.solvers.kernel.events.gone import is_scrapped, number_by_itself
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.traits import has_cycles, logs

WHOLE = 1_000_000  # shares of the mix are compared as whole millionths of a part


@inner
def share_with_one_more(c: Record, k: Record, p: int) -> int:
    """How many parts in all a type would stand for with one part more: of several types the least comes next."""
    return int((k.p_given[p] + 1) / c.p_share[p] * WHOLE)


@often
def new_piece(c: Record, k: Record, p: int) -> int:
    """A raw part, lifted from a supply."""
    k.free_count -= 1
    q = k.free[k.free_count]
    k.q_settled[q] = -1
    k.q_step[q] = c.p_first[p]
    k.q_bad[q] = 0
    k.q_marked[q] = 0
    k.q_number[q] = 0
    k.q_maker[q] = -1
    if has_cycles(c):
        k.q_came[q] = number_by_itself(c, k, p)
    k.p_given[p] += 1
    k.counts[C_PICKED] += 1
    advance(c, k, q)
    return q


@often
def advance(c: Record, k: Record, q: int) -> None:
    """On to the next step that is not skipped."""
    g = k.q_step[q]
    if c.g_straight[g]:
        k.q_step[q] = g + 1
        return
    k.q_step[q] = settle_next(c, k, q)
    k.q_settled[q] = -1


@inner
def settle_next(c: Record, k: Record, q: int) -> int:
    """Settle which step the piece goes to next, and count it where each n-th part is meant."""
    if c.g_straight[k.q_step[q]]:
        return k.q_step[q] + 1
    if k.q_settled[q] < 0:
        target = next_step(c, k, q)
        for g in range(k.q_step[q] + 1, target + 1):
            if c.g_every[g] > 1:
                k.g_until[g] = k.g_until[g] - 1 if k.g_until[g] > 1 else c.g_every[g]
        k.q_settled[q] = target
    return k.q_settled[q]


@often
def inspect(c: Record, k: Record, q: int, s: int, now: int) -> bool:
    """The process at s has ended for one part: draw its quality, gauge it; True where it is scrapped here."""
    g = k.q_step[q]
    if c.g_good[g] < 1.0 and next_uniform(c, k, c.s_good_stream[s]) >= c.g_good[g]:
        k.q_bad[q] = 1
    if c.g_on_bad[g] == ON_BAD_NOTHING:
        k.q_maker[q] = s
        k.s_made[s] += 1
        k.q_number[q] = k.s_made[s]
        return False
    return gauge(c, k, q, g, s, now)


@seldom
def gauge(c: Record, k: Record, q: int, g: int, s: int, now: int) -> bool:
    """A part is gauged: a bad one is scrapped here, and with it what may be like it where the step says so. One that is
    good in itself and was marked by the check of another leaves too, and says nothing of its maker."""
    k.counts[C_GAUGED] += 1
    maker = k.q_maker[q]
    if not k.q_bad[q] and not k.q_marked[q]:
        if maker >= 0:
            found_good(k, maker, k.q_number[q])
        return False
    if maker >= 0:
        if k.q_bad[q] and c.g_on_bad[g] == SCRAP_SINCE_LAST:
            mark_since_last(c, k, maker)
        k.s_checking[maker] = 0
    scrap(c, k, q, s, now)
    return True


@seldom
def found_good(k: Record, maker: int, number: int) -> None:
    """A good check: what lies in the sinks from before it is out of doubt."""
    k.s_checked[maker] = max(k.s_checked[maker], number)
    k.s_good_since[maker] = k.s_good_after[maker]
    k.s_escaped_since[maker] = k.s_escaped_after[maker]
    k.s_good_after[maker] = 0
    k.s_escaped_after[maker] = 0
    k.s_checking[maker] = 0


@seldom
def mark_since_last(c: Record, k: Record, maker: int) -> None:
    """A bad check: all ungauged parts that the station made since its last good one are bad where they lie."""
    k.counts[C_GOOD] -= k.s_good_since[maker]
    k.counts[C_ESCAPED] -= k.s_escaped_since[maker]
    k.counts[C_SCRAPPED] += k.s_good_since[maker] + k.s_escaped_since[maker]
    k.s_good_since[maker] = 0
    k.s_escaped_since[maker] = 0
    k.s_good_after[maker] = 0
    k.s_escaped_after[maker] = 0
    for q in range(c.room):
        if k.q_maker[q] == maker and k.q_number[q] > k.s_checked[maker]:
            k.q_marked[q] = 1


@seldom
def scrap(c: Record, k: Record, q: int, s: int, now: int) -> None:
    """A part leaves as scrap, without handling."""
    k.counts[C_SCRAPPED] += 1
    if has_cycles(c) and k.q_came[q] >= 0:
        is_scrapped(c, k, q)
    elif has_entries(c):
        is_lost(c, k, k.q_step[q], s)
    leaves(c, k, q, False, now)
    if logs(k):
        note(c, k, now, LOG_SCRAPPED, -1, s)


@often
def put_out(c: Record, k: Record, q: int, s: int, now: int) -> None:
    """A part lies in a sink: good, known to be bad, or bad and nobody knows."""
    maker, number = k.q_maker[q], k.q_number[q]
    doubtful = maker >= 0 and number > k.s_checked[maker]
    later = doubtful and 0 < k.s_checking[maker] < number
    good = False
    if k.q_marked[q]:
        k.counts[C_SCRAPPED] += 1
    elif k.q_bad[q]:
        k.counts[C_ESCAPED] += 1
        if doubtful:
            k.s_escaped_since[maker] += 1
            k.s_escaped_after[maker] += later
    else:
        good = True
        k.counts[C_GOOD] += 1
        if doubtful:
            k.s_good_since[maker] += 1
            k.s_good_after[maker] += later
    leaves(c, k, q, good, now)
    if logs(k):
        note(c, k, now, LOG_OUT, -1, s)


@often
def leaves(c: Record, k: Record, q: int, good: bool, now: int) -> None:
    """One part more, while somebody is here or while nobody is; its number may be used again."""
    k.counts[C_PARTS] += 1
    if k.people_here:
        k.counts[C_ATTENDED] += 1
    else:
        k.counts[C_ALONE] += 1
        k.counts[C_GOOD_ALONE] += good
    k.last_out = now
    p = c.g_part[k.q_step[q]]
    k.p_out[p] += 1
    k.p_good[p] += good
    k.q_maker[q] = -1
    k.q_came[q] = -1
    k.free[k.free_count] = q
    k.free_count += 1


@seldom
def stayed_too_long(c: Record, k: Record, q: int, s: int, now: int) -> None:
    """The hold of the visit that takes it out of s begins: a part that stayed longer than its step allows is scrap."""
    longest = c.g_stay_max[k.q_step[q]]
    if 0 <= longest < now - k.q_since[q] and not k.q_marked[q]:
        k.q_marked[q] = 1
        k.counts[C_LATE] += 1
        k.s_late[s] += 1
