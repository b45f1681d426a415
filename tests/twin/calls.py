"""Calls: who wants somebody, since when, and what triggers it."""

from millhand.solvers.kernel.codes import C_CALLS, ENDS_NOTHING, ENDS_WEAR, NEVER, SUPPLY
from tests.twin.chance import drawn_steps
from tests.twin.flags import CALLS_CHANGED, HERE_SINCE, WAITING_CALLS
from tests.twin.state import Run


def note(k: Run, now: int, what: tuple[str, int, int]) -> None:
    """One line of the log: what, which attendant (-1 nobody), which station (-1 nowhere)."""
    word, a, s = what
    who = k.c.attendant_names[a] if a >= 0 else ""
    where = k.c.station_names[s] if s >= 0 else ""
    k.calls.log.append((now, word, who, where))


def call(k: Run, slot: int, now: int) -> None:
    """Somebody is wanted; a call that waits or is being answered is not made twice, unless calls add up."""
    calls, d = k.calls, k.c.slots.duty[slot]
    if k.c.duties.stack[d] == 0 and (calls.waiting[slot] or calls.serving[slot]):
        return
    calls.waiting[slot] += 1
    k.counts[C_CALLS] += 1
    k.flags[WAITING_CALLS] += 1
    k.flags[CALLS_CHANGED] = 1
    if calls.waiting[slot] == 1:
        calls.since[slot] = now
        calls.ready[slot] = now + drawn_steps(k, k.c.slots.response[slot], now)
    if k.c.slots.kind[slot] != ENDS_NOTHING:
        needs_somebody(k, now)
    if k.logging:
        k.calls.log.append((now, "call", k.c.duty_names[d], _caller(k, slot)))


def _caller(k: Run, slot: int) -> str:
    """The name of the station or attendant that calls."""
    owner, stations = k.c.slots.owner[slot], k.c.size.stations
    if owner < 0:
        return ""
    return k.c.station_names[owner] if owner < stations else k.c.attendant_names[owner - stations]


def needs_somebody(k: Run, now: int) -> None:
    """The first stop in an absence of all people ends the time that the cell ran by itself."""
    if k.calls.away_open[0]:
        k.calls.away_open[0] = 0
        k.calls.away.append(now - k.flags[HERE_SINCE])


def level_fell(k: Run, s: int, now: int) -> None:
    """The stock of a supply or store has fallen: call where it is below a limit."""
    triggers = k.c.triggers
    supply = k.c.stations.kind[s] == SUPPLY
    level = k.st.stock[s] if supply else k.st.inside[s]
    if supply and level == 0:
        needs_somebody(k, now)
    for at, station in enumerate(triggers.level_station):
        if station == s and level < triggers.level_below[at]:
            call(k, k.c.duties.own_slot[triggers.level_duty[at]], now)


def part_left(k: Run, s: int, now: int) -> None:
    """A part was taken out of a process station: duties every n parts count it."""
    triggers = k.c.triggers
    for at, station in enumerate(triggers.parts_station):
        if station != s:
            continue
        trigger = triggers.parts_trigger[at]
        k.calls.parts[trigger] += 1
        if k.calls.parts[trigger] % triggers.parts_every[trigger] == 0:
            call(k, station_slot(k, triggers.parts_duty[trigger], s), now)


def station_slot(k: Run, duty: int, s: int) -> int:
    """The duty's slot for calls from this station, its own one where it holds nothing."""
    duties = k.c.duties
    for slot in range(k.c.size.slots):
        if k.c.slots.duty[slot] == duty and k.c.slots.kind[slot] == ENDS_NOTHING and k.c.slots.owner[slot] == s:
            return slot
    return duties.own_slot[duty]


def clock_rings(k: Run, clock: int, now: int) -> None:
    """A duty's clock: it calls, and rings again. A duty that renews wear is called once for each wear in use."""
    triggers, duties = k.c.triggers, k.c.duties
    d = triggers.clock_duty[clock]
    renews = False
    for slot in range(k.c.size.slots):
        if k.c.slots.duty[slot] == d and k.c.slots.kind[slot] == ENDS_WEAR:
            renews = True
            w = k.c.slots.what[slot]
            if k.calls.worn[w] or k.calls.spares[w] < k.c.troubles.wear_spares[w]:
                call(k, slot, now)
    if not renews:
        call(k, duties.own_slot[d], now)
    k.times[k.duty_at + clock] = next_ring(k, clock, now)


def next_ring(k: Run, clock: int, now: int) -> int:
    """When a duty's clock rings next, after now."""
    triggers = k.c.triggers
    if triggers.clock_span[clock] >= 0:
        return now + max(1, drawn_steps(k, triggers.clock_span[clock], now))
    times = triggers.clock_at[triggers.clock_from[clock] : triggers.clock_to[clock]]
    period = triggers.clock_period[clock]
    begin = now - now % period
    best = NEVER
    for at in times:
        ring = begin + at if begin + at > now else begin + period + at
        best = min(best, ring)
    return best
