"""What replications counted, as figures for the reader: absences, levels, cycle times, effectiveness."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from millhand.model.performance import Alone, Figure
from millhand.solvers.kernel.codes import (
    C_GOOD,
    C_PARTS,
    CAUSE_EMPTY,
    CAUSE_FULL,
    CAUSE_NOBODY,
    CYCLE_BINS,
    CYCLE_LOW_S,
    CYCLES_PER_DECADE,
    PROCESS,
    S_WAITING,
    STATION_STATES,
    STORE,
)
from millhand.solvers.kernel.counts import Counted, Counts, cycles_at
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.output.cycle_times import Bins, added, cycle_times
from millhand.solvers.output.interval import mean_interval
from millhand.solvers.output.oee import station_effectiveness

NEED_AT, NEEDED, ENDED_AT, ENDED_BY, MADE, LASTED = range(6)  # the numbers of one absence, as the loop writes them
CAUSE_OVER = CAUSE_NOBODY + 1  # nobody was called: hours are over, or those who load are away
HOURS_OVER = "no call: hours over, or nobody to load"  # that cause in words
RUNS = -1  # in place of the time of the last part
QUANTILES = (("p10_s", 0.1), ("p50_s", 0.5), ("p90_s", 0.9))
BINS = Bins(low_s=CYCLE_LOW_S, per_decade=CYCLES_PER_DECADE, decades=(CYCLE_BINS - 2) // CYCLES_PER_DECADE)


def alone_of(c: Compiled, each: Sequence[Counts]) -> Alone | None:
    """How absences of all people ended, over all replications; without the time before anybody has come for the first
    time, where the cell had no hours in it."""
    lines = [line for counts in each for line in counts.absences[_not_yet(counts.absences) :]]
    if not lines:
        return None
    stood = sorted(max(0, line[ENDED_AT]) * c.grid_s for line in lines if _stood(line))
    return Alone(
        absences=len(lines),
        ran_through=1 - len(stood) / len(lines),
        until_end_s=quantiles(stood, of=len(stood)),
        parts=_never_below_nothing(mean_interval([float(line[MADE]) for line in lines])),
        first_need=_shares(c, [line[NEEDED] for line in lines]),
        ended_by=_shares(c, [_end_of(line) for line in lines]),
    )


def _not_yet(lines: Sequence[Counted]) -> int:
    """1 where the first absence is the wait for the first people: nothing made, nothing under way, nothing needed."""
    return int(any(
        line[ENDED_AT] == line[MADE] == 0 and line[NEEDED] < 0 and line[ENDED_BY] < 0
        for line in lines[:1]
    ))  # fmt: skip


def _end_of(line: Counted) -> int:
    """Why the cell stood at the end of an absence: what was needed, or else that nothing was left to do."""
    return CAUSE_OVER if _stood(line) and line[ENDED_BY] < 0 else line[ENDED_BY]


def _stood(line: Counted) -> bool:
    """True where the cell stood at the end; its last part may have left before the absence began."""
    return line[ENDED_AT] != RUNS


def _never_below_nothing(figure: Figure) -> Figure:
    """The interval of a count."""
    return replace(figure, low=max(0.0, figure.low))


def quantiles(ordered: Sequence[float], *, of: int) -> Mapping[str, float]:
    """The values that a tenth, half and nine tenths of `of` are not above; one beyond what is known is missing."""
    found = {}
    for name, share in QUANTILES:
        rank = math.ceil(share * of) - 1
        if 0 <= rank < len(ordered):
            found[name] = ordered[rank]
    return found


def _shares(c: Compiled, causes: Sequence[int]) -> Mapping[str, float]:
    """Causes in words with their share of all absences, the most frequent first."""
    counted = Counter(cause_words(c, cause) for cause in causes if cause >= 0)
    ordered = sorted(counted.items(), key=lambda item: (-item[1], item[0]))
    return {words: count / len(causes) for words, count in ordered}


def cause_words(c: Compiled, cause: int) -> str:
    """What needed somebody, in words."""
    if cause == CAUSE_OVER:
        return HOURS_OVER
    if cause >= CAUSE_NOBODY:
        return "what nobody can end"
    if cause >= CAUSE_FULL:
        return f"{c.station_names[cause - CAUSE_FULL]} full"
    if cause >= CAUSE_EMPTY:
        return f"{c.station_names[cause - CAUSE_EMPTY]} empty"
    return c.slots.words[cause]


def levels_of(c: Compiled, each: Sequence[Counts], steps: int) -> Mapping[str, float]:
    """Mean parts in supplies, stores and sinks that have a limit, and in all stores."""
    told = [s for s, kind in enumerate(c.stations.kind) if kind != PROCESS and _is_counted(c, s)]
    whole = float(steps) * len(each)
    return {c.station_names[s]: math.fsum(counts.levels[s] for counts in each) / whole for s in told}


def _is_counted(c: Compiled, s: int) -> bool:
    """True where the parts in a station are counted at all: stores always, supplies and sinks with a limit."""
    return c.stations.kind[s] == STORE or c.stations.capacity[s] >= 0


def cycles_of(c: Compiled, each: Sequence[Counts]) -> Mapping[str, Mapping[str, float]]:
    """Time between finished loads of each process station."""
    found: dict[str, Mapping[str, float]] = {}
    for s, name in enumerate(c.station_names):
        if c.stations.kind[s] != PROCESS:
            continue
        times = cycle_times(added([cycles_at(counts, s) for counts in each]), bins=BINS)
        known = {"mean_s": times.mean_s, "p10_s": times.p10_s, "p50_s": times.p50_s, "p90_s": times.p90_s}
        if times.count:
            found[name] = {key: value for key, value in known.items() if value is not None} | {"error": times.bin_error}
    return found


def _row(flat: Counted, owner: int, width: int) -> Counted:
    """One owner's share of a flat table."""
    return flat[owner * width : (owner + 1) * width]


