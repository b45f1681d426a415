"""Small random cells with loads of several parts: one machine or two alike, one attendant with one to three hands."""

import random
from typing import Any

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell


def loads_cell(number: int) -> Cell:
    """The cell of a number; whole seconds."""
    draw = random.Random(f"loads {number}")
    hands, machines, batch = draw.randint(1, 3), draw.choice((1, 1, 2)), draw.choice((2, 2, 3))
    names = [f"m{each + 1}" for each in range(machines)]
    sink = draw.choice(("in", "out"))
    known = list(dict.fromkeys(["in", *names, sink]))
    table = [[0 if a == b else draw.randint(1, 9) for b in known] for a in known]
    return cell_from(
        {
            "format": "millhand-cell/1",
            "name": f"loads {number}",
            "grid_s": 1,
            "goal": "rate",
            "places": {name: {} for name in known},
            "stations": {
                "raw": {"kind": "supply", "place": "in", "capacity": None},
                **{name: {"kind": "process", "place": name, "batch": batch} for name in names},
                "done": {"kind": "sink", "place": sink, "capacity": None},
            },
            "attendants": {
                "arm": {"kind": "arm", "hands": hands, "turn_s": draw.randint(0, 2), "home": "in", "moves": "arm"}
            },
            "moves": {"arm": {"places": known, "empty_s": table, "loaded_s": None}},
            "handling": [
                {"who": ["arm"], "at": ["raw"], "pick": {"hold_s": draw.randint(1, 5)}},
                {"who": ["arm"], "at": ["done"], "place": {"hold_s": draw.randint(1, 5)}},
                {"who": ["arm"], "at": names, **visits(draw, hands)},
            ],
            "parts": {
                "part": {"route": [{"at": ["raw"]}, {"at": names, "time_s": draw.randint(5, 80)}, {"at": ["done"]}]}
            },
        }
    )


def visits(draw: random.Random, hands: int) -> dict[str, Any]:
    """Lift and set-down at the machines, and with several hands mostly an exchange."""
    kinds = ["pick", "place"] + (["swap"] if hands > 1 and draw.random() < 0.7 else [])
    found: dict[str, Any] = {}
    for kind in kinds:
        found[kind] = {"hold_s": draw.randint(1, 9), "tail_s": draw.choice((0, 0, 3))}
        if draw.random() < 0.4:
            found[kind] |= {"lead_s": draw.randint(1, 4), "lead_on": draw.choice(("finish", "arrival"))}
    return found
