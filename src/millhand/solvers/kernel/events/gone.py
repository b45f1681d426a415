"""Rule `cycle`: parts that the schedule will not see any more, and what of the turns was meant for them.

Each part that comes in is one of the schedule: so many come in a period, in their order, and its number says which of
them it is and in which period it came. Where it is scrapped, what the turns would do with it is passed over when its
turn comes, and nothing else is: so all other parts stay where the schedule has them. Without this somebody would wait
in its place for the part behind it, and the cell would run with fewer under way for ever. Whoever lifts a part in its
turn lifts the one that the schedule means: of several that are alike, the numbers change places.
"""

from millhand.solvers.kernel.codes import OP_LIFT, PARTS, SUPPLY, TURNS
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.traits import has_cycles


@inner
def number_of(c: Record, which: int, period: int) -> int:
    """The number of one of the parts that come in in a period; -1 where it is not known."""
    return which + period * c.comings if which >= 0 and period >= 0 else -1


@inner
def number_by_itself(c: Record, k: Record, p: int) -> int:
    """The number of a part that comes in next by itself, where all of its type do; -1 where it is not known."""
    if not has_cycles(c) or c.comings == 0:
        return -1
    first, each = c.p_comes_from[p], c.p_comes_to[p] - c.p_comes_from[p]
    if each == 0:
        return -1
    return number_of(c, c.comes[first + k.p_given[p] % each], k.p_given[p] // each)


@inner
def is_gone(c: Record, k: Record, which: int, period: int) -> bool:
    """True where one of the parts that come in in a period is gone."""
    if k.gone == 0:
        return False
    number = number_of(c, which, period)
    return number >= 0 and number_is_gone(k, number)


@seldom
def number_is_gone(k: Record, number: int) -> bool:
    """The same by its number."""
    for i in range(len(k.gone_number)):
        if k.gone_number[i] == number + 1:
            return True
    return False


@inner
def set_is_gone(c: Record, k: Record, a: int, o: int) -> bool:
    """True where the part is gone that something of a turn would set down now."""
    return is_gone(c, k, c.op_brings_came[o], k.a_period[a] - c.op_brings_lap[o])


@seldom
def goes_for_ever(k: Record, number: int) -> None:
    """A part is gone: whoever waits for it looks again. The last few are remembered, more than are under way."""
    if number < 0 or number_is_gone(k, number):
        return
    k.gone_number[k.gone % len(k.gone_number)] = number + 1
    k.gone += 1
    k.changed |= PARTS | TURNS


@seldom
def piece_of(c: Record, k: Record, number: int) -> int:
    """The part under way that has a number; -1 where none has."""
    for q in range(c.room):
        if k.q_came[q] == number:
            return q
    return -1


@seldom
def takes_number(c: Record, k: Record, q: int, number: int) -> None:
    """A part is from now on the one with that number; the one that had it, where there is one, is the other. A number
    that is gone, since somebody was on the way to it already, is nobody's any more."""
    had = k.q_came[q]
    if had == number or (k.gone and number_is_gone(k, number)):
        return
    other = piece_of(c, k, number)
    k.q_came[q] = number
    if other >= 0:
        k.q_came[other] = had
    elif k.gone:
        goes_for_ever(k, had)


@seldom
def is_scrapped(c: Record, k: Record, q: int) -> None:
    """A part is scrapped. What would have been one load with it further on waits for the next parts that come in: each
    of them stands for one of those, which does not come in any more."""
    number, g, p = k.q_came[q], k.q_step[q], c.g_part[k.q_step[q]]
    k.q_came[q] = -1
    goes_for_ever(k, number)
    which, period = number % c.comings, number // c.comings
    for x in range(c.mate_from[which], c.mate_to[which]):
        if c.mate_step[x] > g:
            stands_for_next(c, k, number_of(c, c.mate[x], period + c.mate_laps[x]), p)


@seldom
def stands_for_next(c: Record, k: Record, number: int, p: int) -> None:
    """The turn of a part is over, and the part is still there: it stands for one that has not come in yet."""
    if number < 0 or number_is_gone(k, number):
        return
    q = piece_of(c, k, number)
    goes_for_ever(k, number)
    if q >= 0:
        k.q_came[q] = next_number(c, k, p)


@seldom
def next_number(c: Record, k: Record, p: int) -> int:
    """The number of the next part of a type that somebody takes in in its turn; -1 where nobody does."""
    found = -1
    for a in range(c.attendants):
        for o in range(c.op_from[a], c.op_to[a]):
            if c.op_what[o] != OP_LIFT or c.op_part[o] != p or c.s_kind[c.op_at[c.op_at_from[o]]] != SUPPLY:
                continue
            at = c.op_from[a] + k.a_op[a]
            period = k.a_period[a] + (o < at or (o == at and k.a_in_turn[a] > 0)) - c.op_lap[o]
            number = number_of(c, c.op_came[o], period)
            while number >= 0 and (number_is_gone(k, number) or piece_of(c, k, number) >= 0):
                number += c.comings
            if number >= 0 and (found < 0 or number < found):
                found = number
    return found
