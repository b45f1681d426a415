"""A watched shift as a page and as a file: the still picture, the lists that a script keeps up to date, the events."""

import json
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from millhand.model.canonical import plain as as_plain
from millhand.model.study import Result, Study
from millhand.report.charts import NARROW, WIDE
from millhand.report.comparison import opening
from millhand.report.html import rendered
from millhand.report.marks import Marks, marks_of
from millhand.report.plan_view import Plan
from millhand.report.running_svg import Moment, fillings, lanes, lanes_svg, pieces, plan_svg
from millhand.report.running_words import (
    ATTENDANT,
    LOOKS,
    STATION,
    Event,
    duty_names,
    events,
    is_away,
    plain,
)
from millhand.report.view import clock, percent_of
from millhand.solvers.played import AttendantTrack, Played
from millhand.stages.shift import FIRST_DAY, ONLY_DAY, STOPPED, Watched

FORMAT, FILE, PAGE = "millhand-shift/1", "shift.json", "running"
ON_A_PAGE = 250  # events
STILL = 1.0 / 3.0  # of the span: about when the still picture is taken
WINDOWS_S = (60.0, 120.0, 300.0, 600.0, 900.0, 1200.0, 1800.0, 3600.0, 7200.0)
ENDLESS = "no limit"
CYCLES = 2.5  # in a window of the lanes
WHY = {
    STOPPED: "It is the first shift after the first day in which something stops; the first day begins with an empty "
    "cell.",
    FIRST_DAY: "It is the first shift of the second day: the first day begins with an empty cell, and in the week that "
    "was simulated nothing stops in any shift after it.",
    ONLY_DAY: "It is a shift of the first day, which begins with an empty cell: no shift is on any other day.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One state of one owner: its look, its words, and its share of the whole span as text."""

    state: str
    look: str
    words: str
    whole: str


def at(marks: Sequence[tuple[float, Any]], now: float) -> Any:
    """What it is at a moment."""
    return marks[max(0, bisect_right(marks, now, key=lambda each: each[0]) - 1)][1]


def share_of(marks: Sequence[tuple[float, str | int]], end: float) -> dict[str, float]:
    """The share of the time up to a moment for each state, in the order in which they come."""
    found: dict[str, float] = {}
    for since, until, state in pieces(marks, 0.0, end):
        found[state] = found.get(state, 0.0) + (until - since) / end
    return found


def record(watched: Watched, result: Result) -> str:
    """The file: every track and event of the span, times in seconds from its beginning."""
    done = watched.played
    told = events(done)
    words = list(dict.fromkeys(each.words for each in told))
    number = {each: at for at, each in enumerate(words)}
    about = {
        "format": FORMAT, "concept": result.concept.id, "cell": done.cell, "seed": done.seed,
        "replication": done.replication, "start_s": done.start_s, "end_s": done.end_s, "shift": watched.shift,
        "day": watched.day, "why": watched.why, "cut": watched.cut,
        "stations": [
            {"name": each.name, "kind": each.kind, "capacity": each.capacity, "states": each.states,
             "parts": each.parts}
            for each in done.stations
        ],
        "attendants": [
            {"name": each.name, "kind": each.kind, "hands": each.hands, "states": each.states, "holds": each.holds,
             "duties": each.duties,
             "ways": [(way.at_s, way.start, way.goal, way.share, way.until_s) for way in each.ways]}
            for each in done.attendants
        ],
        "out": [(since, *counts) for since, counts in done.out],
        "words": {
            "states": {"station": STATION, "attendant": ATTENDANT},
            "duties": {name: said for name, (said, _) in duty_names(done).items()},
            "events": words,
        },
        "events": [(each.at_s, number[each.words], int(each.notable)) for each in told],
    }  # fmt: skip
    return json.dumps(as_plain(about), ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def running_pages(study: Study, result: Result, watched: Watched) -> dict[str, str]:
    """The page, and pages of its events behind each other."""
    assert result.layout is not None
    assert result.layout.drawn is not None
    marks, done = marks_of(study), watched.played
    told = events(done)
    packets = [told[begin : begin + ON_A_PAGE] for begin in range(0, len(told), ON_A_PAGE)]
    known = shown(marks, result, watched) | {"pages": [span_words(each, done) for each in packets]}
    pages = {PAGE: str(rendered("running.html.j2", known))}
    for number, each in enumerate(packets, start=1):
        rows = [(clock(done.start_s + event.at_s), event) for event in each]
        table = {"rows": rows, "number": number, "count": len(packets), "day": watched.day}
        pages[f"{PAGE}-{number}"] = str(rendered("running_events.html.j2", table))
    return pages


def span_words(told: Sequence[Event], done: Played) -> str:
    """From when to when the events of a page are."""
    return f"{clock(done.start_s + told[0].at_s)} to {clock(done.start_s + told[-1].at_s)}"


def shown(marks: Marks, result: Result, watched: Watched) -> dict[str, Any]:
    """What the page shows before a script changes anything."""
    assert result.layout is not None
    assert result.layout.drawn is not None
    done, drawn = watched.played, result.layout.drawn
    now = still(done)
    moment, plan = moment_at(done, now), Plan(drawn=drawn, marks=marks, letters=0.1)
    window = window_of(done, now)
    looks = {name: each[0] for name, each in (STATION | ATTENDANT).items()}
    title = "the cell from above, north up, while it runs"
    figure = result.performance.parts_per_shift if result.performance else ""
    return {
        "m": marks, "title": opening(result.concept.title), "watched": watched, "done": done, "why": WHY[watched.why],
        "still": now, "still_clock": clock(done.start_s + now), "start": clock(done.start_s),
        "end": clock(done.end_s), "span": done.end_s - done.start_s, "fillings": fillings(),
        "plans": {
            name: plan_svg(drawn, plan, done, moment, width=width, title=title)
            for name, width in (("wide", WIDE), ("narrow", NARROW))
        },
        "lanes": {
            name: lanes_svg(done, looks, window=window, now=now, width=width)
            for name, width in (("wide", WIDE), ("narrow", NARROW))
        },
        "window": window[1] - window[0], "window_words": f"{clock(done.start_s + window[0])} to "
        f"{clock(done.start_s + window[1])}",
        "now": tuple(lines_at(done, now)), "shares": shares(done), "looks": LOOKS,
        "plain": plain, "people": {each.name for each in done.attendants},
        "now_shares": {name: {state: percent_of(each) for state, each in share_of(states, now).items()}
                       for name, states in lanes(done)},
        "out": at(done.out, now)[0], "whole_out": done.out[-1][1][0], "parts_per_shift": figure,
        "step": round((done.end_s - done.start_s) / 1000.0, 1),
    }  # fmt: skip


def still(done: Played) -> float:
    """A moment that shows something: a third through, an arm on its way with a part."""
    wanted = (done.end_s - done.start_s) * STILL
    for each in done.attendants:
        for way in each.ways:
            if each.kind == "arm" and way.at_s >= wanted and way.until_s and at(each.holds, way.at_s):
                return round((way.at_s + way.until_s) / 2.0, 1)
    return round(wanted, 1)


def moment_at(done: Played, now: float) -> Moment:
    """What is drawn of a moment."""
    looks = {each.name: STATION[at(each.states, now)][:2] for each in done.stations if each.states}
    looks |= {each.name: ATTENDANT[at(each.states, now)][:2] for each in done.attendants}
    arms = [each for each in done.attendants if each.kind == "arm"]
    duties = {each.name: at([(since, (what, where)) for since, what, where in each.duties], now) for each in
              done.attendants if each.kind != "arm"}  # fmt: skip
    names = duty_names(done)
    ways = {each.name: way_at(each, now) for each in arms}
    return Moment(
        looks=looks,
        parts={each.name: number_words(each.parts, each.capacity, now) for each in done.stations if each.parts}
        | {each.name: f"{at(done.out, now)[0]} out" for each in done.stations
           if each.kind == "sink" and not each.parts},
        hands={each.name: (at(each.holds, now), ways[each.name][2], 0.0) for each in arms},
        ways={name: way[:2] for name, way in ways.items()},
        visits={name: (names[what][0], where) for name, (what, where) in duties.items() if what and
                not is_away(what)},
    )  # fmt: skip


def number_words(parts: Sequence[tuple[float, str | int]], capacity: int | None, now: float) -> str:
    """How many parts there are, of how many."""
    count = at(parts, now)
    return f"{count} of {capacity}" if capacity is not None and capacity > 1 else f"{count}"


def way_at(track: AttendantTrack, now: float) -> tuple[str, str, float]:
    """From where to where an arm is on its way, and how far."""
    behind = [each for each in track.ways if each.at_s <= now] or list(track.ways[:1])
    if not behind:
        return "home", "home", 1.0
    way = behind[-1]
    if way.until_s is None:
        return way.start, way.goal, way.share
    left = way.until_s - way.at_s
    gone = min(1.0, (now - way.at_s) / left) if left > 0.0 else 1.0
    return way.start, way.goal, way.share + (1.0 - way.share) * gone


def lines_at(done: Played, now: float) -> Iterator[tuple[str, str, str, str]]:
    """Name, look, state in full and what else there is to say, of each machine, arm and person."""
    moment = moment_at(done, now)
    for each in done.stations:
        if each.states:
            look, _, words = STATION[at(each.states, now)]
            yield each.name, look, words, ""
        else:
            yield each.name, "", moment.parts.get(each.name, ENDLESS), ""
    for track in done.attendants:
        look, _, words = ATTENDANT[at(track.states, now)]
        yield track.name, look, words, more_words(track, moment, now)


def more_words(track: AttendantTrack, moment: Moment, now: float) -> str:
    """What an arm holds and where it is; what a person is at."""
    if track.kind != "arm":
        what, where = moment.visits.get(track.name, ("", ""))
        return what + (f", {plain(where)}" if where else "")
    start, goal, share = way_at(track, now)
    held = at(track.holds, now)
    place = f"at {plain(goal)}" if share >= 1.0 else f"{plain(start)} to {plain(goal)}"
    return f"{place}; {hold_words(held)}"


def hold_words(held: str) -> str:
    """What is in the hands.

    >>> hold_words("rf"), hold_words("")
    ('holds a raw part and a finished part', 'holds nothing')
    """
    names = {"r": "a raw part", "b": "a part half done", "f": "a finished part"}
    return "holds " + (" and ".join(names[each] for each in held) or "nothing")


def shares(done: Played) -> dict[str, list[Share]]:
    """Of each owner the states that occur in the span, with their share of all of it."""
    end = done.end_s - done.start_s
    known: Mapping[str, tuple[str, str, str]] = STATION | ATTENDANT
    return {
        name: [
            Share(state=state, look=known[state][0], words=known[state][2], whole=percent_of(share))
            for state, share in share_of(states, end).items()
        ]
        for name, states in lanes(done)
    }


def window_of(done: Played, now: float) -> tuple[float, float]:
    """A stretch of the lanes that holds a few loads of a machine, and the moment."""
    span = done.end_s - done.start_s
    loads = [each["t_s"] for each in done.events if each["what"] == "finished"]
    machines = sum(1 for each in done.stations if each.states) or 1
    usual = span / len(loads) * machines * CYCLES if loads else span / 10.0
    wide = min(next((each for each in WINDOWS_S if each >= usual), WINDOWS_S[-1]), span)
    start = now // wide * wide
    return start, start + wide
