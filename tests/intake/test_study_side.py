"""A study in a folder as one side of a comparison: what is looked at, and which cells stand beside it."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from millhand.intake.study_side import cells_beside, side_of, subject_in

TOP = Path(__file__).resolve().parents[2]
GOLDEN = TOP / "tests" / "golden" / "study_2.json"


def result(name: str, *, bound: str = "bound", file: str = "cells/a.json") -> dict[str, Any]:
    """What a study says of one concept, as far as its cell goes."""
    return {"concept": {"id": name}, "performance": {"bound_loads_per_h": bound}, "cell": {"hash": "0", "file": file}}


def test_cells_are_taken_where_they_stand_and_can_be_read(tmp_path: Path) -> None:
    """One is there; one is missing, one is no cell of this version, one concept has no bound, one no cell."""
    (tmp_path / "cells").mkdir()
    shutil.copyfile(TOP / "examples" / "cells" / "one_arm_two_grippers.json", tmp_path / "cells" / "a.json")
    (tmp_path / "cells" / "old.json").write_text('{"format": "millhand-cell/9"}', encoding="utf-8")
    results = [
        result("there", bound="one"), result("missing", file="cells/none.json"), result("old", file="cells/old.json"),
        result("unbound", bound=""), {"concept": {"id": "fallen"}, "performance": None, "cell": None},
    ]  # fmt: skip

    found = dict(cells_beside({"results": results}, tmp_path))
    assert list(found) == ["one"]
    assert "m3" in found["one"].stations


@pytest.mark.parametrize(
    ("winner", "priced", "subject"),
    [("a", {"a", "b"}, "a"), ("today", {"a", "b"}, "b"), ("today", {"a"}, "a"), ("today", set(), None)],
)
def test_the_winner_is_looked_at_else_the_best_with_a_case(winner: str, priced: set[str], subject: str | None) -> None:
    """By place; what fell has none, and where nothing has a case nothing is looked at."""
    ranking = [{"concept": "a", "place": 3}, {"concept": "today", "place": 1}, {"concept": "b", "place": 2},
               {"concept": "c", "place": None}]  # fmt: skip

    assert subject_in({"decision": {"winner": winner, "ranking": ranking}}, priced) == subject


def test_facts_and_words_come_back_as_they_were_written() -> None:
    """Inputs as pairs, options as words, in the order of the file."""
    side = side_of(GOLDEN)
    told = json.loads(GOLDEN.read_text(encoding="utf-8"))

    assert list(side.facts) == list(told["facts"])
    npv = side.facts[side.priced[-1].npv]
    assert npv.inputs[0][0] == "flows_money[]"
    assert npv.formula == "present_worth"
    assert side.choices["people.tend"].options[0] == "own"
    assert (side.winner, side.subject, side.seed) == (told["decision"]["winner"], side.winner, told["seed"])
