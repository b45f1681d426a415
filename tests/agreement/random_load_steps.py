"""Small random cells whose machine has loads of two at several steps of a route, or of several types."""

from random import Random

from tests.solvers.kernel.shop import Form, arm_cell


def load_steps_form(number: int, *, hands: int | None = None) -> Form:
    """The random cell of this number: an arm, a machine with loads of two, and a stand or a second machine."""
    dice = Random(f"load steps {number}")
    count = hands or dice.choice([1, 1, 2])
    form = arm_cell(1, hands=count, way_s=dice.choice([0, 1, 4]))
    form["attendants"]["arm"]["turn_s"] = dice.choice([0, 2])
    form["stations"]["m1"]["batch"] = 2
    machine = form["handling"][2]
    if count == 1 or dice.random() < 0.4:
        machine.pop("swap", None)
    for kind in [each for each in ("pick", "place", "swap") if each in machine]:
        machine[kind] = {"hold_s": dice.randint(1, 9), "tail_s": dice.choice([0, 0, 3])}
    ends = ({"at": ["raw"]}, {"at": ["done"]})
    if number % 2:
        form["stations"]["stand"] = {"kind": "store", "place": "m1", "capacity": dice.choice([2, 3, None])}
        form["handling"].append({"who": ["arm"], "at": ["stand"], "pick": {"hold_s": 2}, "place": {"hold_s": 3}})
        steps = [{"at": ["m1"], "time_s": dice.randint(5, 80)}, {"at": ["stand"]}]
        form["parts"] = {"part": {"route": [ends[0], *steps, {"at": ["m1"], "time_s": dice.randint(5, 80)}, ends[1]]}}
    else:
        form["parts"] = {
            name: {"share": 0.5, "route": [ends[0], {"at": ["m1"], "time_s": dice.randint(5, 80)}, ends[1]]}
            for name in ("bolt", "arbor")
        }
        if dice.random() < 0.4:
            beside(form, dice)
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def beside(form: Form, dice: Random) -> None:
    """A machine for one part behind the first one, for one of the types."""
    form["stations"]["m2"] = {"kind": "process", "place": "m1"}
    form["handling"][2]["at"] = ["m1", "m2"]
    form["parts"]["bolt"]["route"].insert(2, {"at": ["m2"], "time_s": dice.randint(5, 60)})
