"""Hoists over tanks, one part a period, with moves that never wait: a second way to the least period.

A program of its own, over whole moves and not over visits: two moves of one hoist lie its empty way apart, two moves
of two hoists so that neither comes too near the other on its way, before it or after it, whatever lies between. It
reads a cell file as it is written and shares nothing with the solvers.
"""

from itertools import pairwise, permutations
from typing import Any

FAR = 600


def least_period(form: dict[str, Any]) -> int | None:
    """The least period in whole seconds; None where no cycle keeps the windows."""
    from ortools.sat.python.cp_model import CpModel, CpSolver

    moves, route = moves_of(form), next(iter(form["parts"].values()))["route"]
    model = CpModel()
    period = model.new_int_var(1, FAR, "")
    at = [model.new_int_var(0, FAR, "") for _ in moves]
    right = [model.new_bool_var("") for _ in moves]
    model.add(at[0] == 0)
    for start in at:
        model.add(start < period)
    for one, other in permutations(range(len(moves)), 2):
        same = moves[one][2] + way(form, moves[one][1], moves[other][0])
        back = moves[other][2] + way(form, moves[other][1], moves[one][0])
        near = [by for by in range(-FAR // 4, FAR // 4) if too_near(form, moves[one], moves[other], by)]
        pairs = [([right[one], right[other]], same, back), ([~right[one], ~right[other]], same, back)]
        if near:  # the one by the left hoist, the other by the right one: it begins before all of these or after
            pairs.append(([~right[one], right[other]], near[-1] + 1, 1 - near[0]))
        then = model.new_bool_var("")
        for who, after, before in pairs:
            gone = at[other] - at[one]
            model.add(gone >= after).only_enforce_if(*who, then)
            model.add(gone <= period - before).only_enforce_if(*who, then)
            model.add(gone + period >= after).only_enforce_if(*who, ~then)
            model.add(gone <= -before).only_enforce_if(*who, ~then)
    for step in range(1, len(moves)):
        laps = [model.new_bool_var("") for _ in range(3)]
        model.add_exactly_one(laps)
        stay = model.new_int_var(route[step]["time_s"], route[step].get("stay_max_s") or FAR, "")
        model.add(stay < period)
        for number, lap in enumerate(laps):
            model.add(stay == at[step] - at[step - 1] - moves[step - 1][2] + number * period).only_enforce_if(lap)
    model.minimize(period)
    solver = CpSolver()
    solver.parameters.num_workers = 1
    return int(solver.value(period)) if solver.status_name(solver.solve(model)) == "OPTIMAL" else None


def moves_of(form: dict[str, Any]) -> list[tuple[str, str, int]]:
    """From where, to where, how long."""
    route = next(iter(form["parts"].values()))["route"]
    places = [form["stations"][step["at"][0]]["place"] for step in route]
    loaded = form["moves"]["rail"]["loaded_s"]
    return [(a, b, loaded[f"{a} {b}"]) for a, b in pairwise(places)]


def way(form: dict[str, Any], start: str, goal: str) -> int:
    """The empty way."""
    table = form["moves"]["rail"]
    return int(table["empty_s"][table["places"].index(start)][table["places"].index(goal)])


def too_near(form: dict[str, Any], low: tuple[str, str, int], high: tuple[str, str, int], by: int) -> bool:
    """Whether a move of the right hoist that begins so many seconds after one of the left hoist is too near to it."""
    here, there = (line_of(form, move) for move in (low, high))
    keep = form["tracks"]["rail"]["keep_m"]
    if by >= low[2]:
        return here(low[2]) + keep - there(0) > (by - low[2]) / slowness(form) + 1e-9
    if by + high[2] <= 0:
        return here(0) + keep - there(high[2]) > (-by - high[2]) / slowness(form) + 1e-9
    both = (max(0, by), min(low[2], by + high[2]))
    return any(here(time) + keep > there(time - by) + 1e-9 for time in both)


def slowness(form: dict[str, Any]) -> float:
    """Seconds for a metre, empty: the same everywhere."""
    table, places = form["moves"]["rail"], form["places"]
    first, *_, last = table["places"]
    return float(table["empty_s"][0][-1] / abs(places[last]["track_m"] - places[first]["track_m"]))


def line_of(form: dict[str, Any], move: tuple[str, str, int]) -> Any:
    """Where a hoist is so long after its move began."""
    start, goal = (form["places"][place]["track_m"] for place in move[:2])
    return lambda time: start + (goal - start) * time / move[2]
