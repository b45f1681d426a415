"""Random cells whose machines have several slots or loads of several parts, often beside buffers of their own."""

from random import Random

from tests.solvers.kernel.shop import Form, arm_cell


def manifold_form(number: int) -> Form:
    """The random cell of this number: an arm and one machine, or two in a row, with nothing left to chance."""
    dice = Random(f"manifold {number}")
    form = arm_cell(1, hands=dice.choice([1, 1, 2]), time_s=dice.randint(0, 90), way_s=dice.choice([0, 1, 4]))
    form["attendants"]["arm"]["turn_s"] = dice.choice([0, 0, 2])
    machine = form["handling"][2]
    machine.pop("swap", None)
    for kind in ("pick", "place"):
        machine[kind] = {"hold_s": dice.randint(1, 9), "lead_s": dice.choice([0, 0, 2]), "tail_s": dice.choice([0, 3])}
    form["stations"]["m1"] |= many(dice)
    if dice.random() < 0.3:
        second(form, dice)
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def many(dice: Random) -> Form:
    """Slots, loads and buffers; two of them at least."""
    while True:
        found = {
            "capacity": dice.choice([1, 2, 2, 3]),
            "batch": dice.choice([1, 1, 2]),
            "in_queue": dice.choice([0, 0, 1, 2]),
            "out_queue": dice.choice([0, 0, 1, 2, None]),
        }
        buffers = found["in_queue"] != 0 or found["out_queue"] != 0
        if (found["capacity"] > 1) + (found["batch"] > 1) + buffers > 1:
            return found


def second(form: Form, dice: Random) -> None:
    """A plain machine behind the first one, or one with buffers."""
    form["places"]["m2"] = {}
    form["stations"]["m2"] = {"kind": "process", "place": "m2", "in_queue": dice.choice([0, 0, 1])}
    form["handling"][2]["at"] = ["m1", "m2"]
    ways = form["moves"]["ways"]
    way = max(max(row) for row in ways["empty_s"])
    ways["places"] = [*ways["places"], "m2"]
    ways["empty_s"] = [[0 if a == b else way for b in ways["places"]] for a in ways["places"]]
    form["parts"]["part"]["route"].insert(2, {"at": ["m2"], "time_s": dice.randint(0, 40)})