def effectiveness_of(c: Compiled, each: Sequence[Counts], steps: int) -> Mapping[str, Mapping[str, float]]:
    """OEE and its parts of each process station that made anything; quality is that of the whole cell. Beside them the
    share of the horizon in which it stands ready and waits for somebody, with its interval."""
    found: dict[str, Mapping[str, float]] = {}
    out = sum(counts.counted[C_PARTS] for counts in each)
    good = sum(counts.counted[C_GOOD] for counts in each)
    for s, name in enumerate(c.station_names):
        made = sum(counts.made[s] for counts in each) * c.stations.batch[s]
        if c.stations.kind[s] != PROCESS or not made or not out:
            continue
        width = len(STATION_STATES)
        times = [sum(column) for column in zip(*(_row(counts.stations, s, width) for counts in each), strict=True)]
        whole = steps * len(each)
        shares = {state: time / whole for state, time in zip(STATION_STATES, times, strict=True) if time}
        horizon_s = whole * c.grid_s
        ideal_s = shares.get("working", 0.0) * horizon_s / made
        told = station_effectiveness(shares, horizon_s=horizon_s, ideal_s=ideal_s, made=made, good=made * good / out)
        parts = {"availability": told.availability, "effectiveness": told.effectiveness, "quality": told.quality}
        waits = [counts.stations[s * width + S_WAITING] / steps for counts in each]
        wait = _never_below_nothing(mean_interval(waits))
        parts |= {"oee": told.oee, "waiting": wait.mean, "waiting_low": wait.low, "waiting_high": wait.high}
        found[name] = {key: value for key, value in parts.items() if value is not None}
    return found


def by_part(c: Compiled, each: Sequence[Counts], hours: float) -> Mapping[str, Figure]:
    """Good parts an hour of each type, where there are several."""
    types = len(c.part_names)
    if types < 2:
        return {}
    return {
        name: mean_interval([counts.by_part[types + p] / hours for counts in each])
        for p, name in enumerate(c.part_names)
    }


def late_at(c: Compiled, each: Sequence[Counts], hours: float) -> Mapping[str, Figure]:
    """Parts an hour that stayed too long, at each station where a stay is limited; what leaves a machine's own buffer
    has stayed at the machine."""
    g = c.steps
    count = len(c.station_names)
    limited = {s for n, most in enumerate(g.stay_max) if most >= 0 for s in range(count) if n in g.lies[s::count]}
    machine = {buffer: s for s, buffer in enumerate(c.lots.only_to) if c.stations.kind[s] == PROCESS}
    return {
        c.station_names[machine.get(s, s)]: _never_below_nothing(
            mean_interval([counts.late[s] / hours for counts in each])
        )
        for s in sorted(limited)
    }


def finished_s(c: Compiled, each: Sequence[Counts]) -> Figure | None:
    """When the last part of all lots left; None where lots do not end, or had not in some replication."""
    if not c.lots.end or any(counts.finished < 0 for counts in each):
        return None
    return mean_interval([counts.finished * c.grid_s for counts in each])
