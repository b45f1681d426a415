"""From a solution of the program to the tour that it stands for."""

from dataclasses import replace
from typing import Any

from millhand.solvers.cycle.program import Program, values_of
from millhand.solvers.cycle.tour import Group, Stay

Key = tuple[str, int]  # 'lift' or 'set', number of the move


def tour_of(program: Program, solver: Any) -> tuple[Stay, ...]:
    """The visits of one period in the order of time; at one moment in the order of attendants and stations."""
    return tuple(stay for stay, _ in timed_tour(program, solver))


def timed_tour(program: Program, solver: Any) -> list[tuple[Stay, int]]:
    """The same with the time at which each visit begins."""
    made: dict[Key, Stay] = {}
    at: dict[Key, int] = {}
    for move in program.jobs.moves:
        (option,) = values_of(solver, program.chosen[move.number])
        made["lift", move.number] = move.pick(option.who, option.start)
        made["set", move.number] = move.place(option.who, option.goal)
        at["lift", move.number] = solver.value(program.lift[move.number])
        at["set", move.number] = solver.value(program.set_down[move.number])
    merged: dict[Key, Key] = {}
    for who, station, lifting, setting in values_of(solver, program.swaps):
        down = program.jobs.moves[setting]
        swap = program.jobs.moves[lifting].pick(who, station, "swap")
        made["set", setting] = replace(swap, sets=(down.part, down.step + 1))
        del made["lift", lifting]
        merged["lift", lifting] = ("set", setting)
    before = {(merged.get(x, x), merged.get(y, y)) for x, y in befores(program, solver)}
    return [(made[key], at[key]) for key in in_turn(made, at, before)]


def inside_of(program: Program, solver: Any) -> dict[str, dict[Group, int]]:
    """How many parts lie at each station when the period begins."""
    found: dict[str, dict[Group, int]] = {}
    for spot, (coming, _) in program.jobs.stays.items():
        (option,) = values_of(solver, program.chosen[coming])
        here = found.setdefault(option.goal, {})
        laps = next(periods for periods, lit in enumerate(program.laps[spot]) if solver.boolean_value(lit))
        here[spot[0], spot[2]] = here.get((spot[0], spot[2]), 0) + laps
    return found


def befores(program: Program, solver: Any) -> set[tuple[Key, Key]]:
    """Which visit comes before which within the period."""
    found: set[tuple[Key, Key]] = set()
    for legs in program.legs.values():
        for leg in legs:
            if solver.boolean_value(leg.gone):
                leaves = "set" if leg.before.leaves.kind == "place" else "lift"
                arrives = "lift" if leg.after.arrives.kind == "pick" else "set"
                found.add(((leaves, leg.before.move), (arrives, leg.after.move)))
    for spot, (coming, going) in program.jobs.stays.items():
        ends = (("set", coming), ("lift", going))
        if solver.boolean_value(program.laps[spot][0]):
            found.add(ends)
        elif ends not in found:  # with room for more parts one hand may set down and then lift at one moment
            found.add(ends[::-1])
    for move in program.jobs.moves:
        if not solver.boolean_value(program.over[move.number]):
            found.add((("lift", move.number), ("set", move.number)))
    return found


def in_turn(made: dict[Key, Stay], at: dict[Key, int], before: set[tuple[Key, Key]]) -> list[Key]:
    """All visits by time, at one moment those first that have to be."""
    found: list[Key] = []
    left = sorted(made, key=lambda key: (at[key], key))
    while left:
        now = at[left[0]]
        ready = [
            key
            for key in left
            if at[key] == now and not any(y == key and x != key and x in left and at[x] == now for x, y in before)
        ]
        chosen = (ready or left)[0]
        found.append(chosen)
        left.remove(chosen)
    return found
