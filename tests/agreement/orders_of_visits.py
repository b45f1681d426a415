"""Lots of a small cell by every order of visits: lifts, set-downs, exchanges and changeovers, tried one by one.

It knows nothing of the solvers. Each order writes down what every visit has to wait for, and the longest way through
these waits is when the last part is set down. Machines may have loads of several parts, be attended and be changed
over, a part may come from one of several supplies and go to one of several machines; own buffers, slots, gates and
stores are beyond it, and so are tracks.
"""

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass, field

from millhand.model.cell import Cell
from millhand.model.handling import Visit

FOREVER = 10**9


@dataclass(kw_only=True)
class Done:
    """One visit that was made: by whom, what, at which station, from where to where it binds its attendant."""

    who: str
    kind: str
    station: str
    place: str
    hold: int
    stays: int = 0  # after the hold, where somebody stays beside the machine
    tail: int = 0


@dataclass(kw_only=True)
class Machine:
    """What a machine holds: the visits that brought its load, those that took parts of it out, and its family."""

    inside: list[int] = field(default_factory=list)
    sets: list[int] = field(default_factory=list)
    outs: list[int] = field(default_factory=list)
    kind: tuple[str, int] | None = None  # type and step of the load
    family: str | None = None
    change: tuple[int, str] | None = None  # the changeover made since, and the family it leads to


@dataclass(kw_only=True)
class Trial:
    """Everything up to one visit."""

    cell: Cell
    parts: list[str]
    step: list[int]
    at: list[str | None]  # None: not lifted yet, or in hand
    hands: dict[str, list[int]]
    machines: dict[str, Machine]
    visits: list[Done] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    waits: list[tuple[int, int, int]] = field(default_factory=list)
    last: dict[str, int] = field(default_factory=dict)
    picked: dict[int, int] = field(default_factory=dict)  # the visit that lifted each part last
    given: dict[str, tuple[int, int]] = field(default_factory=dict)  # supply: its last lift, and which lot it was of


def row_of(cell: Cell, who: str, station: str, kind: str) -> Visit | None:
    """The handling of one kind at a station, where the attendant may do it."""
    attendant = cell.attendants[who]
    takes = kind == "place" or attendant.take_from is None or station in attendant.take_from
    puts = kind == "pick" or attendant.put_to is None or station in attendant.put_to
    row = next((row for row in cell.handling if station in row.at and who in row.who), None)
    return {"pick": row.pick, "place": row.place, "swap": row.swap}[kind] if row and takes and puts else None


def seconds(visit: Visit, what: str, cell: Cell, station: str) -> int:
    """A lead or tail of a visit; nothing where nobody works on a part."""
    span = visit.lead_s if what == "lead" else visit.tail_s
    works = cell.stations[station].kind == "process"
    return round(span.mean_s) if works or (what == "lead") else 0


def way(trial: Trial, who: str, ends: tuple[str | None, str | None], loaded: bool) -> int:
    """Seconds between two places."""
    table = trial.cell.moves[trial.cell.attendants[who].moves_full or ""]
    rows = table.loaded_s if loaded and table.loaded_s is not None else table.empty_s
    found = rows[table.places.index(ends[0] or "")][table.places.index(ends[1] or "")]
    assert found is not None
    return round(found)


def begun(trial: Trial, done: Done, lead: int) -> Trial:
    """The trial with one visit more: the attendant comes from where it was."""
    made = Trial(**{name: getattr(trial, name) for name in ("cell", "parts")}, **{
        name: deepcopy(getattr(trial, name))
        for name in ("step", "at", "hands", "machines", "visits", "starts", "waits", "last", "picked", "given")
    })  # fmt: skip
    number, who, before = len(made.visits), done.who, made.last.get(done.who)
    attendant, loaded = made.cell.attendants[who], bool(made.hands[who])
    if before is None:
        made.waits.append((-1, number, way(made, who, (attendant.home, done.place), False) + lead))
    else:
        past = made.visits[before]
        lag = past.hold + past.stays + way(made, who, (past.place, done.place), loaded) + lead
        lag += round(attendant.turn_s) if (past.kind, done.kind, past.station) == ("pick", "place", done.station) else 0
        made.waits.append((before, number, lag))
        if attendant.hands == 1 and loaded:
            made.waits.append((number, before, -lag))
    made.visits.append(done)
    made.last[who] = number
    return made


def visited(trial: Trial, who: str, kind: str, station: str) -> tuple[Trial, Visit] | None:
    """The trial with one visit at a station more, and its row; None where the attendant has none."""
    row = row_of(trial.cell, who, station, kind)
    if row is None:
        return None
    turn = round(trial.cell.attendants[who].turn_s) if kind == "swap" else 0
    works = trial.cell.stations[station].kind == "process"
    lead = round(row.lead_s.mean_s) if row.lead_on == "arrival" or not works else 0
    done = Done(
        who=who, kind=kind, station=station, place=trial.cell.stations[station].place or "",
        hold=round(row.hold_s.mean_s) + turn, tail=seconds(row, "tail", trial.cell, station),
    )  # fmt: skip
    return begun(trial, done, lead), row


