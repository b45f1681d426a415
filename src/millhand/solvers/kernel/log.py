"""The log of a replication in words: when, what, who, where."""

from millhand.solvers.kernel.codes import (
    ATTENDANT_STATES,
    LOG_ATTENDANT,
    LOG_BEGINS,
    LOG_CALL,
    LOG_ENDS,
    LOG_FAILS,
    LOG_FINISHED,
    LOG_GOES,
    LOG_OUT,
    LOG_SCRAPPED,
    LOG_STATION,
    LOG_VISIT,
    STATION_STATES,
)
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.running import Finished

WORDS = {LOG_FINISHED: "finished", LOG_SCRAPPED: "scrapped", LOG_OUT: "out", LOG_CALL: "call", LOG_FAILS: "fails"} | {
    LOG_VISIT + kind: word for kind, word in enumerate(("pick", "place", "swap"))
}
Line = dict[str, float | str]


def log_of(done: Finished) -> list[Line]:
    """One line an event and one a change of state, in the order in which they came about."""
    lines: list[Line] = []
    for at, what, who, where, takes in done.log:
        word, person, place = _words(done.c, what, who, where)
        line: Line = {"t_s": _seconds(done.c, at), "what": word, "who": person, "where": place}
        if what == LOG_GOES:
            line["takes_s"] = _seconds(done.c, takes)
        lines.append(line)
    return lines


def _seconds(c: Compiled, steps: int) -> float:
    """Grid steps in seconds, with the digits that JSON keeps."""
    return float(f"{steps * c.grid_s:.12g}")


def _words(c: Compiled, what: int, who: int, where: int) -> tuple[str, str, str]:
    """What happened, which attendant, which station."""
    if what == LOG_CALL:
        return "call", c.duty_names[who], _owner(c, where)
    if what == LOG_GOES:
        return "goes", _person(c, who), c.ways.place_names[where]
    if what in WORDS:
        station = where < c.size.stations
        person = _person(c, who) if station else _owner(c, where)
        return WORDS[what], person, _owner(c, where) if station else ""
    if what >= LOG_ENDS:
        return f"ends {c.duty_names[what - LOG_ENDS]}", _person(c, who), _station(c, where)
    if what >= LOG_BEGINS:
        return f"begins {c.duty_names[what - LOG_BEGINS]}", _person(c, who), _station(c, where)
    if what >= LOG_ATTENDANT:
        return f"is {ATTENDANT_STATES[what - LOG_ATTENDANT]}", _person(c, who), ""
    return f"is {STATION_STATES[what - LOG_STATION]}", "", _station(c, where)


def _person(c: Compiled, a: int) -> str:
    """An attendant's name, nothing where there is none."""
    return c.attendant_names[a] if a >= 0 else ""


def _station(c: Compiled, owner: int) -> str:
    """A station's name, nothing for an attendant or nobody."""
    return c.station_names[owner] if 0 <= owner < c.size.stations else ""


def _owner(c: Compiled, owner: int) -> str:
    """The name of a station or an attendant."""
    return _station(c, owner) or _person(c, owner - c.size.stations if owner >= 0 else -1)
