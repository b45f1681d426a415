"""From a solution of the program to the tour that it stands for."""

from typing import Any

from millhand.solvers.cycle.program import Program, values_of
from millhand.solvers.cycle.tour import Stay


def tour_of(program: Program, solver: Any) -> tuple[Stay, ...]:
    """The visits of one period in the order of time; at one moment in the order of attendants and stations."""
    made: dict[tuple[str, int], Stay] = {}
    at: dict[tuple[str, int], int] = {}
    for move in program.jobs.moves:
        (option,) = values_of(solver, program.chosen[move.number])
        made["lift", move.number] = move.pick(option.who, option.start)
        made["set", move.number] = move.place(option.who, option.goal)
        at["lift", move.number] = solver.value(program.lift[move.number])
        at["set", move.number] = solver.value(program.set_down[move.number])
    before = befores(program, solver)
    for who, station, lifting, setting in values_of(solver, program.swaps):
        made["set", setting] = program.jobs.moves[setting].place(who, station, "swap")
        del made["lift", lifting]
        before = {(x if x != ("lift", lifting) else ("set", setting), y if y != ("lift", lifting) else ("set", setting)) for x, y in before}
    return tuple(made[key] for key in in_turn(made, at, before))


Key = tuple[str, int]


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
        laps = program.laps[spot]
        if solver.boolean_value(laps[0]):
            found.add((("set", coming), ("lift", going)))
        elif program.set_down[coming] is not None:
            found.add((("lift", going), ("set", coming)))
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
            if at[key] == now
            and not any(y == key and x != key and x in left and at[x] == now for x, y in before)
        ]
        chosen = (ready or left)[0]
        found.append(chosen)
        left.remove(chosen)
    return found
