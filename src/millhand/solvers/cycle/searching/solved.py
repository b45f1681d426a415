"""From a solution of the program to the tour that it stands for."""

from dataclasses import replace
from typing import Any

from millhand.solvers.cycle.searching.jobs import NOBODY, Move
from millhand.solvers.cycle.searching.program import KEYS, Key, Program, values_of
from millhand.solvers.cycle.searching.standing_loads import stands
from millhand.solvers.cycle.tours.tour import Group, Stay


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
        made["set", move.number] = in_load(program, solver, move, move.place(option.who, option.goal))
        at["lift", move.number] = solver.value(program.lift[move.number])
        at["set", move.number] = solver.value(program.set_down[move.number])
    for number, (starts, choices) in enumerate(program.duties):
        name, (who,) = program.jobs.duties[number], values_of(solver, choices)
        made["duty", number] = Stay(who=who, kind="duty", station=name, part=name, step=0)
        at["duty", number] = solver.value(starts)
    merged: dict[Key, Key] = {}
    for who, station, lifting, setting in values_of(solver, program.swaps):
        down = program.jobs.moves[setting]
        swap = program.jobs.moves[lifting].pick(who, station, "swap")
        made["set", setting] = in_load(program, solver, down, replace(swap, sets=(down.part, down.step + 1)))
        del made["lift", lifting]
        merged["lift", lifting] = ("set", setting)
    lifts = {("set", number): made.pop(("lift", number)) for number in by_itself(program, solver)}
    merged |= {("lift", number): (what, number) for what, number in lifts}
    before = {(merged.get(x, x), merged.get(y, y)) for x, y in befores(program, solver)}
    found: list[tuple[Stay, int]] = []
    for key in in_turn(made, at, before):
        if key in lifts and stands(program, program.jobs.moves[key[1]].goal, made[key].station):
            continue
        found += [(lifts[key], at[key])] if key in lifts else []
        found.append((made[key], at[key]))
    return found


def by_itself(program: Program, solver: Any) -> list[int]:
    """The moves of parts that move by themselves: nothing comes between their lift and their set-down."""
    chosen = ((move.number, values_of(solver, program.chosen[move.number])) for move in program.jobs.moves)
    return [number for number, (option,) in chosen if option.who == NOBODY]


def in_load(program: Program, solver: Any, move: Move, visit: Stay) -> Stay:
    """A set-down with its place in the load, where loads are of several parts."""
    place = program.terms.get(f"place in the load {visit.station} {move.goal}")
    return visit if place is None else replace(visit, slot=solver.value(place))


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
    found = {(x, y) for x, y, lits in program.before if all(solver.boolean_value(lit) for lit in lits)}
    for legs in program.legs.values():
        for leg in legs:
            if solver.boolean_value(leg.gone):
                before, after = KEYS[leg.before.leaves.kind], KEYS[leg.after.arrives.kind]
                found.add(((before, leg.before.move), (after, leg.after.move)))
    for spot, (coming, going) in program.jobs.stays.items():
        ends = (("set", coming), ("lift", going))
        (option,) = values_of(solver, program.chosen[coming])
        if solver.boolean_value(program.laps[spot][0]):
            found.add(ends)
        elif program.view.slots[option.goal] == 1 and ends not in found:  # with more room the two need not wait
            found.add(ends[::-1])
    for move in program.jobs.moves:
        if not solver.boolean_value(program.over[move.number]):
            found.add((("lift", move.number), ("set", move.number)))
        else:
            found |= {(("set", move.number), ("lift", other)) for other in same_hand(program, solver, move.number)}
    return found


def same_hand(program: Program, solver: Any, number: int) -> list[int]:
    """All moves of the only hand that makes this one; none where it has several."""
    who = [values_of(solver, options)[0].who for options in program.chosen]
    mover = program.view.movers.get(who[number])
    return [other for other, name in enumerate(who) if mover is not None and mover.hands == 1 and name == mover.id]


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
