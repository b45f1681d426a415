"""What an attendant does next: put down what it holds, fetch what is wanted, go ahead, or wait."""

from millhand.solvers.kernel.codes import (
    DONE,
    EMPTY,
    FINISH_LOAD,
    FIRST_TO_FINISH,
    NEAREST,
    NEVER,
    ORDER,
    PICK,
    PLACE,
    PROCESS,
    SINK,
    STORE,
    SUPPLY,
    SWAP,
    WORK,
)
from tests.twin.books import next_step
from tests.twin.flags import NOW
from tests.twin.machines import may_start
from tests.twin.mix import may_come, mix_gives
from tests.twin.pieces import settle_next
from tests.twin.state import Run
from tests.twin.visits import set_out, way_steps

READY, LATER, BUFFER, NOBODY = range(4)  # a station waits; for the next exchange; only into a store; nobody


def free_claims(k: Run, a: int) -> None:
    """Give up what the attendant was on its way to; where a part in hand will go stays promised to it."""
    at, st = k.at, k.st
    if at.source[a] >= 0:
        st.claimed[at.source[a]] -= 1
        at.source[a] = -1
    if at.target[a] >= 0 and at.holds[a] == 0:
        give_up_target(k, a)


def give_up_target(k: Run, a: int) -> None:
    """The station that was promised to the attendant is free for others."""
    if k.at.target[a] >= 0:
        k.st.expected[k.at.target[a]] -= 1
        k.at.target[a] = -1


def _claim(k: Run, a: int, source: int, target: int) -> None:
    """Nobody else goes for these two."""
    if source >= 0:
        k.at.source[a] = source
        k.st.claimed[source] += 1
    if target >= 0:
        give_up_target(k, a)
        k.at.target[a] = target
        k.st.expected[target] += 1


def _score(k: Run, a: int, s: int, since: int) -> int:
    """What the attendant's rule looks at; the least is first."""
    rule = k.c.attendants.rule[a]
    if rule == NEAREST:
        return way_steps(k, a, k.c.stations.place[s])
    if rule == ORDER:
        return k.c.attendants.rank[a * k.c.size.stations + s]
    return since


def visit_at(k: Run, a: int, option: tuple[int, int], free_hand: bool) -> int:
    """The visit by which the attendant could bring a part into (station, row) now, -1 where none can."""
    st, c = k.st, k.c
    s, row = option
    others = st.expected[s] - (k.at.target[a] == s)
    kind = c.stations.kind[s]
    if kind == SINK:
        room = c.stations.capacity[s] < 0 or st.stock[s] + others < c.stations.capacity[s]
        return 3 * row + PLACE if room and not st.held[s] else -1
    if kind == STORE:
        room = c.stations.capacity[s] < 0 or st.inside[s] + others < c.stations.capacity[s]
        return 3 * row + PLACE if room and not st.held[s] else -1
    if others or st.claimed[s] or not may_start(k, s, k.flags[NOW]):
        return -1
    if st.mode[s] == EMPTY:
        return 3 * row + PLACE if st.inside[s] < c.stations.batch[s] and c.work.has[3 * row + PLACE] else -1
    if st.mode[s] == DONE and free_hand and c.work.has[3 * row + SWAP]:
        return 3 * row + SWAP
    return -1


def deliver(k: Run, a: int, now: int) -> bool:
    """Put down a part for which a station is ready. With a hand free a waiting machine comes before the outfeed."""
    c, at, hands = k.c, k.at, k.c.size.hands
    free_hand = at.holds[a] < c.attendants.hands[a]
    best, best_s, best_visit, best_hand = (NEVER, NEVER), -1, -1, -1
    for i in range(at.holds[a]):
        cell = a * c.size.steps + k.pieces.step[at.hand[a * hands + i]]
        for option in range(c.work.option_from[cell], c.work.option_to[cell]):
            s = c.work.station[option]
            visit = visit_at(k, a, (s, c.work.row[option]), free_hand)
            if visit < 0 or way_steps(k, a, c.stations.place[s]) < 0:
                continue
            machine = c.stations.kind[s] == PROCESS
            score = -1 if s == at.last[a] else _score(k, a, s, k.st.ready[s] if machine else 0)
            found = (int(machine != free_hand), score)
            if found < best:
                best, best_s, best_visit, best_hand = found, s, visit, i
    if best_s < 0:
        return False
    _claim(k, a, -1, best_s)
    at.which[a] = best_hand
    set_out(k, a, best_s, best_visit, now)
    return True


