"""Study files of every format number stay files of their number for ever."""

import json
from pathlib import Path

import jsonschema
import pytest

from millhand.model.study import STUDY_FORMAT
from millhand.report.study_schema import ADDED, study_schema

GOLDEN = Path(__file__).parent
SCHEMAS = GOLDEN.parents[1] / "docs" / "schema"
NUMBER = STUDY_FORMAT.rpartition("/")[2]


def test_the_newest_format_number_has_its_golden_file() -> None:
    """A new number cannot come without one."""
    assert json.loads((GOLDEN / f"study_{NUMBER}.json").read_text(encoding="utf-8"))["format"] == STUDY_FORMAT


def test_the_newest_golden_file_fits_the_schema_of_today() -> None:
    """What came later may be missing in it, and nothing else of it is refused."""
    kept = json.loads((GOLDEN / f"study_{NUMBER}.json").read_text(encoding="utf-8"))

    jsonschema.Draft202012Validator(study_schema()).validate(kept)


@pytest.mark.parametrize("number", [1])
def test_an_older_file_fits_the_schema_of_its_own_number(number: int) -> None:
    """The schema of each number stays published beside the newest one."""
    kept = json.loads((GOLDEN / f"study_{number}.json").read_text(encoding="utf-8"))
    schema = json.loads((SCHEMAS / f"study_{number}.json").read_text(encoding="utf-8"))

    assert schema["$id"] == kept["format"] == f"millhand-study/{number}"
    jsonschema.Draft202012Validator(schema).validate(kept)


def test_only_keys_that_are_in_the_record_and_were_not_in_the_golden_file_may_be_left_out() -> None:
    """The list of what was added holds no name that the schema does not know, and none that the golden file has."""
    kept = json.loads((GOLDEN / f"study_{NUMBER}.json").read_text(encoding="utf-8"))
    added = {name.removeprefix("Study.") for name in ADDED if name.startswith("Study.")}

    assert added <= set(study_schema()["properties"])
    assert not added & set(kept)
