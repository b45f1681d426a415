"""Small random cells with lots, in their file form, for tests of the shortest makespan; whole seconds throughout."""

import random
from typing import Any

Form = dict[str, Any]
PLACES = ["in", "a", "b", "out"]


def table(dice: random.Random, most: int) -> list[list[int]]:
    """Ways between all places, each direction with its own time."""
    return [[0 if one == other else dice.randint(1, most) for other in PLACES] for one in PLACES]


def visit(dice: random.Random, most: int) -> Form:
    """A hold, now and then with a lead or a tail."""
    made: Form = {"hold_s": dice.randint(1, most)}
    if dice.random() < 0.2:
        made |= {"lead_s": dice.randint(1, 4), "lead_on": dice.choice(["arrival", "finish"])}
    if dice.random() < 0.3:
        made["tail_s"] = dice.randint(1, 4)
    return made


def plain_cell(dice: random.Random, *, hands: int = 1, arms: int = 1) -> Form:
    """One or two machines, one or two part types, two or three parts, and arms that may do everything."""
    names = [f"arm{number + 1}" for number in range(arms)]
    row: Form = {"who": names, "at": ["m1", "m2"], "pick": visit(dice, 6), "place": visit(dice, 6)}
    if hands > 1:
        row["swap"] = visit(dice, 9)
    form: Form = {
        "format": "millhand-cell/1",
        "name": "small lots",
        "grid_s": 1,
        "goal": "makespan",
        "places": {place: {} for place in PLACES},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "a"},
            "m2": {"kind": "process", "place": "b"},
            "done": {"kind": "sink", "place": "out", "capacity": None},
        },
        "attendants": {
            name: {
                "kind": "arm",
                "hands": hands,
                "home": dice.choice(PLACES),
                "moves": "ways",
                "turn_s": dice.choice([0, 2]),
            }
            for name in names
        },
        "moves": {"ways": {"places": PLACES, "empty_s": table(dice, 9)}},
        "handling": [
            {"who": names, "at": ["raw"], "pick": {"hold_s": dice.randint(1, 4)}},
            {"who": names, "at": ["done"], "place": {"hold_s": dice.randint(1, 4)}},
            row,
        ],
        "parts": {},
    }
    if dice.random() < 0.5:
        form["moves"]["ways"]["loaded_s"] = table(dice, 12)
    return form


def route(dice: random.Random, shape: str) -> list[Form]:
    """Both machines one after the other, either of them, or one of them only."""
    times = [dice.randint(0, 40) for _ in range(2)]
    inner = {
        "row": [{"at": ["m1"], "time_s": times[0]}, {"at": ["m2"], "time_s": times[1]}],
        "back": [{"at": ["m2"], "time_s": times[1]}, {"at": ["m1"], "time_s": times[0]}],
        "either": [{"at": ["m1", "m2"], "time_s": {"m1": times[0], "m2": times[1]}}],
        "first": [{"at": ["m1"], "time_s": times[0]}],
    }[shape]
    return [{"at": ["raw"]}, *inner, {"at": ["done"]}]


def small_lots(seed: int, *, hands: int = 1, arms: int = 1, most: int = 3) -> Form:
    """A random cell; the same for the same seed."""
    dice = random.Random(f"{seed} {hands} {arms}")
    form = plain_cell(dice, hands=hands, arms=arms)
    count = dice.randint(2, most)
    sizes = [count] if dice.random() < 0.4 else [1, count - 1]
    for number, size in enumerate(sizes):
        shape = dice.choice(["row", "either", "first", "row"] if number == 0 else ["row", "either", "first", "back"])
        form["parts"][f"part{number + 1}"] = {"lot": {"size": size}, "route": route(dice, shape)}
    return form


def with_windows(form: Form, seed: int) -> Form:
    """The same cell; stays at the machines must not be much longer than the work."""
    dice = random.Random(f"windows {seed}")
    for part in form["parts"].values():
        for step in part["route"][1:-1]:
            longest = step["time_s"] if isinstance(step["time_s"], int) else max(step["time_s"].values())
            step["stay_max_s"] = longest + dice.randint(0, 15)
    return form
