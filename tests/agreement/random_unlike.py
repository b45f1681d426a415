"""Random cells with a choice between machines of which some have a buffer of their own where others have none."""

from random import Random

from tests.small_lots import a_set_up, small_lots, with_windows
from tests.solvers.kernel.shop import Form, arm_cell

QUEUES = [(0, 0), (1, 0), (0, 1), (1, 1), (2, 0), (0, None)]


def unlike_form(number: int) -> Form:
    """The random cell of this number: an arm with one gripper or two, two machines side by side or three, perhaps some
    with two slots, perhaps a limited stay, perhaps one of them a second time; nothing is left to chance."""
    dice = Random(f"unlike {number}")
    form = arm_cell(dice.choice([2, 2, 3]), hands=dice.choice([1, 1, 2]), way_s=dice.choice([1, 4, 4]))
    machine = form["handling"][2]
    for kind in ("pick", "place"):
        machine[kind] = {"hold_s": dice.randint(1, 9), "lead_s": dice.choice([0, 0, 2]), "tail_s": dice.choice([0, 3])}
    if "swap" in machine:
        machine["swap"] |= {"lead_s": dice.choice([0, 2]), "lead_on": dice.choice(["arrival", "finish"])}
        form["attendants"]["arm"]["turn_s"] = dice.choice([0, 2])
    give_buffers(form, dice)
    names = form["handling"][2]["at"]
    step = {"at": names, "time_s": {name: dice.randint(0, 120) for name in names}}
    if dice.random() < 0.25:
        step["stay_max_s"] = max(step["time_s"].values()) + dice.randint(0, 60)
    route = [{"at": ["raw"]}, step, {"at": ["done"]}]
    if dice.random() < 0.2:
        route.insert(2, {"at": [names[-1]], "time_s": dice.randint(0, 30)})
    form["parts"]["part"]["route"] = route
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def give_buffers(form: Form, dice: Random) -> None:
    """Each machine its buffers, not all the same, and to some a second slot."""
    names = form["handling"][2]["at"]
    queues = [dice.choice(QUEUES) for _ in names]
    while len({(before != 0, behind != 0) for before, behind in queues}) == 1:
        queues = [dice.choice(QUEUES) for _ in names]
    for name, (before, behind) in zip(names, queues, strict=True):
        form["stations"][name] |= {"in_queue": before, "out_queue": behind}
    if dice.random() < 0.25:
        form["stations"][dice.choice(names)]["capacity"] = 2


def unlike_loads(number: int) -> Form:
    """A machine with loads of several parts beside one with fewer own buffers, or with others of them, and perhaps with
    loads as well; one gripper or two, nothing is left to chance."""
    dice = Random(f"unlike loads {number}")
    form = arm_cell(2, hands=dice.choice([1, 1, 1, 2]), way_s=dice.choice([1, 3, 4]))
    queues = dice.choice([((2, 0), (0, 1)), ((0, 2), (1, 0)), ((2, 1), (1, 0)), ((2, 2), (0, 0)), ((1, 0), (0, 0))])
    loads = (2, 2 if len(queues[1]) - queues[1].count(0) == len(queues[0]) - queues[0].count(0) else 1)
    for name, (before, behind), batch in zip(("m1", "m2"), queues, loads, strict=True):
        form["stations"][name] |= {"in_queue": before, "out_queue": behind, "batch": dice.choice([1, batch])}
    form["stations"]["m1"]["batch"] = 2
    form["handling"][2]["place"]["tail_s"] = dice.choice([0, 2, 6])
    form["handling"][2]["pick"]["lead_s"] = dice.choice([0, 1])
    form["parts"]["part"]["route"][1]["time_s"] = {"m1": dice.randint(0, 120), "m2": dice.randint(0, 60)}
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def standing_loads(number: int) -> Form:
    """A machine with loads of two that has fewer own buffers than the one beside it, which may have loads as well; one
    gripper or two, perhaps a limited stay; nothing is left to chance."""
    dice = Random(f"standing loads {number}")
    form = arm_cell(2, hands=dice.choice([1, 1, 1, 2]), way_s=dice.choice([1, 3, 4]))
    queues = dice.choice([((0, 0), (1, 0)), ((0, 0), (0, 1)), ((0, 0), (2, 2)), ((1, 0), (1, 1)), ((0, 2), (1, 1))])
    for name, (before, behind), batch in zip(("m1", "m2"), queues, (2, dice.choice([1, 1, 2])), strict=True):
        form["stations"][name] |= {"in_queue": before, "out_queue": behind, "batch": batch}
    handle_the_machines(form, dice)
    form["handling"][2]["pick"]["lead_s"] = dice.choice([0, 1])
    if dice.random() < 0.2:
        form["parts"]["part"]["route"][1]["stay_max_s"] = 150 + dice.randint(0, 100)
    return form


