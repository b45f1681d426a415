"""study.json: canonical bytes, one map of facts, and a schema that lets nothing else through."""

import dataclasses
import json
import math
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from millhand.errors import ToolError
from millhand.model.canonical import canonical, content_hash
from millhand.report.study_json import cell_file, study_as_json
from millhand.report.study_schema import hint_schema, study_schema
from tests.report.fixture_study import ARM, LIGHT, study

PUBLISHED = Path(__file__).resolve().parents[2] / "docs" / "schema" / "study.json"


def written() -> dict[str, Any]:
    """The fixture study as a reader of its file gets it."""
    loaded: dict[str, Any] = json.loads(study_as_json(study()))
    return loaded


def errors(value: object) -> list[str]:
    """What the schema has against a value."""
    return [error.message for error in jsonschema.Draft202012Validator(study_schema()).iter_errors(value)]


def test_the_same_study_gives_the_same_bytes() -> None:
    """Written twice, and once more after a fresh making, the text is the same and ends on one newline."""
    text = study_as_json(study())

    assert text == study_as_json(study.__wrapped__())
    assert text.endswith("}\n")
    assert "NaN" not in text
    assert "Infinity" not in text


def test_facts_stand_once_and_records_hold_their_ids() -> None:
    """No fact is written inside a record; each id that stands there is a key of one of the maps."""
    found = written()

    assert found["inquiry"]["people"]["wage_per_h"] == "people.wage"
    assert found["facts"]["people.wage"]["value"] == 27.5
    assert set(found["facts"]["people.wage"]) == {
        field.name for field in dataclasses.fields(study().facts["people.wage"])
    }
    assert found["inquiry"]["machines"][0]["kind"] in found["choices"]
    lines = found["results"][2]["estimate"]["lines"]
    assert all(line["amount"] in found["facts"] for line in lines)


def test_a_cell_is_named_by_hash_and_file() -> None:
    """The hash is the one that performance and schedule name; a concept that fell has none."""
    results = {result["concept"]["id"]: result for result in written()["results"]}

    assert results[ARM]["cell"] == {"hash": results[ARM]["performance"]["cell"], "file": f"cells/{ARM}.json"}
    assert results["today"]["cell"]["hash"] == content_hash(study().results[0].cell)
    assert results[LIGHT]["cell"] is None


def test_a_figure_that_only_a_component_holds_is_on_the_map() -> None:
    """A component's figure that no formula used can be looked up too; a contradiction is our own failure."""
    whole = study()
    fact = next(iter(whole.results[2].concept.arm.figures.values()))  # type: ignore[union-attr]
    without = {key: value for key, value in whole.facts.items() if key != fact.id}

    text = study_as_json(dataclasses.replace(whole, facts=without))

    assert fact.id in json.loads(text)["facts"]
    changed = {**whole.facts, fact.id: dataclasses.replace(fact, value=1.0)}
    with pytest.raises(ToolError, match=r"two different facts under the id catalogue\.fenced_20"):
        study_as_json(dataclasses.replace(whole, facts=changed))


@pytest.mark.parametrize("name", ["../out", "a/b", "", ".hidden", "a\n"])
def test_a_concept_id_that_would_leave_the_folder_is_refused(name: str) -> None:
    """Ids come from data files too; one that is no plain file name is not written."""
    with pytest.raises(ToolError, match="cannot name a file"):
        cell_file(name)


def test_the_study_fits_its_schema() -> None:
    """The schema itself is right, and the fixture study passes it."""
    jsonschema.Draft202012Validator.check_schema(study_schema())

    assert errors(written()) == []


def test_the_published_schema_is_this_one() -> None:
    """docs/schema/study.json holds what the records say now."""
    assert PUBLISHED.read_text(encoding="utf-8") == canonical(study_schema())


BROKEN = [
    (("format",), "millhand-study/1", "was expected"),
    (("seed",), "seven", "is not of type 'integer'"),
    (("facts", "people.wage", "basis"), "guessed", "is not one of"),
    (("facts", "people.wage", "colour"), "red", "Additional properties are not allowed"),
    (("decision", "answer"), "maybe", "is not one of"),
    (("results", 2, "cell", "hash"), "12", "does not match"),
    (("inquiry", "people", "wage_per_h"), 27.5, "is not of type 'string'"),
    (("results", 2, "case", "rows", 0, "year"), 0.5, "is not of type 'integer'"),
]


@pytest.mark.parametrize(("path", "value", "words"), BROKEN, ids=lambda value: str(value)[:40])
def test_the_schema_refuses_what_a_study_never_says(path: tuple[str | int, ...], value: object, words: str) -> None:
    """A wrong word, a wrong kind, a key too many: each is found."""
    broken: Any = written()
    place = broken
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value

    assert any(words in message for message in deep(broken)), deep(broken)


def deep(value: object) -> list[str]:
    """The messages of all errors, those inside alternatives too."""
    found = []
    waiting = list(jsonschema.Draft202012Validator(study_schema()).iter_errors(value))
    while waiting:
        error = waiting.pop()
        found.append(error.message)
        waiting += error.context or []
    return found


def test_the_schema_refuses_a_study_that_lacks_something() -> None:
    """Each key must be there: null says that a thing is absent."""
    broken = written()
    del broken["results"][2]["case"]["npv"]

    assert any("'npv' is a required property" in message for message in deep(broken))


def test_a_number_that_is_none_is_written_as_null() -> None:
    """Canonical JSON has no NaN; a schema for an unknown type is a failure at once."""
    assert json.loads(canonical({"a": math.inf})) == {"a": None}
    with pytest.raises(TypeError, match="has no place in a study"):
        hint_schema(set[str], {})