def moves(trial: Trial) -> Iterator[Trial]:
    """Every visit that could come next."""
    for who in trial.cell.attendants:
        yield from lifts(trial, who)
        yield from set_downs(trial, who)
        yield from changes(trial, who)


def lifts(trial: Trial, who: str) -> Iterator[Trial]:
    """Every lift of one attendant: of alike raw parts the first, and none of a lot before one that its supply gave."""
    hands, held = trial.cell.attendants[who].hands, trial.hands[who]
    swaps = hands > 1 and any(row.swap for row in trial.cell.handling if who in row.who)
    raw = sum(trial.step[part] == 0 for part in held)
    if len(held) == hands:
        return
    lots = list(dict.fromkeys(trial.parts))
    for part, name in enumerate(trial.parts):
        if trial.step[part] or part in trial.picked or (swaps and raw >= hands - 1):
            continue
        if any(trial.parts[other] == name and other not in trial.picked for other in range(part)):
            continue
        for supply in trial.cell.parts[name].route[0].at:
            made = visited(trial, who, "pick", supply)
            before = trial.given.get(supply)
            stock = trial.cell.stations[supply]
            gone = sum(done.station == supply for done in trial.visits)
            if made is None or (before is not None and before[1] > lots.index(name)):
                continue
            if stock.capacity is not None and gone == stock.start:
                continue
            if before is not None:
                made[0].waits.append((before[0], len(trial.visits), 0))
            made[0].given[supply] = (len(trial.visits), lots.index(name))
            yield in_hand(made[0], who, part)
    for part, station in enumerate(trial.at):
        if station in trial.machines and is_whole(trial, station or ""):
            made = visited(trial, who, "pick", station or "")
            if made is not None:
                out_of(*made, station or "", part)
                yield in_hand(made[0], who, part)


def in_hand(trial: Trial, who: str, part: int) -> Trial:
    """The part is in hand from the last visit on."""
    trial.hands[who].append(part)
    trial.at[part] = None
    trial.picked[part] = len(trial.visits) - 1
    return trial


def is_whole(trial: Trial, station: str) -> bool:
    """Whether the load of a machine has all its parts."""
    return len(trial.machines[station].sets) == trial.cell.stations[station].batch


def out_of(trial: Trial, row: Visit, station: str, part: int) -> None:
    """The last visit takes a part out of a machine, when its load is done and those taken before it are out."""
    machine, number = trial.machines[station], len(trial.visits) - 1
    lead = round(row.lead_s.mean_s)
    step = trial.cell.parts[trial.parts[part]].route[trial.step[part]]
    span = (step.times_s or {}).get(station) or step.time_s
    work = round(span.mean_s) if span else 0
    for came in machine.sets:
        past = trial.visits[came]
        trial.waits.append((came, number, past.hold + past.tail + work + lead))
    if machine.outs:
        past = trial.visits[machine.outs[-1]]
        trial.waits.append((machine.outs[-1], number, past.hold + past.tail + lead))
    machine.inside.remove(part)
    machine.outs.append(number)


def set_downs(trial: Trial, who: str) -> Iterator[Trial]:
    """Every set-down and exchange of one attendant."""
    for part in trial.hands[who]:
        for station in trial.cell.parts[trial.parts[part]].route[trial.step[part] + 1].at:
            machine = trial.machines.get(station)
            full = machine is not None and bool(machine.inside) and is_whole(trial, station)
            made = visited(trial, who, "swap" if full else "place", station)
            if made is None or (full and not may_exchange(trial, who, station)):
                continue
            if machine is None or into(*made, station, part):
                yield put(made[0], who, part, station)


def may_exchange(trial: Trial, who: str, station: str) -> bool:
    """Whether there is a hand for the old part of a machine that takes one at a time and that nobody has to stay at."""
    found = trial.cell.stations[station]
    free = trial.cell.attendants[who].hands - len(trial.hands[who])
    return free > 0 and found.batch == 1 and not found.attended


def put(trial: Trial, who: str, part: int, station: str) -> Trial:
    """The part is at the station; what an exchange took out is in hand."""
    trial.hands[who].remove(part)
    trial.step[part] += 1
    trial.at[part] = station
    return trial


