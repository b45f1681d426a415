"""What happens at the stations: how long each part stays, and that there is room before the next one is set down."""

from collections.abc import Mapping
from itertools import product
from math import ceil
from typing import Any

from millhand.solvers.cycle.searching.jobs import Spot
from millhand.solvers.cycle.searching.program import Key, Literal, Program, Whole, measured
from millhand.solvers.cycle.searching.standing_loads import add_stood, leaving, stands, stood
from millhand.solvers.cycle.view import Stop

MOST_LAPS = 40


def add_stays(program: Program) -> None:
    """Every stay, every station that holds a limited number of parts, every gate."""
    for spot in program.jobs.stays:
        add_stay(program, spot)
    for spot in program.jobs.stays:
        add_long_stay(program, spot)
    for station, room in program.view.slots.items():
        here = spots_at(program, station)
        if station in program.view.loads:
            continue
        if here and room == 1:
            add_turns(program, station, here)
        elif here and room is not None:
            add_room(program, station, here, room)
    for station in program.view.turnaround_steps:
        add_gate(program, station)
    add_alike(program)


def spots_at(program: Program, station: str) -> dict[Spot, Literal]:
    """The stays that may begin at a station, each with the literal that it does."""
    found: dict[Spot, Literal] = {}
    for spot, (coming, _) in program.jobs.stays.items():
        here = program.places(coming, station=station)
        if here and not stands(program, spot, station):
            found[spot] = program.some(here)
    return found


def stop_of(program: Program, spot: Spot) -> Stop:
    """The step of the route that a stay belongs to."""
    return program.view.routes[spot[0]][spot[2]]


def add_stay(program: Program, spot: Spot) -> None:
    """The part is lifted where it was set down, not before it is done, and not too late."""
    coming, going = program.jobs.stays[spot]
    stop, model = stop_of(program, spot), program.model
    for station in stop.stations:
        here = (program.places(coming, station=station), program.picks(going, station=station))
        if here[0] or here[1]:
            model.add(sum(here[0]) == sum(here[1]))
    works = sum(
        lit * stop.time_steps(option.goal)
        for option, lit in program.chosen[coming].items()
        if stop.time_steps(option.goal)
    )
    placed = program.set_down[coming] + measured(program, coming, "set", "hold")
    ready = placed + measured(program, coming, "set", "tail") + works + measured(program, going, "lift", "lead")
    laps = [program.flag() for _ in range(most_laps(program, stop) + 1)]
    model.add_exactly_one(laps)
    program.laps[spot] = laps
    in_name = stood(program, spot)
    for lit in in_name:
        add_stood(program, spot, lit)
    for periods, lit in enumerate(laps):
        lifted = program.lift[going] + periods * program.period
        model.add(lifted >= ready).only_enforce_if(lit, *(~each for each in in_name))
        if stop.stay_max_steps is not None and not stop.stay_since:
            model.add(lifted <= placed + stop.stay_max_steps).only_enforce_if(lit, *kept(program, spot))


def add_long_stay(program: Program, spot: Spot) -> None:
    """A limited stay in a machine and its own buffers: from the set-down in the first to the lift from the last."""
    stop, model = stop_of(program, spot), program.model
    if stop.stay_max_steps is not None and stop.stay_since:
        stay, first = whole_stay(program, spot)
        longest = stop.stay_max_steps + measured(program, first, "set", "hold")
        model.add(stay <= longest).only_enforce_if(*kept(program, spot))


def whole_stay(program: Program, spot: Spot) -> tuple[Whole, int]:
    """From the beginning of a set-down to that of the lift at which a limited stay ends, and the move that sets down.

    Between a machine and its buffers parts move in no time.
    """
    part, job, step = spot
    total: Whole = 0
    first = step - stop_of(program, spot).stay_since
    for each in range(first, step + 1):
        coming, going = program.jobs.stays[part, job, each]
        laps = program.laps[part, job, each]
        stay = program.model.new_int_var(0, (len(laps) + 1) * program.longest, "")
        for periods, lit in enumerate(laps):
            lifted = program.lift[going] + periods * program.period
            program.model.add(stay == lifted - program.set_down[coming]).only_enforce_if(lit)
        total += stay
    return total, program.jobs.stays[part, job, first][0]


