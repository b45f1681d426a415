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
    ON_BAD_NOTHING,
    SCRAP_SINCE_LAST,
)
from tests.twin.books import next_step
from tests.twin.calls import note
from tests.twin.chance import next_uniform
from tests.twin.flags import PEOPLE_HERE
from tests.twin.state import Run


def new_piece(k: Run, part: int) -> int:
    """A raw part, lifted from a supply."""
    pieces = k.pieces
    piece = pieces.free.pop()
    pieces.settled[piece] = -1
    pieces.step[piece] = k.c.steps.first[part]
    pieces.bad[piece] = pieces.marked[piece] = pieces.number[piece] = 0
    pieces.maker[piece] = -1
    pieces.given[part] += 1
    k.counts[C_PICKED] += 1
    advance(k, piece)
    return piece


def advance(k: Run, piece: int) -> None:
    """On to the next step that is not skipped."""
    k.pieces.step[piece] = settle_next(k, piece)
    k.pieces.settled[piece] = -1


def settle_next(k: Run, piece: int) -> int:
    """Settle which step the piece goes to next, and count it where each n-th part is meant."""
    pieces, steps = k.pieces, k.c.steps
    if pieces.settled[piece] < 0:
        target = next_step(k, piece)
        for g in range(pieces.step[piece] + 1, target + 1):
            if steps.every[g] > 1:
                pieces.step_count[g] += 1
        pieces.settled[piece] = target
    return pieces.settled[piece]


def inspect(k: Run, piece: int, s: int, now: int) -> bool:
    """The process at s has ended for one part: draw its quality, gauge it; True where it is scrapped here."""
    pieces, steps = k.pieces, k.c.steps
    g = pieces.step[piece]
    if steps.good[g] < 1.0 and next_uniform(k, steps.good_stream[s], now) >= steps.good[g]:
        pieces.bad[piece] = 1
    if steps.on_bad[g] == ON_BAD_NOTHING:
        pieces.maker[piece] = s
        pieces.made[s] += 1
        pieces.number[piece] = pieces.made[s]
        return False
    k.counts[C_GAUGED] += 1
    maker = pieces.maker[piece]
    if not pieces.bad[piece] and not pieces.marked[piece]:
        if maker >= 0:
            _found_good(k, maker, pieces.number[piece])
        return False
    if maker >= 0:
        if pieces.bad[piece] and steps.on_bad[g] == SCRAP_SINCE_LAST:
            _mark_since_last(k, maker)
        pieces.checking[maker] = 0
    scrap(k, piece, s, now)
    return True


def _found_good(k: Run, maker: int, number: int) -> None:
    """A good check: what lies in the sinks from before it is out of doubt."""
    pieces = k.pieces
    pieces.checked[maker] = max(pieces.checked[maker], number)
    pieces.good_since[maker] = pieces.good_after[maker]
    pieces.escaped_since[maker] = pieces.escaped_after[maker]
    pieces.good_after[maker] = pieces.escaped_after[maker] = pieces.checking[maker] = 0


def _mark_since_last(k: Run, maker: int) -> None:
    """A bad check: all ungauged parts that the station made since its last good one are bad where they lie."""
    pieces, counts = k.pieces, k.counts
    counts[C_GOOD] -= pieces.good_since[maker]
    counts[C_ESCAPED] -= pieces.escaped_since[maker]
    counts[C_SCRAPPED] += pieces.good_since[maker] + pieces.escaped_since[maker]
    pieces.good_since[maker] = pieces.escaped_since[maker] = 0
    pieces.good_after[maker] = pieces.escaped_after[maker] = 0
    for piece, whose in enumerate(pieces.maker):
        if whose == maker and pieces.number[piece] > pieces.checked[maker]:
            pieces.marked[piece] = 1


def scrap(k: Run, piece: int, s: int, now: int) -> None:
    """A part leaves as scrap, without handling."""
    k.counts[C_SCRAPPED] += 1
    _count(k, good=False)
    _free(k, piece)
    if k.logging:
        note(k, now, ("scrapped", -1, s))


def put_out(k: Run, piece: int, s: int, now: int) -> None:
    """A part lies in a sink: good, known to be bad, or bad and nobody knows."""
    pieces, counts = k.pieces, k.counts
    maker, number = pieces.maker[piece], pieces.number[piece]
    doubtful = maker >= 0 and number > pieces.checked[maker]
    later = doubtful and 0 < pieces.checking[maker] < number
    good = False
    if pieces.marked[piece]:
        counts[C_SCRAPPED] += 1
    elif pieces.bad[piece]:
        counts[C_ESCAPED] += 1
        if doubtful:
            pieces.escaped_since[maker] += 1
            pieces.escaped_after[maker] += later
    else:
        good = True
        counts[C_GOOD] += 1
        if doubtful:
            pieces.good_since[maker] += 1
            pieces.good_after[maker] += later
    _count(k, good=good)
    _free(k, piece)
    if k.logging:
        note(k, now, ("out", -1, s))


def stayed_too_long(k: Run, s: int, now: int) -> None:
    """The first part of s is about to be taken out: one that stayed longer than its step allows is scrap."""
    pieces = k.pieces
    piece = k.st.piece[k.c.stations.piece_from[s]]
    longest = k.c.steps.stay_max[pieces.step[piece]]
    if longest >= 0 and now - pieces.since[piece] > longest and not pieces.marked[piece]:
        pieces.marked[piece] = 1
        k.counts[C_LATE] += 1
        pieces.late[s] += 1


def _count(k: Run, *, good: bool) -> None:
    """One part more, while somebody is here or while nobody is."""
    k.counts[C_PARTS] += 1
    k.counts[C_ATTENDED if k.flags[PEOPLE_HERE] else C_ALONE] += 1
    k.counts[C_GOOD_ALONE] += good and not k.flags[PEOPLE_HERE]


def _free(k: Run, piece: int) -> None:
    """The number may be used again."""
    k.pieces.maker[piece] = -1
    k.pieces.free.append(piece)