def into(trial: Trial, row: Visit, station: str, part: int) -> bool:
    """The last visit brings a part into a machine; False where it may not come."""
    machine, number = trial.machines[station], len(trial.visits) - 1
    kind = (trial.parts[part], trial.step[part] + 1)
    step, lead = trial.cell.parts[kind[0]].route[kind[1]], round(row.lead_s.mean_s)
    duty = duty_of(trial.cell, station, machine.family, step.family)
    if trial.visits[number].kind == "swap":
        if duty is not None or machine.change is not None:
            return False
        old = machine.inside[0]
        out_of(trial, row, station, old)
        in_hand(trial, trial.visits[number].who, old)
        machine.sets, machine.outs = [], []
    elif machine.inside and is_whole(trial, station):
        return False
    elif is_whole(trial, station):
        if not fetched_after(trial, machine, part, duty, step.family):
            return False
        past = trial.visits[machine.outs[-1]]
        trial.waits.append((machine.outs[-1], number, past.hold + past.tail + lead))
        machine.sets, machine.outs = [], []
    elif machine.sets:
        if kind != machine.kind or not fetched_after(trial, machine, part, duty, step.family):
            return False
        past = trial.visits[machine.sets[-1]]
        trial.waits.append((machine.sets[-1], number, past.hold + past.tail + lead))
    machine.kind = kind
    machine.sets.append(number)
    machine.inside.append(part)
    if is_whole(trial, station):
        machine.family, machine.change = step.family, None
        if trial.cell.stations[station].attended:
            span = (step.times_s or {}).get(station) or step.time_s
            trial.visits[number].stays = trial.visits[number].tail + (round(span.mean_s) if span else 0)
    return True


def duty_of(cell: Cell, station: str, old: str | None, new: str | None) -> str | None:
    """The changeover between two families; None where none is needed."""
    rows = (row for row in cell.changeovers if station in row.at and (row.from_family, row.to_family) == (old, new))
    return next((row.duty for row in rows), None)


def fetched_after(trial: Trial, machine: Machine, part: int, duty: str | None, family: str | None) -> bool:
    """A part that needs a changeover was lifted after it; one that needs none comes where none was made."""
    if duty is None:
        return machine.change is None
    if machine.change is None or machine.change[1] != family or machine.change[0] > trial.picked[part]:
        return False
    done = trial.visits[machine.change[0]]
    trial.waits.append((machine.change[0], trial.picked[part], done.hold))
    return True


def changes(trial: Trial, who: str) -> Iterator[Trial]:
    """Every changeover of one attendant at a machine that is empty, with the hands empty that it needs."""
    for station, machine in trial.machines.items():
        if machine.inside or not machine.outs or machine.change is not None:
            continue
        for family in dict.fromkeys(step.family for part in trial.cell.parts.values() for step in part.route):
            name = duty_of(trial.cell, station, machine.family, family)
            if name is None or who not in trial.cell.duties[name].who:
                continue
            duty = trial.cell.duties[name]
            if trial.cell.attendants[who].hands - len(trial.hands[who]) < duty.needs_hands:
                continue
            place = trial.cell.stations[station].place if duty.place is None else duty.place
            hold = round(duty.takes.mean_s)
            done = Done(who=who, kind="change", station=station, place=place or "", hold=hold)
            made = begun(trial, done, 0)
            past = made.visits[machine.outs[-1]]
            lag = past.hold + past.tail + round(duty.response_s.mean_s)
            made.waits.append((machine.outs[-1], len(trial.visits), lag))
            made.machines[station].change = (len(trial.visits), family or "")
            yield made


def earliest(trial: Trial) -> int:
    """When the newest visit begins at the earliest, what must not come too late left aside."""
    number = len(trial.visits) - 1
    return max((0 if a < 0 else trial.starts[a]) + lag for a, b, lag in trial.waits if b == number and a < number)


def exact(trial: Trial) -> int:
    """When the last set-down ends, all waits kept; forever where they cannot be."""
    times = [0] * len(trial.visits)
    for _ in range(len(times) + 1):
        changed = False
        for a, b, lag in trial.waits:
            least = (0 if a < 0 else times[a]) + lag
            if times[b] < least:
                times[b], changed = least, True
        if not changed:
            sets = (number for number, done in enumerate(trial.visits) if done.kind == "place")
            return max(times[number] + trial.visits[number].hold for number in sets)
    return FOREVER


def shortest(cell: Cell) -> int:
    """The least makespan over all orders of visits; forever where there is none."""
    parts = [name for name, part in cell.parts.items() for _ in range(part.lot.size if part.lot else 1)]
    start = Trial(
        cell=cell, parts=parts, step=[0] * len(parts), at=[None] * len(parts),
        hands={who: [] for who in cell.attendants},
        machines={name: Machine() for name, each in cell.stations.items() if each.kind == "process"},
    )  # fmt: skip
    best, waiting = FOREVER, [start]
    while waiting:
        trial = waiting.pop()
        if max((at + done.hold for at, done in zip(trial.starts, trial.visits, strict=True)), default=0) >= best:
            continue
        if all(step == len(cell.parts[name].route) - 1 for step, name in zip(trial.step, parts, strict=True)):
            if all(machine.change is None for machine in trial.machines.values()):
                best = min(best, exact(trial))
            continue
        following = list(moves(trial))
        for made in following:
            made.starts.append(earliest(made))
        waiting += sorted(following, key=lambda made: -made.starts[-1])
    return best
