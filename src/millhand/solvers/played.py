"""One replication looked at event by event: what every station and attendant was at over a span, for who watches it.

The run is stopped after each moment at which something was due, and what it holds then is read off: it is the same run
as any other with this seed. Times are counted in seconds from the beginning of the span.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from millhand.model.cell import Cell
from millhand.solvers.kernel.codes import (
    ATTENDANT_STATES,
    C_GOOD,
    C_PARTS,
    LOG_CALL,
    LOG_FAILS,
    ON_DUTY,
    PROCESS,
    SLOT_BITS,
    STATION_STATES,
    STORE,
)
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counted_after, counts_of
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.log import Line, log_of
from millhand.solvers.kernel.running import Finished, finished_run, run_on

RAW, BEGUN, DONE = "rbf"  # a part in hand: nothing was done to it, something was, everything was
Mark = tuple[float, str | int]  # since when, and what


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """A way at a moment: from where to where, which share of it lies behind, and when it ends; None: stopped."""

    at_s: float
    start: str
    goal: str
    share: float
    until_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StationTrack:
    """What a station was at, since when: its state where it works on parts, and the parts in it where they count."""

    name: str
    kind: str
    capacity: int | None
    states: tuple[Mark, ...] = ()
    parts: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AttendantTrack:
    """What an attendant was at, since when: state, parts in hand (a letter each), ways, and the duty with its place."""

    name: str
    kind: str
    hands: int
    states: tuple[Mark, ...]
    holds: tuple[Mark, ...]
    duties: tuple[tuple[float, str, str], ...]  # '' for none
    ways: tuple[Motion, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Played:
    """A span of one replication: tracks, parts that left, and every event, beside what the run's own books say."""

    cell: str
    seed: int
    replication: int
    start_s: float
    end_s: float
    stations: tuple[StationTrack, ...]
    attendants: tuple[AttendantTrack, ...]
    out: tuple[tuple[float, tuple[int, int]], ...]  # parts and good ones that have left since the span began
    events: tuple[Line, ...]
    books: Counts  # of the span


@dataclass(slots=True)
class Notes:
    """Changes of one thing, the latest last."""

    marks: list[Any] = field(default_factory=list)

    def note(self, at: int, what: Any) -> None:
        """It is so from now on, unless it was before; of two notes of one moment the later one counts."""
        while self.marks and self.marks[-1][0] >= at:
            self.marks.pop()
        if not self.marks or self.marks[-1][1] != what:
            self.marks.append((at, what))


