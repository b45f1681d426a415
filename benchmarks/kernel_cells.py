"""The reference cell as the figures need it: with any number of machines, with other numbers, without chance."""

import json
import random
from pathlib import Path
from typing import Any

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell

PATH = Path(__file__).with_name("reference") / "reference_cell.json"
Form = dict[str, Any]
SHIFT_S = 28_800


def reference_form() -> Form:
    """The cell as it stands in its file."""
    form: Form = json.loads(PATH.read_text(encoding="utf-8"))
    return form


def reference_cell() -> Cell:
    """The cell of the fixed opponents."""
    return cell_from(reference_form())


def with_machines(count: int) -> Cell:
    """The reference cell with more or fewer machines in a row, each 1.5 m and 1 s of way further on.

    With three machines it is the reference cell itself: a way takes 2 s, and 1 s for each place that it leads past.
    """
    form = reference_form()
    names = [f"m{number}" for number in range(1, count + 1)]
    places = ["p0", *(f"p{number}" for number in range(1, count + 1))]
    first = form["stations"]["m1"]
    others = {name: station for name, station in form["stations"].items() if name not in ("m1", "m2", "m3")}
    machines = {
        name: {"kind": "process", "place": place, "like": "m1"} for name, place in zip(names, places[1:], strict=True)
    }
    form["places"] = {place: {"track_m": 1.5 * at} for at, place in enumerate(places)} | {"front": {}}
    form["stations"] = {"drawers": others["drawers"]} | machines | {"m1": first} | others
    form["moves"]["floor_moves"] |= {
        "places": places,
        "empty_s": [[0 if a == b else 2 + abs(a - b) for b in range(count + 1)] for a in range(count + 1)],
    }
    form["handling"][3]["at"] = form["parts"]["flange"]["route"][1]["at"] = names
    return cell_from(form)


def in_a_larger_shape() -> Cell:
    """The reference cell with places where nobody ever is, so many that the kernel takes its next shape."""
    form = reference_form()
    form["places"] |= {f"empty{number}": {} for number in range(12)}
    return cell_from(form)


def concepts(count: int) -> list[Cell]:
    """Cells of the reference cell's structure with other numbers, attended in every shift of eight hours."""
    chance = random.Random(count)
    return [_concept(chance) for _ in range(count)]


def _concept(chance: random.Random) -> Cell:
    """Each number between two thirds and one and a half times what the reference cell has."""

    def other(value: float) -> float:
        return round(value * chance.uniform(2 / 3, 3 / 2), 3)

    form = reference_form()
    form["calendars"]["day"] |= {"period_s": SHIFT_S, "on": [[0, SHIFT_S]]}
    drawers, stop = form["stations"]["drawers"], form["stations"]["m1"]["faults"][0]["every"]
    drawers["capacity"] = drawers["start"] = round(other(80))
    stop["mean_s"] = other(stop["mean_s"])
    from_drawers, _, at_out, at_machines = form["handling"]
    from_drawers["pick"]["hold_s"], at_out["place"]["hold_s"] = other(4.5), other(4.5)
    from_drawers["miss"]["p"] = other(0.002)
    at_machines["place"]["hold_s"] = at_machines["swap"]["hold_s"] = other(18)
    machining, gauging = form["parts"]["flange"]["route"][1:3]
    machining["time_s"], gauging["time_s"] = other(120), other(12)
    for duty in ("clear", "refill"):
        form["duties"][duty]["takes"]["mean_s"] = other(form["duties"][duty]["takes"]["mean_s"])
    return cell_from(form)
