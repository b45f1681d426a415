"""What ends a run that would never end: events without progress of time, and attendants who wait for each other."""

from millhand.errors import ToolError
from millhand.solvers.kernel.codes import AWAY, DONE, IDLE, NEVER, PROCESS, STORE, SUPPLY
from tests.twin.books import next_step
from tests.twin.state import Run

EVENTS_AT_ONE_TIME = 100_000
EVENTS_PER_SIMULATED_HOUR = 5_000_000


def stop_endless(k: Run, now: int) -> None:
    """Called when very many events fell on one moment."""
    raise ToolError(
        f"The simulation does not get on: {EVENTS_AT_ONE_TIME} events at {now * k.c.grid_s:g} s. {who_waits(k)}",
        code="no_progress",
    )


def overflow(k: Run, s: int) -> None:
    """A store without a limit has grown beyond all measure."""
    raise ToolError(
        f"{k.c.station_names[s]} holds {k.st.inside[s]} parts and grows: parts come faster than they leave. "
        "Give the store a capacity.",
        code="store_grows",
    )


def check_deadlock(k: Run, now: int) -> None:
    """Raise where no part can ever move again although nothing is broken, off or called for."""
    if not _quiet(k):
        return
    for a in range(k.c.size.attendants):
        if k.at.holds[a] and not _outfeed_full(k, k.at.hand[a * k.c.size.hands]):
            raise ToolError(f"Deadlock at {now * k.c.grid_s:g} s: {who_waits(k)}", code="deadlock")
    if _circle(k):
        raise ToolError(f"Deadlock at {now * k.c.grid_s:g} s: {who_waits(k)}", code="deadlock")


def _quiet(k: Run) -> bool:
    """True where only calendars and clocks are still to come and everybody is free."""
    c, st, at = k.c, k.st, k.at
    if any(k.times[k.station_at + s] < NEVER for s in range(c.size.stations)):
        return False
    if any(st.trouble[s] for s in range(c.size.stations)) or any(k.calls.waiting):
        return False
    free = (
        at.mode[a] == IDLE and at.on[a] and not at.halted[a] and k.times[a] == NEVER for a in range(c.size.attendants)
    )
    return all(free)


def _outfeed_full(k: Run, piece: int) -> bool:
    """True where the part waits for room in an outfeed or store, which somebody may empty."""
    g = k.pieces.step[piece]
    return all(_may_be_emptied(k, s) for s in k.c.steps.at[k.c.steps.at_from[g] : k.c.steps.at_to[g]])


def _may_be_emptied(k: Run, s: int) -> bool:
    """Outfeeds and stores may; a buffer before a finished machine only where its parts wait for full outfeeds."""
    only, kinds = k.c.lots.only_to, k.c.stations.kind
    if kinds[s] == PROCESS or only[s] < 0:
        return kinds[s] != PROCESS
    if k.st.mode[only[s]] != DONE:
        return True
    last = only[only[s]] if only[only[s]] >= 0 else only[s]
    return all(kinds[t] != PROCESS and _full(k, t) for t in _targets_of_first(k, last))


def _circle(k: Run) -> bool:
    """True where parts wait for each other's places in a circle: every place that they could go to is one of theirs."""
    c, st = k.c, k.st
    stuck = {
        s
        for s in range(c.size.stations)
        if (c.stations.kind[s] == PROCESS and st.mode[s] == DONE) or (c.stations.kind[s] == STORE and _full(k, s))
    }
    freed = True
    while freed and stuck:
        leave = {s for s in stuck if not _targets_of_first(k, s) <= stuck}
        stuck -= leave
        freed = bool(leave)
    return bool(stuck)


def _full(k: Run, s: int) -> bool:
    """True where a store has no room."""
    return 0 <= k.c.stations.capacity[s] <= k.st.inside[s]


def _targets_of_first(k: Run, s: int) -> set[int]:
    """Where the first part of a machine or store could go next."""
    steps, piece = k.c.steps, k.st.piece[k.c.stations.piece_from[s]]
    g = next_step(k, piece)
    return set(steps.at[steps.at_from[g] : steps.at_to[g]])


def who_waits(k: Run) -> str:
    """Who stands where, with what in hand, and which stations hold what: for the reader of an error."""
    c, words = k.c, []
    for a, name in enumerate(c.attendant_names):
        base = a * c.size.hands
        parts = [_part_words(k, k.at.hand[base + i]) for i in range(k.at.holds[a])]
        away = " (off)" if k.at.mode[a] == AWAY else ""
        words.append(f"{name}{away} holds {', '.join(parts) if parts else 'nothing'}")
    for s, name in enumerate(c.station_names):
        if c.stations.kind[s] == PROCESS and k.st.mode[s] == DONE:
            piece = k.st.piece[c.stations.piece_from[s]]
            words.append(f"{name} holds a finished part that waits for {_targets(k, next_step(k, piece))}")
        elif c.stations.kind[s] == SUPPLY and c.stations.capacity[s] >= 0 and k.st.stock[s] == 0:
            words.append(f"{name} is empty")
    return "; ".join(words) + "."


def _part_words(k: Run, piece: int) -> str:
    """A part in hand and where it should go."""
    g = k.pieces.step[piece]
    return f"a {k.c.part_names[k.c.steps.part[g]]} that waits for {_targets(k, g)}"


def _targets(k: Run, g: int) -> str:
    """The stations of a step."""
    steps = k.c.steps
    return " or ".join(k.c.station_names[s] for s in steps.at[steps.at_from[g] : steps.at_to[g]])
