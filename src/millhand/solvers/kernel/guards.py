"""What ends a run that would never end: events without progress of time, and attendants who wait for each other."""

from millhand.errors import ToolError
from millhand.solvers.kernel.books import next_step
from millhand.solvers.kernel.codes import AWAY, DONE, IDLE, NEVER, PROCESS, SUPPLY
from millhand.solvers.kernel.state import Run

EVENTS_AT_ONE_TIME = 100_000
EVENTS_PER_SIMULATED_HOUR = 5_000_000


def stop_endless(k: Run, now: int) -> None:
    """Called when very many events fell on one moment."""
    raise ToolError(
        f"The simulation does not get on: {EVENTS_AT_ONE_TIME} events at {now * k.c.grid_s:g} s. {who_waits(k)}",
        code="no_progress",
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
    return all(at.mode[a] == IDLE and not at.halted[a] and k.times[a] == NEVER for a in range(c.size.attendants))


def _outfeed_full(k: Run, piece: int) -> bool:
    """True where the part waits for room in an outfeed or store, which somebody may empty."""
    g = k.pieces.step[piece]
    return all(k.c.stations.kind[s] != PROCESS for s in k.c.steps.at[k.c.steps.at_from[g] : k.c.steps.at_to[g]])


def _circle(k: Run) -> bool:
    """True where finished parts wait for each other's places in a circle."""
    for s in range(k.c.size.stations):
        seen, here = 0, s
        while seen <= k.c.size.stations:
            if k.c.stations.kind[here] != PROCESS or k.st.mode[here] != DONE:
                break
            g = next_step(k, k.st.piece[k.c.stations.piece_from[here]])
            here = k.c.steps.at[k.c.steps.at_from[g]]
            seen += 1
        if seen > k.c.size.stations:
            return True
    return False


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
