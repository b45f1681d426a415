"""Arms as links and joints, out of a table with one row a joint; a shop's own table may lie over the built-in one.

Only arms whose closed form is known are taken: what each family asks of its rows is checked here, in words.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import cast, get_args

from millhand.catalogue.table import Row, number, table
from millhand.catalogue.words import DATA
from millhand.errors import InputError
from millhand.model.arm import Family, Joint, Linkage

LENGTHS = ("a_m", "d_m", "offset_rad", "low", "high", "speed", "accel")
COLUMNS = ("arm", "family", "joint", "alpha_quarters", "moves", *LENGTHS, "source")
FAMILIES = get_args(Family)
QUARTER_TURNS = {"-2": -2, "-1": -1, "0": 0, "1": 1, "2": 2}
# Quarter turns between the joints that a family may have, as its closed form needs them; of a sign either way.
QUARTERS: Mapping[Family, tuple[tuple[int, ...], ...]] = {
    "spherical_wrist": ((1, 0, 1, -1, 1, 0), (1, 0, 1, 1, -1, 0), (-1, 0, -1, 1, -1, 0), (-1, 0, -1, -1, 1, 0),
                        (1, 0, -1, 1, -1, 0), (1, 0, -1, -1, 1, 0), (-1, 0, 1, 1, -1, 0), (-1, 0, 1, -1, 1, 0)),
    "parallel_axes": ((1, 0, 0, 1, -1, 0),),
    "scara": ((0, 2, 0, 0), (0, 0, 0, 0)),
    "gantry": ((-1, -1, -1, 0),),
}  # fmt: skip
SLIDES: Mapping[Family, tuple[int, ...]] = {"scara": (3,), "gantry": (1, 2, 3)}
# Lengths that the closed form takes to be nothing: joint number and column.
NOTHING: Mapping[Family, tuple[tuple[int, str], ...]] = {
    "spherical_wrist": ((4, "a_m"), (5, "a_m"), (6, "a_m"), (5, "d_m")),
    "parallel_axes": ((1, "a_m"), (4, "a_m"), (5, "a_m"), (6, "a_m")),
    "scara": ((3, "a_m"), (4, "a_m")),
    "gantry": ((4, "a_m"),),
}


def arms(errors: list[InputError], paths: Sequence[Path] = (DATA / "arms.csv",)) -> dict[str, Linkage]:
    """Every arm of some tables by its id, of two alike the later one; without paths those that are built in."""
    found: dict[str, Linkage] = {}
    for path in paths:
        for name, rows in by_arm(table(path, COLUMNS, errors)).items():
            made = arm(name, rows, errors)
            if made is not None:
                found[name] = made
    return found


def by_arm(rows: tuple[Row, ...]) -> dict[str, list[Row]]:
    """The rows of each arm in their order."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(row.texts["arm"], []).append(row)
    return found


def arm(name: str, rows: list[Row], errors: list[InputError]) -> Linkage | None:
    """One arm; None where something about it is wrong."""
    before = len(errors)
    errors.extend(wrong_rows(rows))
    joints = [joint(row, errors) for row in rows]
    if len(errors) > before:
        return None
    family = cast(Family, rows[0].texts["family"])
    errors.extend(wrong_form(family, rows))
    if len(errors) > before:
        return None
    source = f"{rows[0].file}:{rows[0].line}, {rows[0].texts['source']}"
    return Linkage(id=name, family=family, joints=tuple(each for each in joints if each is not None), source=source)


def joint(row: Row, errors: list[InputError]) -> Joint | None:
    """One joint and the link behind it."""
    before = len(errors)
    read = {column: number(row, column, errors) for column in LENGTHS}
    for column in LENGTHS:
        if read[column] is None and len(errors) == before:
            errors.append(row.bad(column, "a number", "no_value"))
    if len(errors) > before:
        return None
    values = {column: value for column, value in read.items() if value is not None}
    if values["low"] >= values["high"]:
        errors.append(row.bad("low", f"less than high, which is {values['high']:g}", "range"))
    errors.extend(row.bad(each, "a number above 0", "not_positive") for each in ("speed", "accel") if values[each] <= 0)
    if len(errors) > before:
        return None
    quarter = QUARTER_TURNS.get(row.texts["alpha_quarters"], 0)
    return Joint(alpha_rad=quarter * math.pi / 2, slides=row.texts["moves"] == "slides", **values)


def wrong_rows(rows: list[Row]) -> Iterator[InputError]:
    """What is wrong with the words of an arm's rows."""
    for at, row in enumerate(rows, start=1):
        if row.texts["family"] not in FAMILIES or row.texts["family"] != rows[0].texts["family"]:
            yield row.bad("family", f"the same for all joints of the arm, one of {', '.join(FAMILIES)}", "family")
        if row.texts["joint"] != str(at):
            yield row.bad("joint", f"{at}: joints are numbered from the foot to the flange", "joint")
        if row.texts["moves"] not in ("turns", "slides"):
            yield row.bad("moves", "turns or slides", "moves")
        if row.texts["alpha_quarters"] not in QUARTER_TURNS:
            yield row.bad("alpha_quarters", "whole quarter turns: -2, -1, 0, 1 or 2", "alpha")


def wrong_form(family: Family, rows: list[Row]) -> Iterator[InputError]:
    """What keeps an arm from being solved by its family's closed form."""
    quarters = tuple(int(row.texts["alpha_quarters"]) for row in rows)
    if quarters not in QUARTERS[family]:
        known = "; ".join(" ".join(map(str, each)) for each in QUARTERS[family])
        yield rows[0].bad("family", f"alpha_quarters of all joints of a {family} arm: {known}", "form")
        return
    for at, row in enumerate(rows, start=1):
        slides = at in SLIDES.get(family, ())
        if (row.texts["moves"] == "slides") != slides:
            yield row.bad("moves", "slides" if slides else "turns", "form")
    for at, column in NOTHING[family]:
        if float(rows[at - 1].texts[column]) != 0.0:
            yield rows[at - 1].bad(column, f"0: in a {family} arm this length is nothing", "form")