def wanted(k: Run, a: int, g: int) -> tuple[int, int, int]:
    """(how soon, since when, where) a part whose next step is g could be put down, if the attendant took it now."""
    c, at = k.c, k.at
    after = at.holds[a] + 1
    free_hand = after < c.attendants.hands[a]
    cell = a * c.size.steps + g
    best = (NOBODY, NEVER, -1)
    for option in range(c.work.option_from[cell], c.work.option_to[cell]):
        s, row = c.work.station[option], c.work.row[option]
        visit = visit_at(k, a, (s, row), free_hand)
        if visit >= 0:
            found = (READY, _score(k, a, s, k.st.ready[s] if c.stations.kind[s] == PROCESS else 0), s)
        elif free_hand and c.work.has[3 * row + SWAP]:
            found = (LATER, int(k.st.trouble[s] > 0), -1)
        else:
            continue
        if found[:2] < best[:2]:
            best = found
    return best


def fetch(k: Run, a: int, now: int) -> bool:
    """Take a part that some station waits for, or have one ready for the next exchange."""
    c, at = k.c, k.at
    limit = c.attendants.hands[a] - c.attendants.swaps[a]
    best, best_u, best_t, best_part = (NOBODY, NEVER, NEVER), -1, -1, -1
    for at_source in range(c.attendants.source_from[a], c.attendants.source_to[a]):
        u = c.attendants.source[at_source]
        kind = c.stations.kind[u]
        way = way_steps(k, a, c.stations.place[u])
        if way < 0 or k.st.held[u]:
            continue
        if kind == SUPPLY:
            if at.holds[a] >= limit or not (c.stations.capacity[u] < 0 or k.st.stock[u] > k.st.claimed[u]):
                continue
            found, t, part = _raw_wanted(k, a, u)
        else:
            found, t = _finished_wanted(k, a, u, kind)
            part = -1
        if found[0] == NOBODY:
            continue
        if t >= 0 and kind != PROCESS and c.stations.kind[t] == STORE:
            found = (BUFFER, found[1], found[2])
        if c.attendants.rule[a] == NEAREST:
            found = (found[0], way, found[2])
        if found < best:
            best, best_u, best_t, best_part = found, u, t, part
    if best_u < 0:
        return False
    _claim(k, a, best_u, best_t)
    at.want[a] = best_part
    row_part = best_part
    if best_part < 0:
        piece = k.st.piece[c.stations.piece_from[best_u]]
        settle_next(k, piece)
        row_part = c.steps.part[k.pieces.step[piece]]
    row = c.work.row_of[(a * c.size.stations + best_u) * c.size.parts + row_part]
    set_out(k, a, best_u, 3 * row + PICK, now)
    return True


def _raw_wanted(k: Run, a: int, u: int) -> tuple[tuple[int, int, int], int, int]:
    """The raw part of a supply that is wanted most; of equal ones the type that is furthest behind its share."""
    c = k.c
    best, best_t, best_part = (NOBODY, NEVER, NEVER), -1, -1
    for which in range(c.stations.part_from[u], c.stations.part_to[u]):
        part = c.stations.part[which]
        row = c.work.row_of[(a * c.size.stations + u) * c.size.parts + part]
        if row < 0 or not c.work.has[3 * row + PICK] or not may_come(k, part):
            continue
        soon, since, t = wanted(k, a, _after(k, c.steps.first[part]))
        behind = int((k.pieces.given[part] + 1) / c.steps.share[part] * 1e6)
        found = (soon, since if c.size.parts == 1 or soon == LATER else behind, behind)
        if found < best and soon != NOBODY:
            best, best_t, best_part = found, t, part
    return best, best_t, best_part