def played(cell: Cell, *, start_s: float, end_s: float, seed: int, replication: int = 0) -> Played:
    """What one replication did between two times."""
    c = compiled(cell)
    start, end = round(start_s / c.grid_s), round(end_s / c.grid_s)
    run = finished_run(c, start, seed=seed, replication=replication, logging=True)
    before, told = counts_of(run), len(run.log)
    watcher = Watcher(c, start)
    watcher.look(run, start)
    for at in moments(run, end):
        watcher.look(run, at)
    books = counted_after(before, counts_of(run))
    events = log_of(Finished(c=c, k=run.k, log=run.log[told:]))
    return Played(
        cell=c.cell, seed=seed, replication=replication, start_s=start_s, end_s=end_s,
        stations=tuple(watcher.station(s) for s in range(c.size.stations)),
        attendants=tuple(watcher.attendant(a) for a in range(c.size.attendants)),
        out=tuple((watcher.seconds(at), counts) for at, counts in watcher.out.marks),
        events=tuple(each | {"t_s": seconds(c, round(float(each["t_s"]) / c.grid_s) - start)} for each in events),
        books=books,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """When something stopped in a replication, and how many lines its log has in each hour that was run."""

    stops_s: tuple[float, ...]
    lines: tuple[int, ...]


def overview(cell: Cell, spans: Sequence[tuple[float, float]], *, hours: int, seed: int) -> Overview:
    """The first replication at a glance, up to the end of the first of these spans in which something stops; what calls
    somebody to end a fault counts as a stop."""
    c = compiled(cell)
    faults = {at for at, name in enumerate(c.duty_names) if cell.duties[name].trigger.kind == "fault"}
    run = finished_run(c, 0, seed=seed, replication=0, logging=True)
    stops: list[float] = []
    lines: list[int] = []
    for hour in range(hours):
        run_on(run, round((hour + 1) * 3600 / c.grid_s))
        stops += [
            line[0] * c.grid_s for line in run.log
            if line[1] == LOG_FAILS or (line[1] == LOG_CALL and line[2] in faults)
        ]  # fmt: skip
        lines.append(len(run.log))
        run.log.clear()
        over = [(start, end) for start, end in spans if end <= (hour + 1) * 3600.0]
        if any(start <= at < end for start, end in over for at in stops):
            break
    return Overview(stops_s=tuple(stops), lines=tuple(lines))


def moments(run: Finished, end: int) -> Iterator[int]:
    """The run taken from one moment at which something is due to the next, up to the end."""
    while True:
        due = int(run.k["due"].min()) >> SLOT_BITS
        if due >= end:
            break
        run_on(run, due + 1)
        yield due
    run_on(run, end)


def seconds(c: Compiled, steps: int) -> float:
    """Grid steps in seconds, with the digits that JSON keeps."""
    return float(f"{steps * c.grid_s:.12g}")


class Watcher:
    """Reads a run each time that it stands."""

    def __init__(self, c: Compiled, start: int) -> None:
        self.c, self.start = c, start
        self.states = [Notes() for _ in range(c.size.stations)]
        self.parts = [Notes() for _ in range(c.size.stations)]
        self.doings = [Notes() for _ in range(c.size.attendants)]
        self.holds = [Notes() for _ in range(c.size.attendants)]
        self.duties = [Notes() for _ in range(c.size.attendants)]
        self.ways: list[list[Motion]] = [[] for _ in range(c.size.attendants)]
        self.places = [(-1, -1)] * c.size.attendants  # where each comes from and goes to
        self.out = Notes()
        self.left_before: tuple[int, int] | None = None

    def look(self, run: Finished, now: int) -> None:
        """Everything as it is just after a moment."""
        k = run.k
        for s in range(self.c.size.stations):
            process = self.c.stations.kind[s] == PROCESS
            if process:
                self.states[s].note(now, STATION_STATES[int(k["s_state"][s])])
            if process or self.counts(s):
                self.parts[s].note(now, int(k["s_inside"][s] if process else k["s_stock"][s]))
        for a in range(self.c.size.attendants):
            self.look_at(k, a, now)
        left = int(k["counts"][C_PARTS]), int(k["counts"][C_GOOD])
        self.left_before = self.left_before or left
        self.out.note(now, (left[0] - self.left_before[0], left[1] - self.left_before[1]))

    def counts(self, s: int) -> bool:
        """Whether the parts in a stock are counted: stores always, supplies and sinks with a limit."""
        return self.c.stations.kind[s] == STORE or self.c.stations.capacity[s] >= 0

    def look_at(self, k: Any, a: int, now: int) -> None:
        """One attendant: phases that are known ahead stand until something comes between."""
        first, second = int(k["a_until_first"][a]), int(k["a_until_second"][a])
        halted = bool(k["a_halted"][a])
        if halted:
            self.doings[a].note(now, ATTENDANT_STATES[int(k["a_halted_as"][a])])
        else:
            since = now
            for until, what in ((first, "a_first"), (second, "a_second")):
                if until > since:
                    self.doings[a].note(since, ATTENDANT_STATES[int(k[what][a])])
                    since = until
            self.doings[a].note(since, ATTENDANT_STATES[int(k["a_state"][a])])
        pieces = [int(k["a_hand"][a][i]) for i in range(int(k["a_holds"][a]))]
        self.holds[a].note(now, "".join(self.look_of(int(k["q_step"][q])) for q in pieces))
        self.duties[a].note(now, self.duty(k, a))
        self.move(int(k["a_place"][a]), a, now, left=max(0, first - (0 if halted else now)), halted=halted)

    def move(self, goal: int, a: int, now: int, *, left: int, halted: bool) -> None:
        """The way that it is on, where that began, was stopped, or takes another time than it was to take."""
        old = self.places[a]
        if goal != old[1]:
            self.places[a] = (old[1] if old[1] >= 0 else goal, goal)
        names = self.c.ways.place_names
        if goal < 0 or goal >= len(names):
            return
        share = self.share(a, now) if goal == old[1] else 0.0
        ends = None if halted and left else self.seconds(now + left)
        start = self.places[a][0]
        made = Motion(
            at_s=self.seconds(now), start=names[start], goal=names[goal],
            share=share if left else 1.0, until_s=ends,
        )  # fmt: skip
        last = self.ways[a][-1] if self.ways[a] else None
        same = last is not None and (last.start, last.goal, last.until_s) == (made.start, made.goal, made.until_s)
        if same or (last is not None and goal == old[1] and not left and last.until_s is not None):
            return
        self.ways[a] = [each for each in self.ways[a] if each.at_s < made.at_s] + [made]

    def share(self, a: int, now: int) -> float:
        """Which share of its way lies behind it by now."""
        if not self.ways[a]:
            return 1.0
        last, at = self.ways[a][-1], self.seconds(now)
        if last.until_s is None or last.until_s <= last.at_s:
            return last.share
        gone = min(1.0, (at - last.at_s) / (last.until_s - last.at_s))
        return float(f"{last.share + (1.0 - last.share) * gone:.6g}")

    def look_of(self, step: int) -> str:
        """What a part in hand looks like: which of its machining lies behind it."""
        steps, kinds = self.c.steps, self.c.stations.kind
        part = steps.part[step]
        route = [g for g in range(len(steps.part)) if steps.part[g] == part]
        work = [g for g in route if any(kinds[s] == PROCESS for s in steps.at[steps.at_from[g] : steps.at_to[g]])]
        behind = [g for g in work if g < step]
        return RAW if not behind else DONE if len(behind) == len(work) else BEGUN

    def duty(self, k: Any, a: int) -> tuple[str, str]:
        """The duty that it is at, and where."""
        slot = int(k["a_slot"][a])
        if slot < 0 or int(k["a_mode"][a]) != ON_DUTY:
            return "", ""
        d, owner = self.c.slots.duty[slot], self.c.slots.owner[slot]
        stocks = self.c.duties.restore[self.c.duties.restore_from[d] : self.c.duties.restore_to[d]]
        names = (*self.c.station_names, *self.c.attendant_names)
        at = owner if owner >= 0 else stocks[0] if len(stocks) else -1
        return self.c.duty_names[d], names[at] if 0 <= at < len(names) else ""

    def seconds(self, at: int) -> float:
        """A moment counted from the beginning of the span."""
        return seconds(self.c, at - self.start)

    def marks(self, notes: Notes) -> tuple[Mark, ...]:
        """Since when, and what."""
        return tuple((self.seconds(at), what) for at, what in notes.marks)

    def station(self, s: int) -> StationTrack:
        """All of one station."""
        kind, most = self.c.stations.kind[s], self.c.stations.capacity[s]
        return StationTrack(
            name=self.c.station_names[s], kind=("supply", "process", "store", "sink")[kind],
            capacity=int(most) if most >= 0 else None, states=self.marks(self.states[s]),
            parts=self.marks(self.parts[s]),
        )  # fmt: skip

    def attendant(self, a: int) -> AttendantTrack:
        """All of one attendant."""
        return AttendantTrack(
            name=self.c.attendant_names[a], kind="arm" if self.c.attendants.arm[a] else "operator",
            hands=int(self.c.attendants.hands[a]), states=self.marks(self.doings[a]), holds=self.marks(self.holds[a]),
            duties=tuple((self.seconds(at), *what) for at, what in self.duties[a].marks), ways=tuple(self.ways[a]),
        )  # fmt: skip