def choice_of_two(number: int) -> Form:
    """A machine with loads of two and no buffer beside one with a buffer of its own, one gripper."""
    dice = Random(f"choice {number}")
    form = arm_cell(2, way_s=dice.choice([1, 3, 4]))
    before, behind = dice.choice([(1, 0), (0, 1), (1, 1)])
    form["stations"]["m1"]["batch"] = 2
    form["stations"]["m2"] |= {"in_queue": before, "out_queue": behind}
    handle_the_machines(form, dice)
    return form


def handle_the_machines(form: Form, dice: Random) -> None:
    """Times at two machines, followed by the schedule."""
    machine = form["handling"][2]
    for kind in ("pick", "place"):
        machine[kind] = {"hold_s": dice.randint(1, 9), "tail_s": dice.choice([0, 3])}
    form["parts"]["part"]["route"][1]["time_s"] = {"m1": dice.randint(0, 120), "m2": dice.randint(0, 60)}
    form["dispatch"] = {"arm": {"rule": "cycle"}}


def unlike_lots(number: int) -> Form:
    """A small random cell for lots whose two machines have not the same buffers, with a choice between them, and with
    changeovers or limited stays in some."""
    dice = Random(f"unlike lots {number}")
    form = small_lots(number, hands=dice.choice([1, 1, 2]), arms=dice.choice([1, 1, 2]))
    times = {name: dice.randint(5, 40) for name in ("m1", "m2")}
    form["parts"]["part1"]["route"] = [{"at": ["raw"]}, {"at": ["m1", "m2"], "time_s": times}, {"at": ["done"]}]
    unlike_queues(form, dice)
    if dice.random() < 0.3:
        form["stations"][dice.choice(["m1", "m2"])]["capacity"] = 2
    more = dice.choice(["nothing", "nothing", "changeover", "stay"])
    if more == "changeover" and len(form["parts"]) > 1:
        a_set_up(form, dice)
    elif more == "stay":
        with_windows(form, number)
    return form


def unlike_hand(number: int) -> Form:
    """A small random cell for lots of one arm with one gripper, in which each part may go to either of two machines,
    whose buffers are not the same; handling takes its hold only."""
    dice = Random(f"unlike hand {number}")
    form = small_lots(number)
    for row in form["handling"]:
        row |= {kind: {"hold_s": row[kind]["hold_s"]} for kind in ("pick", "place") if kind in row}
    for part in form["parts"].values():
        times = {name: dice.randint(0, 40) for name in ("m1", "m2")}
        part["route"] = [{"at": ["raw"]}, {"at": ["m1", "m2"], "time_s": times}, {"at": ["done"]}]
    unlike_queues(form, dice)
    return form


def unlike_queues(form: Form, dice: Random) -> None:
    """Two machines with unlike buffers."""
    shapes = dice.sample(QUEUES, 2)
    while len({(before != 0, behind != 0) for before, behind in shapes}) == 1:
        shapes = dice.sample(QUEUES, 2)
    for name, (before, behind) in zip(("m1", "m2"), shapes, strict=True):
        form["stations"][name] |= {"in_queue": before, "out_queue": behind}