def _after(k: Run, g: int) -> int:
    """The step after g for the next part that comes by."""
    g += 1
    steps = k.c.steps
    while steps.every[g] > 1 and (k.pieces.step_count[g] + 1) % steps.every[g] != 0:
        g += 1
    return g


def _finished_wanted(k: Run, a: int, u: int, kind: int) -> tuple[tuple[int, int, int], int]:
    """Whether the first part of a store or finished machine can be taken and put down."""
    c, st, at = k.c, k.st, k.at
    nothing = (NOBODY, NEVER, NEVER), -1
    if kind == PROCESS:
        busy = st.mode[u] != DONE or st.claimed[u] or st.expected[u] > (at.target[a] == u)
        if busy or not may_start(k, u, k.flags[NOW]) or _exchange_later(k, a, u):
            return nothing
        since = st.ready[u]
    else:
        if st.inside[u] <= st.claimed[u]:
            return nothing
        since = 0
    piece = st.piece[c.stations.piece_from[u]]
    row = c.work.row_of[(a * c.size.stations + u) * c.size.parts + c.steps.part[k.pieces.step[piece]]]
    if row < 0 or not c.work.has[3 * row + PICK]:
        return nothing
    soon, asked, t = wanted(k, a, next_step(k, piece))
    if soon == NOBODY or (soon == LATER and (kind == STORE and at.holds[a] >= c.attendants.hands[a] - 1)):
        return nothing
    return (soon, asked if kind == STORE else _score(k, a, u, since), u), t


def _exchange_later(k: Run, a: int, u: int) -> bool:
    """True where the attendant should rather come back with a raw part and exchange."""
    c, at = k.c, k.at
    if not c.attendants.swaps[a] or at.holds[a] + 1 >= c.attendants.hands[a]:
        return _holds_for(k, a, u)
    n = c.size.stations
    for at_source in range(c.attendants.source_from[a], c.attendants.source_to[a]):
        other = c.attendants.source[at_source]
        if not c.work.feeders[u * n + other]:
            continue
        kind = c.stations.kind[other]
        if kind == SUPPLY and (c.stations.capacity[other] < 0 or k.st.stock[other] > k.st.claimed[other]):
            if not mix_gives(k, u, other):
                continue
            return _swaps_at(k, a, u)
        if kind == STORE and k.st.inside[other] > k.st.claimed[other]:
            return _swaps_at(k, a, u)
        if kind == PROCESS and k.st.mode[other] == DONE and not k.st.trouble[other] and not k.st.claimed[other]:
            return _swaps_at(k, a, u)
    return False


def _swaps_at(k: Run, a: int, u: int) -> bool:
    """True where the attendant has an exchange row at the station."""
    work, n = k.c.work, k.c.size
    base = (a * n.stations + u) * n.parts
    return any(row >= 0 and work.has[3 * row + SWAP] for row in work.row_of[base : base + n.parts])


def _holds_for(k: Run, a: int, u: int) -> bool:
    """True where a part in hand is meant for the station and can be exchanged there."""
    steps = k.c.steps
    for i in range(k.at.holds[a]):
        g = k.pieces.step[k.at.hand[a * k.c.size.hands + i]]
        if u in steps.at[steps.at_from[g] : steps.at_to[g]] and k.at.holds[a] < k.c.attendants.hands[a]:
            return _swaps_at(k, a, u)
    return False


def more_here(k: Run, a: int, now: int) -> bool:
    """After a pick: take another part at the same station where a load holds several and hands are free."""
    c, at, st = k.c, k.at, k.st
    s, visit = at.last[a], at.visit[a]
    if visit % 3 != PICK or s < 0 or at.holds[a] >= c.attendants.hands[a] or at.holds[a] == 0:
        return False
    kind = c.stations.kind[s]
    if kind == PROCESS:
        promised = st.claimed[s] or st.expected[s] > (at.target[a] == s)
        again = st.mode[s] == DONE and not promised and may_start(k, s, now)
        target = -1
    else:
        target, again = _load_short(k, a)
        stock = st.inside[s] if kind == STORE else st.stock[s]
        enough = (kind == SUPPLY and c.stations.capacity[s] < 0) or stock > st.claimed[s]
        again = again and enough and at.holds[a] < c.attendants.hands[a] - c.attendants.swaps[a]
    if not again:
        return False
    _claim(k, a, s, target)
    set_out(k, a, s, visit, now)
    return True


