"""The shortest makespan against every order of visits, tried one by one in very small cells.

The trial knows nothing of the search: it reads the records of the cell, goes through every sequence of lifts, set-downs
and exchanges, writes down what each visit has to wait for, and takes the longest path.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import pytest

from millhand.errors import InputError
from millhand.intake.cell import cell_from
from millhand.model.cell import Attendant, Cell
from millhand.model.handling import Visit
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.small_lots import small_lots, with_windows

FOREVER = 10**9
SHARE = 3  # each third of the seeds; 1 by hand
Wait = tuple[int, int, int]  # visit, visit, least time from start to start


@dataclass(frozen=True, kw_only=True)
class Done:
    """One visit that was made: who, where, from when on it counts, how long it holds, and how the station goes on."""

    who: str
    place: str
    kind: str
    hold: int
    stays: int = 0


@dataclass(kw_only=True)
class Trial:
    """Everything up to one visit of a sequence."""

    cell: Cell
    parts: list[str]
    step: list[int]
    at: list[str | None]
    visits: list[Done] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    waits: list[Wait] = field(default_factory=list)
    hands: dict[str, list[int]] = field(default_factory=dict)
    last: dict[str, int] = field(default_factory=dict)
    came: dict[int, int] = field(default_factory=dict)
    left: dict[str, int] = field(default_factory=dict)
    lifted: int = -1


def row_of(cell: Cell, who: str, station: str, kind: str) -> Visit | None:
    """The handling of one kind at a station."""
    row = next(row for row in cell.handling if station in row.at and who in row.who)
    return {"pick": row.pick, "place": row.place, "swap": row.swap}[kind]


def way(cell: Cell, attendant: Attendant, ends: tuple[str | None, str | None], loaded: bool) -> int:
    """Seconds between two places."""
    table = cell.moves[attendant.moves_full or ""]
    rows = table.loaded_s if loaded and table.loaded_s is not None else table.empty_s
    found = rows[table.places.index(ends[0] or "")][table.places.index(ends[1] or "")]
    assert found is not None
    return round(found)


def copied(trial: Trial) -> Trial:
    """A trial that can go on by itself."""
    return replace(
        trial,
        step=[*trial.step],
        at=[*trial.at],
        visits=[*trial.visits],
        starts=[*trial.starts],
        waits=[*trial.waits],
        hands={who: [*held] for who, held in trial.hands.items()},
        last=dict(trial.last),
        came=dict(trial.came),
        left=dict(trial.left),
    )


def work(trial: Trial, part: int) -> int:
    """Seconds of work at the step where a part is."""
    step = trial.cell.parts[trial.parts[part]].route[trial.step[part]]
    span = (step.times_s or {}).get(trial.at[part] or "") or step.time_s
    return round(span.mean_s) if span else 0


def go_on(trial: Trial, who: str, kind: str, station: str) -> Trial:
    """The trial with the beginning of one more visit: the attendant comes from where it was."""
    made, visit = copied(trial), row_of(trial.cell, who, station, kind)
    assert visit is not None
    attendant, place = trial.cell.attendants[who], trial.cell.stations[station].place
    number, before = len(made.visits), made.last.get(who)
    lead = round(visit.lead_s.mean_s) if visit.lead_on == "arrival" else 0
    turn = round(attendant.turn_s)
    hold = round(visit.hold_s.mean_s) + (turn if kind == "swap" else 0)
    made.visits.append(Done(who=who, place=place or "", kind=kind, hold=hold))
    loaded = bool(trial.hands[who])
    if before is None:
        made.waits.append((-1, number, way(trial.cell, attendant, (attendant.home, place), False) + lead))
    else:
        past = made.visits[before]
        lag = past.hold + past.stays + way(trial.cell, attendant, (past.place, place), loaded) + lead
        if (past.kind, kind) == ("pick", "place") and past.place == place:
            lag += turn
        made.waits.append((before, number, lag))
        if attendant.hands == 1 and loaded:
            made.waits.append((number, before, -lag))
    made.last[who] = number
    return made


def after_lift(made: Trial, part: int, visit: Visit, station: str) -> None:
    """The visit that begins now takes the part out, when it is done and not too late."""
    number = len(made.visits) - 1
    if made.step[part] == 0:
        if made.lifted >= 0:
            made.waits.append((made.lifted, number, 0))
        made.lifted = number
        return
    came = made.came[part]
    placed = made.visits[came]
    tail = round(row_tail(made, came, station))
    made.waits.append((came, number, placed.hold + tail + work(made, part) + round(visit.lead_s.mean_s)))
    longest = made.cell.parts[made.parts[part]].route[made.step[part]].stay_max_s
    if longest is not None:
        made.waits.append((number, came, -placed.hold - round(longest)))


def row_tail(made: Trial, number: int, station: str) -> float:
    """The tail of a visit that was made."""
    visit = row_of(made.cell, made.visits[number].who, station, made.visits[number].kind)
    assert visit is not None
    return visit.tail_s.mean_s


def picks(trial: Trial, who: str) -> Iterator[Trial]:
    """Every lift that this attendant could do next."""
    attendant = trial.cell.attendants[who]
    raw = sum(1 for part in trial.hands[who] if trial.step[part] == 0)
    swaps = any(row.swap for row in trial.cell.handling) and attendant.hands > 1
    held = len(trial.hands[who])
    for part, station in enumerate(trial.at):
        if station is None or trial.step[part] == len(trial.cell.parts[trial.parts[part]].route) - 1:
            continue
        first = trial.step[part] == 0
        if first and part != min(p for p, step in enumerate(trial.step) if step == 0 and trial.at[p]):
            continue
        if attendant.take_from is not None and station not in attendant.take_from:
            continue
        if held >= attendant.hands or (first and swaps and raw >= attendant.hands - 1):
            continue
        visit = row_of(trial.cell, who, station, "pick")
        assert visit is not None
        made = go_on(trial, who, "pick", station)
        after_lift(made, part, visit, station)
        made.hands[who].append(part)
        made.at[part] = None
        made.left[station] = len(made.visits) - 1
        yield made


def places(trial: Trial, who: str) -> Iterator[Trial]:
    """Every set-down and exchange that this attendant could do next."""
    for part in trial.hands[who]:
        for station in trial.cell.parts[trial.parts[part]].route[trial.step[part] + 1].at:
            allowed = trial.cell.attendants[who].put_to
            if allowed is not None and station not in allowed:
                continue
            here = [other for other, name in enumerate(trial.at) if name == station]
            if trial.cell.stations[station].kind == "sink" or not here:
                yield set_down(trial, (who, "place"), part, station)
            elif len(trial.hands[who]) < trial.cell.attendants[who].hands and row_of(trial.cell, who, station, "swap"):
                yield set_down(trial, (who, "swap"), part, station)


def set_down(trial: Trial, by: tuple[str, str], part: int, station: str) -> Trial:
    """A part comes into a station, by an exchange if something is in it."""
    made = go_on(trial, *by, station)
    number, visit = len(made.visits) - 1, row_of(made.cell, by[0], station, by[1])
    assert visit is not None
    if by[1] == "swap":
        old = next(other for other, name in enumerate(made.at) if name == station)
        after_lift(made, old, visit, station)
        made.hands[by[0]].append(old)
        made.at[old] = None
    elif station in made.left and made.cell.stations[station].kind == "process":
        before = made.left[station]
        lag = made.visits[before].hold + round(row_tail(made, before, station)) + round(visit.lead_s.mean_s)
        made.waits.append((before, number, lag))
    made.hands[by[0]].remove(part)
    made.step[part] += 1
    made.at[part] = station
    made.came[part] = number
    made.left.pop(station, None)
    return made


def forward(trial: Trial) -> Trial:
    """The trial with the earliest start of its newest visit, what must not be too late left aside."""
    number = len(trial.visits) - 1
    start = max((0 if a < 0 else trial.starts[a]) + lag for a, b, lag in trial.waits if b == number and (a < number))
    trial.starts.append(start)
    return trial


def exact(trial: Trial) -> int:
    """When the last visit ends, all waits kept; forever where they cannot be."""
    times = [0] * len(trial.visits)
    for _ in range(len(times) + 1):
        changed = False
        for a, b, lag in trial.waits:
            least = (0 if a < 0 else times[a]) + lag
            if times[b] < least:
                times[b], changed = least, True
        if not changed:
            sets = [n for n, visit in enumerate(trial.visits) if visit.kind == "place"]
            return max(times[n] + trial.visits[n].hold for n in sets)
    return FOREVER


def shortest(cell: Cell) -> int:
    """The least makespan over all sequences of visits."""
    parts = [name for name, part in cell.parts.items() for _ in range(part.lot.size if part.lot else 1)]
    start = Trial(cell=cell, parts=parts, step=[0] * len(parts), at=["raw"] * len(parts))
    start.hands = {who: [] for who in cell.attendants}
    best = FOREVER
    waiting = [start]
    while waiting:
        trial = waiting.pop()
        if max((s + v.hold for s, v in zip(trial.starts, trial.visits, strict=True)), default=0) >= best:
            continue
        if all(step == len(cell.parts[name].route) - 1 for step, name in zip(trial.step, parts, strict=True)):
            best = min(best, exact(trial))
            continue
        following = [forward(made) for who in cell.attendants for made in (*picks(trial, who), *places(trial, who))]
        waiting += sorted(following, key=lambda made: -made.starts[-1])
    return best


def searched(cell: Cell) -> int:
    """The makespan that the search proves; forever where it says that there is none."""
    try:
        found = shortest_makespan(cell, deadline=None, deterministic=None, workers=1, seed=1)
    except InputError as error:
        return FOREVER if error.code == "lots_cannot_finish" else -1
    assert found.proven
    assert found.least_steps == found.period_steps
    return found.period_steps


@pytest.mark.parametrize("seed", range(0, 150, SHARE))
def test_one_arm_with_one_gripper(seed: int) -> None:
    """Two or three parts, two machines, one arm: the search finds what all orders of carries give."""
    cell = cell_from(small_lots(seed))

    assert searched(cell) == shortest(cell)


@pytest.mark.parametrize("seed", range(0, 60, SHARE))
def test_one_arm_with_limited_stays(seed: int) -> None:
    """With limited stays the best order is found too, and where no order keeps them the search says so."""
    cell = cell_from(with_windows(small_lots(seed), seed))

    assert searched(cell) == shortest(cell)


@pytest.mark.parametrize("seed", range(0, 60, SHARE))
def test_one_arm_with_two_grippers(seed: int) -> None:
    """Exchanges and two parts in hand, with turns between the grippers."""
    cell = cell_from(small_lots(seed, hands=2))

    assert searched(cell) == shortest(cell)


@pytest.mark.parametrize("seed", range(0, 30, SHARE))
def test_two_arms(seed: int) -> None:
    """Two arms that may both do everything, with two parts."""
    cell = cell_from(small_lots(seed, arms=2, most=2))

    assert searched(cell) == shortest(cell)


@pytest.mark.parametrize("seed", range(0, 30, SHARE))
def test_two_arms_that_hand_parts_on(seed: int) -> None:
    """One arm lifts the raw parts and clears the second machine, the other brings parts from the first to the second:
    a part comes back to the arm that had it before."""
    form = small_lots(seed, arms=2, most=2)
    form["attendants"]["arm1"] |= {"take_from": ["raw", "m2"], "put_to": ["m1", "m2", "done"]}
    form["attendants"]["arm2"] |= {"take_from": ["raw", "m1"], "put_to": ["m2", "done"]}
    cell = cell_from(form)

    assert searched(cell) == shortest(cell)


def test_a_part_in_hand_may_go_over_another_machine() -> None:
    """Two grippers and ways of which two are shorter than the straight one: on its way out the part is carried over the
    machine where the other one is fetched. Before, 100 s were said to be proven; 96 s are possible."""
    cell = cell_from(small_lots(1625, hands=2))

    assert searched(cell) == shortest(cell) == 96
