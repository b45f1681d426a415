"""Whether one attendant alone tends a row of like machines, and what its round is made of (events/tending.py)."""

from typing import Any

from millhand.solvers.kernel.codes import (
    BUSY,
    FIRST_TO_FINISH,
    LONGEST_WAITING,
    ON_BAD_NOTHING,
    PICK,
    PLACE,
    PROCESS,
    SINK,
    SUPPLY,
    SWAP,
)
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.traits import traits_of

Columns = dict[str, Any]
NONE = dict.fromkeys(("t_supply", "t_sink", "t_gauge", "t_step", "t_out", "t_check", "t_pick", "t_put"), -1)
NEVER_IN_A_ROUND = {
    "rails",
    "cycles",
    "windows",
    "batches",
    "self_moving",
    "uses",
    "lots",
    "gates",
    "stores",
    "unlike",
    "endless",
    "stocks",
}
NO_ROUNDS: Columns = {
    **dict.fromkeys(("t_rounds", "t_tails", "t_check_rounds", "t_check_place", "t_check_pick", "t_check_takes"), 0),
    **dict.fromkeys(("t_swap", "t_way_out", "t_way_home", "t_way_back", "t_way_check"), ()),
    "t_checking": 0,
}


def tending_columns(c: Compiled) -> Columns:
    """Whether the first attendant tends a row of like machines alone; if so supply, outfeed, gauge, the machines as
    bits, and the steps of a part's route."""
    route = _route(c)
    if not _tends_alone(c) or not route or not _serves(c, route) or not NEVER_IN_A_ROUND.isdisjoint(traits_of(c)):
        return {**NONE, "tended": 0, "t_row": 0, "t_level": 0, "t_takes": [], **NO_ROUNDS}
    gauge, x = route["t_check"], c.triggers
    return {
        **route,
        **_rounds(c, route),
        "tended": 1,
        "t_row": sum(1 << s for s in _at(c, route["t_step"])),
        "t_supply": _at(c, 0)[0],
        "t_sink": _at(c, route["t_out"])[0],
        "t_gauge": _at(c, gauge)[0] if gauge >= 0 else -1,
        "t_takes": [c.spans.fixed[n] if n >= 0 else 0 for n in c.steps.time[c.size.stations : 2 * c.size.stations]],
        "t_pick": 4 * c.work.row_of[_at(c, 0)[0]] + PICK,
        "t_put": 4 * c.work.row[c.work.option_from[route["t_out"]]] + PLACE,
        "t_level": max([1, *(b for b, s in zip(x.level_below, x.level_station, strict=True) if s == _at(c, 0)[0])]),
    }


def _tends_alone(c: Compiled) -> bool:
    """True where only the first attendant handles parts, by a rule that looks at since when machines wait."""
    a, steps = c.attendants, c.size.steps
    handle = [
        who
        for who in range(c.size.attendants)
        if a.source_to[who] > a.source_from[who]
        or c.work.option_to[(who + 1) * steps - 1] > c.work.option_from[who * steps]
    ]
    owner = c.size.stations
    wears = owner in c.troubles.owner or owner in c.troubles.wear_owner
    return handle == [0] and a.rule[0] in (LONGEST_WAITING, FIRST_TO_FINISH) and not wears


def _route(c: Compiled) -> Columns | None:
    """The steps at the machines, at a gauge (-1 none) and in the outfeed, where the only route is made of these."""
    g, kind = c.steps, c.stations.kind
    last = c.size.steps - 1
    if c.size.parts != 1 or last not in (2, 3) or len(_at(c, 0)) != 1 or len(_at(c, last)) != 1:
        return None
    kinds = [{kind[s] for s in _at(c, step)} for step in range(last + 1)]
    gauged = last == 3 and g.every[2] > 1 and len(_at(c, 2)) == 1 and kinds[2] == {PROCESS}
    if kinds[0] != {SUPPLY} or kinds[1] != {PROCESS} or kinds[last] != {SINK} or (last == 3 and not gauged):
        return None
    if g.every[1] > 1 or g.every[last] > 1 or g.on_bad[1] != ON_BAD_NOTHING or set(_at(c, 1)) & set(_at(c, 2)):
        return None
    if any(c.stations.attended[s] for s in _at(c, 1)):
        return None
    busy_only = all(on == BUSY for on, owner in zip(c.troubles.on, c.troubles.owner, strict=True) if owner in _at(c, 1))
    return {"t_step": 1, "t_check": 2 if gauged else -1, "t_out": last} if busy_only else None


def _at(c: Compiled, step: int) -> tuple[int, ...]:
    """The stations of a step."""
    return c.steps.at[c.steps.at_from[step] : c.steps.at_to[step]]


