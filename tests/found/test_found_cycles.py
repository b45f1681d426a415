"""Cells for which a cycle was built that the validator refused, or that it refused without need; `found` says what was
wrong, and each period is what is found now."""

import json
from pathlib import Path

import pytest

from millhand.errors import Contradiction, NotYet
from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking import validate
from millhand.solvers.cycle.effort import Effort

FOUND = sorted(Path(__file__).parent.glob("cycle_*.json"))


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.stem)
def test_a_cell_whose_cycle_was_refused_has_one_that_passes(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No cycle that is built for it is refused, and the best one has the known period; or it is said in words why
    there is none."""
    kept = json.loads(path.read_text("utf-8"))
    refused: list[str] = []

    def checked(cell: Cell, found: Schedule) -> list[str]:
        wrong = validated(cell, found)
        refused.extend(wrong)
        return wrong

    effort = Effort(most_sets=kept.get("sets", 1), deterministic=kept.get("work", Effort().deterministic))
    validated = validate.violations
    monkeypatch.setattr(validate, "violations", checked)
    try:
        made = best_cycle(cell_from(kept["cell"]), effort=effort)
        told: object = [made.period_steps, made.parts_per_period]
    except (Contradiction, NotYet) as words:
        told = str(words)

    assert refused == []
    assert told == kept["tells"]
    assert kept["found"]
