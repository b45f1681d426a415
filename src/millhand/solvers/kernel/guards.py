"""What a run that stands still is told from: parts and attendants that wait for each other, in words."""

from typing import Any

from millhand.solvers.kernel.codes import A_TRACK, AWAY, DONE, PROCESS, STORE, SUPPLY
from millhand.solvers.kernel.layout import Compiled


def locked_up(c: Compiled, k: Any) -> bool:
    """True where no part can ever move again although nothing is broken, off or called for."""
    for a in range(c.size.attendants):
        if k.a_state[a] == A_TRACK:
            return True
        if k.a_holds[a] and not _outfeed_full(c, k, k.q_step[k.a_hand[a, 0]]):
            return True
    return _circle(c, k) or _half_a_load(c, k) or _never_emptied(c, k)


def _half_a_load(c: Compiled, k: Any) -> bool:
    """True where a load waits for mates of its parts although no supply has run out and no machine is off by its hours:
    no part of their type and step is ever given for it again."""
    s = c.stations
    endless = all(kind != SUPPLY or room < 0 for kind, room in zip(s.kind, s.capacity, strict=True))
    return (
        endless
        and max(s.calendar, default=-1) < 0
        and any(kind == PROCESS and 0 < k.s_inside[at] < s.batch[at] for at, kind in enumerate(s.kind))
    )


def _never_emptied(c: Compiled, k: Any) -> bool:
    """True where a machine waits for room in the buffer behind it, out of which no row of anybody lifts."""
    taken = set(c.attendants.source)
    behind = (c.lots.only_to[s] for s in range(c.size.stations) if _keeps_its_part(c, k, s))
    return any(b >= 0 and c.stations.kind[b] == STORE and not c.stations.self_out[b] and b not in taken for b in behind)


def _targets(c: Compiled, g: int) -> set[int]:
    """The stations of a step."""
    return set(c.steps.at[c.steps.at_from[g] : c.steps.at_to[g]])


def _outfeed_full(c: Compiled, k: Any, g: int) -> bool:
    """True where a part waits for room in an outfeed or store, which somebody may empty."""
    return all(_may_be_emptied(c, k, s) for s in _targets(c, g))


def _may_be_emptied(c: Compiled, k: Any, s: int) -> bool:
    """True for an outfeed or store; for the buffer before a machine only where that waits for a full outfeed itself."""
    machine = c.lots.only_to[s]
    if c.stations.kind[s] == PROCESS or machine < 0:
        return bool(c.stations.kind[s] != PROCESS)
    if k.s_mode[machine] != DONE:
        return True
    last = c.lots.only_to[machine] if c.lots.only_to[machine] >= 0 else machine
    return all(
        c.stations.kind[t] != PROCESS and 0 <= c.stations.capacity[t] <= k.s_stock[t]
        for t in _targets(c, _first(c, k, last))
    )


def _first(c: Compiled, k: Any, s: int) -> int:
    """The step to which the first part of a machine or store goes next."""
    q = k.piece[c.stations.piece_from[s] + k.s_head[s]]
    if k.q_settled[q] >= 0:
        return int(k.q_settled[q])
    g = int(k.q_step[q]) + 1
    while c.steps.every[g] > 1 and k.g_until[g] != 1:
        g += 1
        while c.steps.every[g] == 0:
            g += 1
    return g


def _circle(c: Compiled, k: Any) -> bool:
    """True where parts wait for each other's places in a circle: every place that they could go to is one of theirs."""
    stuck = {s for s in range(c.size.stations) if _keeps_its_part(c, k, s)}
    freed = True
    while freed and stuck:
        leave = {s for s in stuck if not _targets(c, _first(c, k, s)) <= stuck}
        stuck -= leave
        freed = bool(leave)
    return bool(stuck)


def _keeps_its_part(c: Compiled, k: Any, s: int) -> bool:
    """True for a finished machine and for a store without room."""
    if c.stations.kind[s] == PROCESS:
        return bool(k.s_mode[s] == DONE)
    return c.stations.kind[s] == STORE and 0 <= c.stations.capacity[s] <= k.s_stock[s]


def who_waits(c: Compiled, k: Any) -> str:
    """Who stands where, with what in hand, and which stations hold what: for the reader of an error."""
    words = []
    for a, name in enumerate(c.attendant_names):
        parts = [_part_words(c, k.q_step[k.a_hand[a, i]]) for i in range(k.a_holds[a])]
        away = " (off)" if k.a_mode[a] == AWAY else ""
        rail = " and waits for the rail" if k.a_state[a] == A_TRACK else ""
        words.append(f"{name}{away} holds {', '.join(parts) if parts else 'nothing'}{rail}")
    for s, name in enumerate(c.station_names):
        if c.stations.kind[s] == PROCESS and k.s_mode[s] == DONE:
            waits = c.station_names[c.lots.only_to[s]] if c.lots.only_to[s] >= 0 else _names(c, _first(c, k, s))
            words.append(f"{name} holds a finished part that waits for {waits}")
        elif c.stations.kind[s] == PROCESS and 0 < k.s_inside[s] < c.stations.batch[s]:
            words.append(f"{name} holds {k.s_inside[s]} of the {c.stations.batch[s]} parts of a load, all of one type")
        elif c.stations.kind[s] == STORE and 0 < c.stations.capacity[s] <= k.s_stock[s]:
            words.append(f"{name} is full {_of_full(c, k, s)}")
        elif c.stations.kind[s] == SUPPLY and c.stations.capacity[s] >= 0 and k.s_stock[s] == 0:
            words.append(f"{name} is empty")
    return "; ".join(words) + "."


def _of_full(c: Compiled, k: Any, s: int) -> str:
    """What a full store or buffer waits for, or that nobody lifts out of it."""
    if c.lots.only_to[s] >= 0:
        return f"and waits for {c.station_names[c.lots.only_to[s]]}"
    lifted = s in c.attendants.source or c.stations.self_out[s]
    return f"and waits for {_names(c, _first(c, k, s))}" if lifted else "and nobody has a row to pick there"


def _part_words(c: Compiled, g: int) -> str:
    """A part in hand and where it should go."""
    return f"a {c.part_names[c.steps.part[g]]} that waits for {_names(c, g)}"


def _names(c: Compiled, g: int) -> str:
    """The stations of a step, by name."""
    return " or ".join(c.station_names[s] for s in c.steps.at[c.steps.at_from[g] : c.steps.at_to[g]])
