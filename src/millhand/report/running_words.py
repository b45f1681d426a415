"""What happens in a watched shift, in words: states, duties, events; and how a state looks without colour."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from millhand.solvers.kernel.log import Line
from millhand.solvers.played import Played

RUNS, HANDS, WAITS, STANDS, OFF = "runs", "hands", "waits", "stands", "off"
LOOKS = {  # a pattern, its sign, and what it means
    RUNS: ("▶", "runs, or moves"),
    HANDS: ("⇄", "is handled, or handles"),
    WAITS: ("…", "waits"),
    STANDS: ("✕", "stands, or is put right"),
    OFF: ("○", "off"),
}
STATION = {  # look, in short for the plan, in full
    "working": (RUNS, "running", "running"),
    "handled": (HANDS, "handled", "being loaded or unloaded"),
    "waiting_attendant": (WAITS, "waits", "ready, waits to be loaded or unloaded"),
    "starved": (WAITS, "no part", "waits: no part to load"),
    "blocked": (WAITS, "blocked", "waits: no room for its part"),
    "failed": (STANDS, "stopped", "stopped, nobody there yet"),
    "in_repair": (STANDS, "in repair", "being put right"),
    "worn": (STANDS, "worn", "worn, waits for somebody"),
    "setup": (STANDS, "set up", "being set up"),
    "warming": (HANDS, "warms up", "warming up"),
    "off": (OFF, "off", "off"),
}
ATTENDANT = {
    "travelling": (RUNS, "moves", "moves with empty hands"),
    "carrying": (RUNS, "carries", "carries a part"),
    "handling": (HANDS, "at work", "takes or puts down a part"),
    "waiting_station": (WAITS, "waits", "waits for a machine"),
    "waiting_track": (WAITS, "waits", "waits for the track"),
    "slowed": (RUNS, "slow", "moves slowly, somebody is near"),
    "stopped": (STANDS, "stopped", "stopped while somebody is there"),
    "failed": (STANDS, "fault", "stopped by a fault"),
    "in_repair": (STANDS, "put right", "being put right"),
    "on_duty": (HANDS, "at work", "at work at the cell"),
    "idle": (WAITS, "free", "free"),
    "break": (OFF, "break", "on a break"),
    "off": (OFF, "off", "not there"),
}
PEOPLE = {"tender": "operator"}
DUTIES = {
    "refill": "refill",
    "clear": "clearing a stop",
    "tools": "change of tools",
    "chips": "clearing chips",
    "arm_fault": "putting the arm right",
    "handover": "handover of the shift",
    "absence": "absence",
}
HANDLED = {"pick": "takes a part", "place": "puts a part down", "swap": "exchanges a part"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """What happened, when, and whether it is more than the usual round."""

    at_s: float
    words: str
    notable: bool


def plain(name: str) -> str:
    """A name as people read it.

    >>> plain("machine_2"), plain("arm1"), plain("tender")
    ('machine 2', 'arm 1', 'operator')
    """
    words = PEOPLE.get(name, name).replace("_", " ")
    digits = len(words) - len(words.rstrip("0123456789"))
    apart = digits and words[: len(words) - digits].isalpha()
    return f"{words[:-digits]} {words[-digits:]}" if apart else words


def duty_words(name: str) -> str:
    """What somebody does on a duty.

    >>> duty_words("handover_1"), duty_words("gauge_check")
    ('handover of the shift', 'gauge check')
    """
    return DUTIES.get(name.split("_", 1)[0]) or DUTIES.get(name) or plain(name)


def duty_names(done: Played) -> dict[str, tuple[str, str]]:
    """Of each duty that somebody is at in the span: what is done in words, and where that is always the same place."""
    kinds = {each.name: each.kind for each in done.stations}
    places: dict[str, set[str]] = {}
    for each in done.attendants:
        for _, name, where in each.duties:
            if name:
                places.setdefault(name, set()).add(where)
    found = {}
    for name, there in sorted(places.items()):
        place = min(there) if len(there) == 1 else ""
        found[name] = ("emptying" if kinds.get(place) == "sink" else duty_words(name), place)
    return found


def is_away(name: str) -> bool:
    """Whether a duty stands for somebody who does not come."""
    return name.startswith("absence")


def events(done: Played) -> tuple[Event, ...]:
    """All that happened, in its order; states and ways follow from it and are shown where they are."""
    short = set(empty_visits(done))
    names = duty_names(done)
    made = []
    for number, line in enumerate(done.events):
        what = str(line["what"])
        if number in short or what.startswith("is ") or what == "goes":
            continue
        made.append(
            Event(
                at_s=float(line["t_s"]),
                words=event_words(line, names),
                notable=what not in (*HANDLED, "finished", "out"),
            )
        )
    return tuple(made)


def empty_visits(done: Played) -> Iterator[int]:
    """Lines of calls and visits that take no time: somebody who might have stayed away and did not."""
    for number, line in enumerate(done.events):
        name = str(line["what"]).partition(" ")[2]
        if line["what"] == "call" and is_away(str(line["who"])):
            yield number
        if str(line["what"]).startswith(("begins ", "ends ")) and is_away(name):
            twin = ("ends " if str(line["what"]).startswith("begins") else "begins ") + name
            if any(each["what"] == twin and each["t_s"] == line["t_s"] for each in done.events):
                yield number


def event_words(line: Line, names: Mapping[str, tuple[str, str]]) -> str:
    """One event; `names`: duties in words, with the place of one that is called by no machine."""
    what, who, where = str(line["what"]), plain(str(line["who"])), plain(str(line["where"]))
    kind, _, duty = what.partition(" ")
    if what in HANDLED:
        return f"{who} {HANDLED[what]} at {where}" if what != "pick" else f"{who} {HANDLED[what]} from {where}"
    name = duty if kind in ("begins", "ends") else str(line["who"])
    said, usual = names.get(name, (duty_words(name), ""))
    place = where or plain(usual)
    at = f", {place}" if place else ""
    if what == "call":
        return f"call: {said}{at}"
    if kind in ("begins", "ends"):
        return f"{who} {kind}: {said}{at}"
    words = {"finished": "has finished its part", "fails": "stops", "scrapped": "scraps a part"}
    if what == "out":
        return f"a part leaves at {where}" if where else "a part leaves"
    return f"{where or who} {words.get(what, what)}"