def kept(program: Program, spot: Spot) -> list[Literal]:
    """What a window hangs on: nothing, or the assumption that it is kept."""
    lit = program.terms.get(f"window {spot[0]} {spot[2]}")
    return [] if lit is None else [lit]


def most_laps(program: Program, stop: Stop) -> int:
    """How many ends of periods a stay may reach over: as many as parts find room, or as its process needs."""
    rooms = [program.view.slots[name] for name in stop.stations]
    needed = ceil(max(stop.times_steps, default=0) / max(1, program.least)) + 1
    endless = needed + any(name in program.view.loads for name in stop.stations)  # one more until a load is complete
    return min(MOST_LAPS, max(endless if room is None else min(room, needed + room) for room in rooms))


def swaps_of(program: Program, station: str, first: Spot, then: Spot) -> list[Literal]:
    """The exchanges at a station that lift one part and set down the other."""
    lifting, setting = program.jobs.stays[first][1], program.jobs.stays[then][0]
    return [lit for key, lit in program.swaps.items() if key[1:] == (station, lifting, setting)]


def cleared(program: Program, lifting: int, setting: int) -> Whole:
    """From the beginning of a lift to the earliest beginning of the next set-down."""
    lifted = measured(program, lifting, "lift", "hold") + measured(program, lifting, "lift", "tail")
    return lifted + measured(program, setting, "set", "lead")


def add_turns(program: Program, station: str, here: Mapping[Spot, Literal]) -> None:
    """One part at a time: the stays at a station follow each other round the period."""
    model: Any = program.model
    spots = list(here)
    first, last = ([program.flag() for _ in spots] for _ in range(2))
    idle = program.flag()
    arcs = [(0, 0, idle)]
    for number, spot in enumerate(spots):
        arcs += [(0, number + 1, first[number]), (number + 1, 0, last[number]), (number + 1, number + 1, ~here[spot])]
        model.add_implication(idle, ~here[spot])
    meets: dict[tuple[int, int], list[Literal]] = {}
    for a, b in product(range(len(spots)), repeat=2):
        closes = program.flag()
        model.add_bool_or(~first[b], ~last[a], closes)
        model.add_implication(closes, first[b])
        model.add_implication(closes, last[a])
        meets[a, b] = [closes]
        add_turn(program, station, (spots[a], spots[b]), closes, laps=1)
        if a != b:
            follows = program.flag()
            arcs.append((a + 1, b + 1, follows))
            meets[a, b].append(follows)
            add_turn(program, station, (spots[a], spots[b]), follows, laps=0)
        for swap in swaps_of(program, station, spots[a], spots[b]):
            model.add_bool_or(~swap, *meets[a, b])
    model.add_circuit(arcs)


def add_turn(program: Program, station: str, pair: tuple[Spot, Spot], when: Literal, *, laps: int) -> None:
    """The second part is set down when the first has gone, in the same period or (`laps` 1) the next."""
    first, then = pair
    model = program.model
    lift, down = program.lift[program.jobs.stays[first][1]], program.set_down[program.jobs.stays[then][0]]
    swaps = swaps_of(program, station, first, then)
    clear = cleared(program, program.jobs.stays[first][1], program.jobs.stays[then][0])
    for periods, lit in enumerate(program.laps[first]):
        if periods > laps:
            model.add_bool_or(~when, ~lit)
            continue
        earliest = lift + (periods - laps) * program.period + clear
        model.add(down >= earliest).only_enforce_if(when, lit, *(~swap for swap in swaps))
        if periods == laps:
            ends: tuple[Key, Key] = (("lift", program.jobs.stays[first][1]), ("set", program.jobs.stays[then][0]))
            if ends[0][1] != ends[1][1]:  # a part that stands where it is comes and goes in one
                program.before.append((*ends, [when, lit]))
            continue
        for swap in swaps:
            model.add_bool_or(~swap, ~when, ~lit)