def _load_short(k: Run, a: int) -> tuple[int, bool]:
    """Whether the load that the part in hand belongs to needs more parts than are in hand, and where."""
    c, at = k.c, k.at
    g = k.pieces.step[at.hand[a * c.size.hands]]
    cell = a * c.size.steps + g
    for option in range(c.work.option_from[cell], c.work.option_to[cell]):
        s = c.work.station[option]
        if c.stations.kind[s] != PROCESS or visit_at(k, a, (s, c.work.row[option]), True) < 0:
            continue
        short = k.st.done[s] or c.stations.batch[s] - k.st.inside[s]
        if short > at.holds[a]:
            return s, True
    return -1, False


def go_ahead(k: Run, a: int, now: int) -> bool:
    """Rule first_to_finish: where nobody waits, go to the station that finishes first and wait there."""
    c, at, st = k.c, k.at, k.st
    best, best_s, best_visit, best_hand = NEVER, -1, -1, -1
    free_hand = at.holds[a] < c.attendants.hands[a]
    for i in range(at.holds[a] if free_hand else 0):
        cell = a * c.size.steps + k.pieces.step[at.hand[a * c.size.hands + i]]
        for option in range(c.work.option_from[cell], c.work.option_to[cell]):
            s, row = c.work.station[option], c.work.row[option]
            others = st.expected[s] - (at.target[a] == s)
            open_to = not others and not st.claimed[s] and not st.trouble[s] and st.mode[s] == WORK
            if open_to and c.work.has[3 * row + SWAP] and st.end[s] < best:
                best, best_s, best_visit, best_hand = st.end[s], s, 3 * row + SWAP, i
    if best_s >= 0:
        _claim(k, a, -1, best_s)
        at.which[a] = best_hand
        set_out(k, a, best_s, best_visit, now)
        return True
    return at.holds[a] == 0 and _go_ahead_empty(k, a, now)


def _go_ahead_empty(k: Run, a: int, now: int) -> bool:
    """With empty hands: to the station whose part will be finished first and can then be put down."""
    c, st = k.c, k.st
    best, best_u, best_t, best_row = NEVER, -1, -1, -1
    for at_source in range(c.attendants.source_from[a], c.attendants.source_to[a]):
        u = c.attendants.source[at_source]
        if c.stations.kind[u] != PROCESS or st.mode[u] != WORK or st.end[u] >= best:
            continue
        if st.expected[u] or st.claimed[u] or st.trouble[u] or _exchange_later(k, a, u):
            continue
        piece = st.piece[c.stations.piece_from[u]]
        row = c.work.row_of[(a * c.size.stations + u) * c.size.parts + c.steps.part[k.pieces.step[piece]]]
        soon, _, t = wanted(k, a, next_step(k, piece))
        if row >= 0 and c.work.has[3 * row + PICK] and soon == READY:
            best, best_u, best_t, best_row = st.end[u], u, t, row
    if best_u < 0:
        return False
    settle_next(k, st.piece[c.stations.piece_from[best_u]])
    _claim(k, a, best_u, best_t)
    set_out(k, a, best_u, 3 * best_row + PICK, now)
    return True


def may_choose(k: Run, a: int, here: bool) -> bool:
    """On shift, or at the end of it with a load still in hand that has to be brought away."""
    if here:
        return True
    calendar = k.c.attendants.calendar[a]
    return k.c.calendars.at_end[calendar] == FINISH_LOAD and k.at.holds[a] > 0


def ahead(k: Run, a: int, now: int) -> bool:
    """Go ahead where the rule says so."""
    return k.c.attendants.rule[a] == FIRST_TO_FINISH and go_ahead(k, a, now)
