"""Cell files of every format number stay readable for ever, and mean what they always meant."""

import dataclasses
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from millhand.intake.cell import read_cell
from millhand.intake.upgrade.cell import CELL_UPGRADES
from millhand.model.canonical import canonical, content_hash
from millhand.model.written import as_written

GOLDEN = Path(__file__).parent
# A share belongs to the other goal; an axis is written out on loading.
ELSEWHERE = {"CellPart.share", "MoveTable.axis", "Cell.format"}


def test_every_format_number_has_its_golden_file() -> None:
    """A new number cannot come without one."""
    numbers = range(1, len(CELL_UPGRADES) + 2)

    assert all((GOLDEN / f"cell_{number}.json").is_file() for number in numbers)


def test_format_1_reads_as_the_cell_that_it_always_was() -> None:
    """To the last byte of the canonical text, which is what gets hashed."""
    cell = read_cell(GOLDEN / "cell_1.json")

    assert canonical(as_written(cell)) == (GOLDEN / "cell_1.canonical.json").read_text(encoding="utf-8")
    assert content_hash(as_written(cell)) == "164095a01066881b"


def test_the_canonical_text_is_a_cell_file_of_the_same_cell() -> None:
    """What --out writes beside a study can be fed back."""
    assert read_cell(GOLDEN / "cell_1.canonical.json") == read_cell(GOLDEN / "cell_1.json")


def records(value: Any) -> Iterator[Any]:
    """Every record inside a value, itself included."""
    if dataclasses.is_dataclass(value):
        yield value
        value = [getattr(value, each.name) for each in dataclasses.fields(value)]
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list | tuple):
        for item in value:
            yield from records(item)


def test_the_golden_file_of_format_1_uses_every_field() -> None:
    """Each field of each record has a value of its own somewhere in it, so that none can be lost unseen."""
    used, known = set(), set()
    for record in records(read_cell(GOLDEN / "cell_1.json")):
        for each in dataclasses.fields(record):
            default = each.default if each.default_factory is dataclasses.MISSING else each.default_factory()
            name = f"{type(record).__name__}.{each.name}"
            known.add(name)
            used |= {name} if getattr(record, each.name) != default else set()

    assert known - used == ELSEWHERE
