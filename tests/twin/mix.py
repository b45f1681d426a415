"""The mix of a run keeps the shares: a type waits where it is more than one part ahead of another."""

from millhand.solvers.kernel.codes import PROCESS, STORE, WORK
from tests.twin.state import Run


def may_come(k: Run, part: int) -> bool:
    """True where the mix allows one more of a type, or a load of it waits for parts that are not on their way."""
    given, share = k.pieces.given, k.c.steps.share
    if k.c.size.parts == 1:
        return True
    due = min(int((given[other] + 1) / share[other] * 1e6) for other in range(k.c.size.parts))
    return int(given[part] / share[part] * 1e6) <= due or any(_lacks(k, s, part) for s in range(k.c.size.stations))


def mix_gives(k: Run, u: int, supply: int) -> bool:
    """True where the mix allows a raw part of a supply that comes to the station next, or may do so."""
    c = k.c
    parts = c.stations.part[c.stations.part_from[supply] : c.stations.part_to[supply]]
    if c.size.parts == 1:
        return True
    return any(may_come(k, part) and _comes_first(k, part, u) for part in parts)


def _comes_first(k: Run, part: int, u: int) -> bool:
    """True where a raw part comes to the station next, or it is not settled where to."""
    steps = k.c.steps
    g = steps.first[part] + 1
    return steps.every[g] > 1 or u in steps.at[steps.at_from[g] : steps.at_to[g]]


def _lacks(k: Run, s: int, part: int) -> bool:
    """True where parts of a type wait at a machine for their load to be complete, and those before it do not do."""
    c, st, step = k.c, k.st, k.pieces.step
    waiting = st.inside[s] - st.done[s]
    if c.stations.kind[s] != PROCESS or st.mode[s] == WORK or waiting % c.stations.batch[s] == 0:
        return False
    base = c.stations.piece_from[s]
    g = step[st.piece[base + st.inside[s] - 1]]
    lie = [
        step[st.piece[c.stations.piece_from[at] + i]]
        for at in range(c.size.stations)
        if c.stations.kind[at] in (PROCESS, STORE)
        for i in range(st.inside[at])
    ]
    held = [step[k.at.hand[a * c.size.hands + i]] for a in range(c.size.attendants) for i in range(k.at.holds[a])]
    before = [each for each in lie if each < g] + [each for each in held if each <= g]
    on_way = sum(c.steps.part[each] == part for each in before)
    return c.steps.part[g] == part and on_way < c.stations.batch[s] - waiting
