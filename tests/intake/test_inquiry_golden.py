"""The golden inquiry of the first format: read for ever as it was read first."""

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from millhand.catalogue.assumptions import assumptions, of_row
from millhand.intake.inquiry import read_inquiry
from millhand.model.canonical import canonical, plain
from millhand.model.fact import Assumption

GOLDEN = Path(__file__).resolve().parents[1] / "golden"


def untitled(value: Any) -> Any:
    """The same without titles: what a fact is called may be worded better without changing what it means."""
    if isinstance(value, dict):
        return {key: untitled(each) for key, each in value.items() if key != "title"}
    return [untitled(each) for each in value] if isinstance(value, list) else value


def without_later(value: Any, kept: Any) -> Any:
    """The same without fields that came later and that this file does not give, and without words that a set got later.

    An addition keeps the number of the format; a word that was taken out of a set shows.
    """
    if isinstance(value, dict) and isinstance(kept, dict):
        return {
            key: [word for word in each if word in kept[key]]
            if key == "options" and key in kept
            else without_later(each, kept.get(key))
            for key, each in value.items()
            if key in kept or not (each in (None, [], {}) or is_assumed(each))
        }
    if isinstance(value, list) and isinstance(kept, list) and len(value) == len(kept):
        return [without_later(*pair) for pair in zip(value, kept, strict=True)]
    return value


def is_assumed(value: Any) -> bool:
    """Whether this is a fact that nobody gave, or a table of nothing else."""
    if not isinstance(value, dict):
        return False
    entries = [each for each in value.values() if each not in (None, [], {})]
    return value.get("basis") == "assumed" or ("basis" not in value and all(map(is_assumed, entries)))


def then(name: str) -> dict[str, Assumption]:
    """The assumptions of the time of a golden file, and today's for what nobody asked about then."""
    with (GOLDEN / name).open(encoding="utf-8", newline="") as stream:
        found = {row["key"]: of_row(row) for row in csv.DictReader(stream)}
    known = {key.partition("@")[0] for key in found}
    return found | {key: row for key, row in assumptions().items() if key.partition("@")[0] not in known}


@pytest.mark.parametrize(
    "name",
    [
        "inquiry_1",
        "inquiry_1_feeding",
        "inquiry_1_freed",
        "inquiry_1_people",
        "inquiry_1_readings",
        "inquiry_1_part_list",
    ],
)
def test_a_golden_inquiry_is_read_as_ever(name: str) -> None:
    """Byte for byte, with the assumptions of its own time: a change of meaning wants a new format and an upgrade."""
    kept = (GOLDEN / f"{name}.canonical.json").read_text(encoding="utf-8")

    read = untitled(plain(read_inquiry(GOLDEN / f"{name}.yaml", then(f"{name}_assumptions.csv"))))

    assert canonical(without_later(read, json.loads(kept))) == kept
