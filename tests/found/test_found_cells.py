"""Cells whose simulation once was wrong; soak runs keep what they find here, with what was wrong in `found`."""

import json
from pathlib import Path

import pytest

from tests.whole_cells import outcome

FOUND = sorted(Path(__file__).parent.glob("cell_*.json"))


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.stem)
def test_a_cell_that_went_wrong_once_is_simulated(path: Path) -> None:
    """Every part, second and stock is accounted for, in slices and in one piece; and it ends as it should."""
    kept = json.loads(path.read_text("utf-8"))
    ended = outcome(kept["cell"], kept["hours"], kept["cuts"])

    assert ended == kept.get("ends", ended)
    assert kept["found"]
