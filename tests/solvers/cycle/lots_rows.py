"""Lots through machines in a row, in their file form: one arm, holds of 5 s, ways of 4 s."""

from tests.solvers.kernel.shop import Form, arm_cell


def row_form(times_s: list[list[int]], *, size: int, hands: int = 1, supplies: int = 1) -> Form:
    """Part types of so many parts each, a list of the machines' times for each type; they come from one supply, lot
    after lot, or from one each."""
    form: Form = arm_cell(len(times_s[0]), hands=hands) | {"goal": "makespan", "grid_s": 1}
    form["parts"] = {}
    for number, times in enumerate(times_s):
        raw = f"raw{number + 1}" if supplies > 1 and number else "raw"
        form["stations"][raw] = form["stations"]["raw"]
        form["handling"][0]["at"] = [name for name in form["stations"] if name.startswith("raw")]
        steps = [{"at": [f"m{at + 1}"], "time_s": time} for at, time in enumerate(times)]
        route = [{"at": [raw]}, *steps, {"at": ["done"]}]
        form["parts"][f"part{number + 1}"] = {"lot": {"size": size}, "route": route}
    return form