def _serves(c: Compiled, route: Columns) -> bool:
    """True where it takes from the supply, brings to all machines and to the outfeed, and either exchanges at all
    machines with its second hand or takes out and puts in with its only one."""
    w = c.work
    first, end = w.option_from[1], w.option_to[1]
    out = route["t_out"]
    if w.station[first:end] != _at(c, 1) or w.option_to[out] - w.option_from[out] != 1 or not _takes(c, _at(c, 0)):
        return False
    has = [w.has[3 * row : 3 * row + 3] for row in w.row[first:end]]
    if not all(each[PLACE] for each in has):
        return False
    if c.attendants.hands[0] == 1:
        return all(each[PICK] for each in has) and _takes(c, _at(c, 1))
    return c.attendants.hands[0] == 2 and all(each[SWAP] for each in has)


def _takes(c: Compiled, stations: tuple[int, ...]) -> bool:
    """True where the first attendant may take parts from all of these."""
    a = c.attendants
    return set(stations) <= set(a.source[a.source_from[0] : a.source_to[0]])


def _rounds(c: Compiled, route: Columns) -> Columns:
    """Whether whole rounds can be told ahead (events/rounds.py), and the ways and exchanges that they are made of."""
    w, steps, n = c.work, c.steps, c.size.stations
    machines, supply, sink = _at(c, 1), _at(c, 0)[0], _at(c, route["t_out"])[0]
    rows = dict(zip(machines, w.row[w.option_from[1] : w.option_to[1]], strict=True))
    tails = any(w.tail[3 * row + SWAP] >= 0 and c.spans.fixed[w.tail[3 * row + SWAP]] != 0 for row in rows.values())
    known = (
        c.attendants.hands[0] == 2
        and c.attendants.rule[0] == FIRST_TO_FINISH
        and c.attendants.pace[0] == 1.0
        and c.attendants.calendar[0] < 0
        and c.stations.capacity[sink] < 0
        and not set(machines) & set(c.triggers.parts_station)
        and all(w.miss_p[row] == 0.0 for row in rows.values())
        and all(c.stations.warm_after[s] < 0 for s in machines)
        and all(steps.time[n + s] >= 0 for s in machines)
        and not (tails and route["t_check"] >= 0)
    )
    if not known:
        return NO_ROUNDS
    return {
        "t_rounds": 1,
        "t_tails": int(tails),
        "t_swap": [4 * rows[s] + SWAP if s in rows else -1 for s in range(n)],
        "t_way_out": [_way(c, supply, s, loaded=True) for s in range(n)],
        "t_way_home": [_way(c, s, sink, loaded=True) for s in range(n)],
        "t_way_back": [_way(c, s, supply, loaded=False) for s in range(n)],
        **_checking(c, route["t_check"]),
    }


def _checking(c: Compiled, step: int) -> Columns:
    """Whether the attendant stays at a gauge where all that takes time is known ahead, and how long it is at most."""
    none = {"t_check_rounds": 0, "t_way_check": [], "t_check_takes": 0, "t_checking": 0, "t_check_place": 0}
    w, n = c.work, c.size.stations
    if step < 0:
        return none | {"t_check_pick": 0}
    gauge = _at(c, step)[0]
    row, owner = w.row_of[gauge], c.steps.time[step * n + gauge]
    place, pick = 3 * row + PLACE, 3 * row + PICK
    spans = [w.lead[place], w.hold[place], w.tail[place], w.lead[pick], w.hold[pick], w.tail[pick], owner]
    times = [c.spans.fixed[span] if span >= 0 else 0 for span in spans]
    known = (
        w.option_to[step] > w.option_from[step]
        and _takes(c, (gauge,))
        and c.stations.attended[gauge]
        and c.stations.calendar[gauge] < 0
        and c.stations.warm_after[gauge] < 0
        and gauge not in (*c.troubles.owner, *c.troubles.wear_owner, *c.triggers.parts_station)
        and w.miss_p[row] == 0.0
        and c.steps.good[step] == 1.0
        and c.steps.on_bad[step] != ON_BAD_NOTHING
        and c.stations.batch[gauge] == 1
        and min(times) >= 0
        and times[2] == times[5] == 0
    )
    return none | {
        "t_check_rounds": int(known),
        "t_way_check": [_way(c, s, gauge, loaded=True) for s in range(n)],
        "t_check_takes": times[6],
        "t_checking": sum(times),
        "t_check_place": 4 * row + PLACE,
        "t_check_pick": 4 * row + PICK,
    }


def _way(c: Compiled, start: int, end: int, *, loaded: bool) -> int:
    """Time from station to station for the first attendant."""
    table, places = c.attendants.full[0], c.size.places
    here, there = c.stations.place[start], c.stations.place[end]
    if table < 0 or here == there:
        return 0
    return c.ways.times[table + int(loaded) * places**2 + here * places + there]
