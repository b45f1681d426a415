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


def rich_lots(seed: int) -> Form:
    """A small random cell with one of what stations and people can do besides: loads of two, own buffers, slots, a
    store, a gate, parts that move by themselves, an attended machine, a changeover, two supplies."""
    dice = random.Random(f"rich {seed}")
    form = small_lots(seed, hands=dice.choice([1, 1, 2]), arms=dice.choice([1, 1, 2]), most=4)
    change = [two_in_a_load, own_buffers, two_slots, a_store, a_gate, by_itself, attended, a_set_up, two_supplies]
    change[seed % len(change)](form, dice)
    return form


def two_in_a_load(form: Form, dice: random.Random) -> None:
    """The first machine works on two parts at once, the lots are even."""
    form["stations"]["m1"]["batch"] = 2
    for part in form["parts"].values():
        part["lot"]["size"] = 2
        part["route"] = [step for step in part["route"] if step["at"] != ["m1", "m2"]]
        if len(part["route"]) == 2:
            part["route"].insert(1, {"at": ["m1"], "time_s": dice.randint(5, 40)})


def several_in_one(seed: int) -> Form:
    """A small random cell whose first machine has loads of two with buffers of its own and perhaps two slots, or two
    slots with buffers."""
    dice = random.Random(f"several {seed}")
    form = rich_lots(9 * seed + seed % 2)  # loads of two, or own buffers at both machines
    machine = form["stations"]["m1"]
    if machine.get("batch", 1) > 1:
        machine |= {"in_queue": dice.choice([1, 2]), "out_queue": dice.choice([0, 1, None])}
    machine["capacity"] = dice.choice([1, 2]) if machine.get("batch", 1) > 1 else 2
    return form


def own_buffers(form: Form, dice: random.Random) -> None:
    """Room before or behind a machine, or both."""
    for name in ("m1", "m2"):
        form["stations"][name] |= {"in_queue": 1, "out_queue": 1}
    if dice.random() < 0.5:
        for name in ("m1", "m2"):
            form["stations"][name] |= {"in_queue": dice.choice([2, None]), "out_queue": 2}


def two_slots(form: Form, dice: random.Random) -> None:
    """The first machine has room for two loads."""
    form["stations"]["m1"]["capacity"] = dice.choice([2, 3])


def a_store(form: Form, dice: random.Random) -> None:
    """A store between the machines of a row, or before the outfeed."""
    names = list(form["attendants"])
    form["stations"]["shelf"] = {"kind": "store", "place": dice.choice(PLACES), "capacity": dice.choice([1, 2, None])}
    form["handling"].append({"who": names, "at": ["shelf"], "pick": {"hold_s": 2}, "place": {"hold_s": 3}})
    for part in form["parts"].values():
        part["route"].insert(2, {"at": ["shelf"]})


def a_gate(form: Form, dice: random.Random) -> None:
    """Parts come and go at one spot."""
    del form["stations"]["raw"], form["stations"]["done"]
    form["stations"]["gate"] = {"kind": "gate", "place": "in", "turnaround_s": dice.choice([0, 15])}
    names = list(form["attendants"])
    form["handling"] = form["handling"][2:]
    form["handling"].append({"who": names, "at": ["gate"], "pick": {"hold_s": 2}, "place": {"hold_s": 3}})
    for part in form["parts"].values():
        part["route"] = [{"at": ["gate"]}, *part["route"][1:-1], {"at": ["gate"]}]


def by_itself(form: Form, dice: random.Random) -> None:
    """The second machine puts its parts out, or takes them in, by itself."""
    form["stations"]["m2"][dice.choice(["self_in", "self_out"])] = True


def attended(form: Form, dice: random.Random) -> None:
    """Somebody stays at the first machine through its work."""
    form["stations"]["m1"]["attended"] = True
    for row in form["handling"]:
        row.pop("swap", None)


def a_set_up(form: Form, dice: random.Random) -> None:
    """Two part types of two families, and a person or the arm changes machines over."""
    types = list(form["parts"].values())
    if len(types) == 1:
        form["parts"]["other"] = {"lot": {"size": 2}, "route": [dict(step) for step in types[0]["route"]]}
    for number, part in enumerate(form["parts"].values()):
        for step in part["route"][1:-1]:
            step["family"] = f"family{number + 1}"
    form["changeovers"] = [
        {"at": ["m1", "m2"], "from": "family1", "to": "family2", "duty": "set_up"},
        {"at": ["m1"], "from": "family2", "to": "family1", "duty": "set_up"},
    ]
    who = dice.choice(["person", "arm1"])
    duty = {"trigger": {"kind": "changeover"}, "who": [who], "takes": dice.randint(5, 30), "holds": "station"}
    form["duties"] = {"set_up": duty | ({"place": "in"} if dice.random() < 0.5 else {})}
    if who == "person":
        form["attendants"]["person"] = {
            "kind": "operator",
            "home": "out",
            "moves": "ways",
            "take_from": [],
            "put_to": [],
        }


def two_supplies(form: Form, dice: random.Random) -> None:
    """The second part type comes from a supply of its own."""
    form["stations"]["raw2"] = {"kind": "supply", "place": dice.choice(["in", "out"]), "capacity": None}
    form["handling"][0]["at"].append("raw2")
    list(form["parts"].values())[-1]["route"][0] = {"at": ["raw2"]}


def lots_in_a_row(seed: int, *, hands: int = 1) -> Form:
    """Two part types of one supply, three parts or four in all, through two or three machines in a row; one arm."""
    dice = random.Random(f"row {seed}")
    form = plain_cell(dice, hands=hands)
    names = [f"m{number + 1}" for number in range(dice.choice([2, 2, 3]))]
    if len(names) == 3:
        form["stations"]["m3"] = {"kind": "process", "place": dice.choice(["a", "b"])}
        form["handling"][2]["at"] = names
    few = len(names) == 3 or hands > 1
    for number, size in enumerate(dice.choice([(2, 1), (1, 2)] if few else [(2, 2), (3, 1), (1, 3)])):
        steps = [{"at": [name], "time_s": dice.choice([0, *(dice.randint(5, 60) for _ in range(4))])} for name in names]
        form["parts"][f"part{number + 1}"] = {
            "lot": {"size": size},
            "route": [{"at": ["raw"]}, *steps, {"at": ["done"]}],
        }
    return form
