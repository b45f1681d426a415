"""A part list beside a cell in words and rows, for every face alike."""

from collections.abc import Iterator, Sequence

from millhand.model.part_list import ListedPart, PartList
from millhand.model.part_mix import NOT_SERVED, LeftPart, Means, PartFamily, PartMix
from millhand.model.study import Study
from millhand.report.comparison import opening, spoken
from millhand.report.tables import Value, table
from millhand.report.tongue import Tongue
from millhand.report.view import tick

FEW = 12  # rows of each table of the page
HEAD = ("row", "part", "family", "fingers", "insert", "left_to_people_for", "words", "demand", "limit", "unit",
        "machine_h_per_y")  # fmt: skip
PART_HEADS = ("part", "shape", "mm", "kg", "min each", "a year", "lot", "machines")
LIST_CHECKS = {  # reasons that are no check of a concept
    "route": "machine",
    "grip": "grip",
    "rule": "how it is held",
    "pockets": "places of the presenter",
}


def part_cells(each: ListedPart) -> tuple[str, ...]:
    """One part of a list as it was understood, under PART_HEADS."""
    sides = (each.length_m, each.width_m) if each.shape == "round" else (each.length_m, each.width_m, each.height_m)
    size = " x ".join(tick(side * 1000.0) for side in sides)
    return (
        each.name, each.shape, size, tick(each.raw_mass_kg), tick(each.time_s / 60.0), tick(each.orders_per_y),
        tick(each.lot_size), ", ".join(each.machines),
    )  # fmt: skip


def part_mix_csv(study: Study) -> str:
    """Every part of the list: its family, what it needs, or why it is left to people; in SI."""
    mix, listed = study.part_mix, study.inquiry.part_list
    assert mix is not None
    assert listed is not None
    return table(HEAD, rows(mix, listed))


def rows(mix: PartMix, listed: PartList) -> Iterator[Sequence[Value]]:
    """One row a part, in the order of the list."""
    family = {row: each for each in mix.families for row in each.members}
    left = {each.row: each for each in mix.left}
    for part in listed.parts:
        own, out = family.get(part.row), left.get(part.row)
        needs = [one(own, kind) for kind in ("fingers", "insert")]
        reason: tuple[Value, ...] = (out.check, out.words, out.demand, out.limit, out.unit) if out else (None,) * 5
        yield (part.row, part.name, own.name if own else None, *needs, *reason, part.hours_h_per_y)


def one(family: PartFamily | None, kind: str) -> str | None:
    """The fingers or the insert of a family."""
    return next((name for name in family.means if name.startswith(kind)), None) if family else None


def said(name: str) -> str:
    """A set of fingers or an insert as a page calls it.

    >>> said("fingers_A"), said("insert_B")
    ('fingers A', 'insert B')
    """
    return name.replace("_", " ")


def told(name: str, language: Tongue) -> str:
    """The same in a language of the page, its letter behind it.

    >>> from millhand.report.tongue import tongue
    >>> told("fingers_A", tongue("en"))
    'fingers A'
    """
    kind, _, letter = name.partition("_")
    return f"{language.term(kind)} {letter}"


def strange(left: LeftPart) -> str:
    """The machines that a part needs and the cell does not serve, as the list names them."""
    return left.words.removeprefix(NOT_SERVED)


def means_named(mix: PartMix, name: str) -> Means:
    """The set of fingers or the insert of that name."""
    return next(each for each in mix.means if each.name == name)


def reason(left: LeftPart) -> str:
    """The limit that a part misses, in a few words."""
    return opening(LIST_CHECKS.get(left.check) or spoken(left.check))


def held(family: PartFamily) -> str:
    """How the parts of a family are held: 'prismatic, from outside'."""
    return f"{family.shape}, {'inside a bore' if family.grip == 'inside' else 'from outside'}"
