"""The mix of a run keeps the shares: a type waits where it is more than one part ahead of another."""

from tests.twin.state import Run


def may_come(k: Run, part: int) -> bool:
    """True where the mix allows one more of a type."""
    given, share = k.pieces.given, k.c.steps.share
    if k.c.size.parts == 1:
        return True
    due = min(int((given[other] + 1) / share[other] * 1e6) for other in range(k.c.size.parts))
    return int(given[part] / share[part] * 1e6) <= due


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
