"""The published JSON Schema of a cell: it is the one in the docs, it takes every example, it refuses wrong shapes."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from jsonschema import Draft202012Validator

from millhand.intake.cell_schema import cell_schema
from millhand.model.canonical import canonical, plain
from millhand.model.cell import Cell
from millhand.model.written import as_written
from tests.cells_strategy import cell_forms, cells

EXAMPLES = sorted(Path("examples/cells").glob("*.json"))
VALIDATOR = Draft202012Validator(cell_schema())
CASES: list[dict[str, Any]] = json.loads(Path(__file__).with_name("cell_errors.json").read_text(encoding="utf-8"))


def test_the_schema_is_a_schema() -> None:
    """Draft 2020-12 takes it."""
    Draft202012Validator.check_schema(cell_schema())


def test_the_published_copy_is_the_schema() -> None:
    """docs/schema/cell.json is written by `millhand schema cell` and kept equal."""
    assert Path("docs/schema/cell.json").read_text(encoding="utf-8") == canonical(cell_schema())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_valid(path: Path) -> None:
    """Each cell file in examples/cells."""
    VALIDATOR.validate(json.loads(path.read_text(encoding="utf-8")))


@given(form=cell_forms())
def test_random_forms_are_valid(form: dict[str, Any]) -> None:
    """What the loader takes, the schema takes."""
    VALIDATOR.validate(form)


@given(cell=cells())
def test_what_is_written_is_valid(cell: Cell) -> None:
    """What as_written gives, the schema takes."""
    VALIDATOR.validate(plain(as_written(cell)))


SHAPES = {
    "missing_key", "unknown_key", "not_an_object", "not_a_list", "list_length", "not_a_number", "not_whole", "too_big",
    "outside_limits", "not_a_choice", "not_a_flag", "not_an_element", "missing_capacity", "id_pattern", "span_missing",
    "span_extra", "missing_format", "unknown_format", "newer_format",
}  # fmt: skip


@pytest.mark.parametrize(
    "case",
    [case for case in CASES if case["code"] in SHAPES],
    ids=lambda case: f"{case['code']}-{'-'.join([*case['drop'], *case['put']])}",
)
def test_wrong_shapes_are_refused_by_the_schema_too(case: dict[str, Any]) -> None:
    """Every break of form that the loader refuses."""
    base = {"mills": "one_operator_two_mills", "arm": "one_arm_two_grippers", "hoist": "phillips_unger_1976"}[
        case["base"]
    ]
    data = json.loads(Path(f"examples/cells/{base}.json").read_text(encoding="utf-8"))
    for pointer in case["drop"]:
        inside, key = parent(data, pointer)
        del inside[key]
    for pointer, value in case["put"].items():
        inside, key = parent(data, pointer)
        inside[key] = copy.deepcopy(value)

    assert not VALIDATOR.is_valid(data)


def parent(data: Any, pointer: str) -> tuple[Any, Any]:
    """The container that a pointer leads into, and the key in it."""
    *way, last = [token.replace("~1", "/").replace("~0", "~") for token in pointer[1:].split("/")]
    for token in way:
        data = data[int(token)] if isinstance(data, list) else data[token]
    return data, int(last) if isinstance(data, list) else last