def add_room(program: Program, station: str, here: Mapping[Spot, Literal], room: int) -> None:
    """Several slots: whenever a part is set down, no more lie there than there is room for, itself included."""
    model = program.model
    for then, there in here.items():
        held: Whole = 0
        for first, here_too in here.items():
            came = program.flag() if first != then else program.model.new_constant(1)
            if first != then:
                add_came(program, (first, then), came, [here_too, there])
            ends = leaving(program, first, station), program.jobs.stays[then][0]
            gone, late = add_gone(program, *ends), add_late(program, *ends)
            lying = model.new_int_var(-1, MOST_LAPS + 1, "")
            laps = sum(periods * lit for periods, lit in enumerate(program.laps[first]))
            model.add(lying >= laps + came + late - gone).only_enforce_if(here_too)
            model.add(lying >= 0).only_enforce_if(~here_too)
            held += lying
        model.add(held <= room).only_enforce_if(there)


def add_came(program: Program, pair: tuple[Spot, Spot], came: Literal, both: list[Literal]) -> None:
    """`came`: the first part was set down no later in the period than the second."""
    one, other = (program.set_down[program.jobs.stays[spot][0]] for spot in pair)
    program.model.add(one >= other).only_enforce_if(~came, *both)
    downs: list[Key] = [("set", program.jobs.stays[spot][0]) for spot in pair]
    program.before.append((downs[1], downs[0], [~came, *both]))
    name = f"came {pair[1]} {pair[0]}"
    if name in program.terms:
        program.model.add_bool_or(came, program.terms[name])
    program.terms[f"came {pair[0]} {pair[1]}"] = came


def add_gone(program: Program, lifting: int, setting: int) -> Literal:
    """The first part has been lifted in this period, and the slot is clear, when the second is set down."""
    model = program.model
    lift, down = program.lift[lifting], program.set_down[setting]
    swaps = [lit for key, lit in program.swaps.items() if key[2:] == (lifting, setting)]
    gone = program.flag()
    model.add(down >= lift + cleared(program, lifting, setting)).only_enforce_if(gone, *(~swap for swap in swaps))
    for swap in swaps:
        model.add_implication(swap, gone)
    program.before.append((("lift", lifting), ("set", setting), [gone]))
    return gone


def add_late(program: Program, lifting: int, setting: int) -> Literal:
    """The first part's lift began in the period before, and its slot is not clear yet when the second is set down."""
    late = program.flag()
    clear = program.lift[lifting] + cleared(program, lifting, setting)
    program.model.add(program.set_down[setting] + program.period >= clear).only_enforce_if(~late)
    return late


def add_gate(program: Program, station: str) -> None:
    """A gate gives and takes endlessly, but each lift keeps its turnaround after the last part set down before it."""
    model = program.model
    for setting in (m for m in program.jobs.moves if m.goal not in program.jobs.stays):
        for lifting in (m for m in program.jobs.moves if m.step == 0):
            here = (program.places(setting.number, station=station), program.picks(lifting.number, station=station))
            if not all(here):
                continue
            both = [program.some(each) for each in here]
            down, lift = program.set_down[setting.number], program.lift[lifting.number]
            ready = down + turned(program, setting.number, lifting.number, station)
            first = program.flag()
            model.add(lift >= ready).only_enforce_if(*both, first)
            model.add(down >= lift).only_enforce_if(*both, ~first)
            model.add(lift + program.period >= ready).only_enforce_if(*both, ~first)
            ends: tuple[Key, Key] = (("set", setting.number), ("lift", lifting.number))
            program.before.append((ends[0], ends[1], [*both, first]))
            program.before.append((ends[1], ends[0], [*both, ~first]))


def turned(program: Program, setting: int, lifting: int, station: str) -> Whole:
    """From the beginning of a set-down at a gate to the next lift: hold, turnaround or tail, lead."""
    turnaround = program.view.turnaround_steps[station]
    least = program.model.new_int_var(turnaround, turnaround + program.longest, "")
    program.model.add(least >= measured(program, setting, "set", "tail"))
    return measured(program, setting, "set", "hold") + least + measured(program, lifting, "lift", "lead")


def add_alike(program: Program) -> None:
    """Parts of one type that may be at the same places enter the cell in the order of their numbers."""
    moves = program.jobs.moves
    before: dict[tuple[Any, ...], int] = {}
    for move in (move for move in moves if move.step == 0):
        mine = [each for each in moves if (each.part, each.job) == (move.part, move.job)]
        alike = (move.part, *(each.options for each in mine))
        if alike in before:
            program.model.add(program.lift[before[alike]] <= program.lift[move.number])
        before[alike] = move.number
