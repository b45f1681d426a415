"""The golden inquiry of the first format: read for ever as it was read first."""

import csv
from pathlib import Path
from typing import Any

from millhand.catalogue.assumptions import of_row
from millhand.intake.inquiry import read_inquiry
from millhand.model.canonical import canonical, plain

GOLDEN = Path(__file__).resolve().parents[1] / "golden"


def untitled(value: Any) -> Any:
    """The same without titles: what a fact is called may be worded better without changing what it means."""
    if isinstance(value, dict):
        return {key: untitled(each) for key, each in value.items() if key != "title"}
    return [untitled(each) for each in value] if isinstance(value, list) else value


def test_the_golden_inquiry_is_read_as_ever() -> None:
    """Byte for byte, with the assumptions of its own time: a change of meaning wants a new format and an upgrade."""
    with (GOLDEN / "inquiry_1_assumptions.csv").open(encoding="utf-8", newline="") as stream:
        then = {row["key"]: of_row(row) for row in csv.DictReader(stream)}

    read = canonical(untitled(plain(read_inquiry(GOLDEN / "inquiry_1.yaml", then))))

    assert read == (GOLDEN / "inquiry_1.canonical.json").read_text(encoding="utf-8")
