"""The published JSON Schema of an inquiry: the one in the docs; it takes every good file and refuses wrong shapes."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from millhand.intake.inquiry_schema import inquiry_schema
from millhand.intake.yaml_tree import Listing, Node, Scalar, read_tree
from millhand.model.canonical import canonical

TOP = Path(__file__).resolve().parents[2]
VALIDATOR = Draft202012Validator(inquiry_schema())
GOOD = [
    TOP / "tests" / "data" / "dozen.yaml",
    TOP / "tests" / "data" / "long.yaml",
    TOP / "src" / "millhand" / "intake" / "data" / "inquiry_template.yaml",
    *sorted(TOP.glob("examples/*/inquiry.yaml")),
    *sorted(TOP.glob("tests/golden/inquiry_1*.yaml")),
    *sorted(TOP.glob("tests/broken/*/mended.yaml")),
]
# Kinds of broken files whose trouble is one of shape, which a schema can see.
OF_SHAPE = [
    "unknown_key", "unknown_top_key", "missing_key", "missing_group", "missing_format", "other_format", "no_unit",
    "unknown_word", "name_with_space", "no_shifts", "no_country", "list_for_table", "table_for_value", "long_form_key",
    "unknown_basis", "judged_without_reason", "not_finite", "readings_and_time", "readings_other_file",
    "no_element_time",
]  # fmt: skip


def as_editors_see_it(node: Node) -> Any:
    """The tree as an editor hands it to a schema: plain numbers as numbers, everything else as text."""
    if isinstance(node, Scalar):
        is_number = node.plain and re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", node.text)
        return float(node.text) if is_number else node.text
    if isinstance(node, Listing):
        return [as_editors_see_it(item) for item in node.items]
    return {key: as_editors_see_it(value) for key, value in node.entries.items()}


def test_the_schema_is_a_schema() -> None:
    """Draft 2020-12 takes it."""
    Draft202012Validator.check_schema(inquiry_schema())


def test_the_published_copy_is_the_schema() -> None:
    """docs/schema/inquiry.json is written by `millhand schema inquiry` and kept equal."""
    published = (TOP / "docs" / "schema" / "inquiry.json").read_text(encoding="utf-8")

    assert published == canonical(inquiry_schema())
    assert json.loads(published)["title"] == "millhand-inquiry/1"


@pytest.mark.parametrize("path", GOOD, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_good_file_is_valid(path: Path) -> None:
    """Examples, templates and mended files."""
    VALIDATOR.validate(as_editors_see_it(read_tree(path)))


@pytest.mark.parametrize("kind", OF_SHAPE)
def test_what_is_wrong_in_shape_is_refused(kind: str) -> None:
    """An editor underlines it while it is written."""
    tree = read_tree(TOP / "tests" / "broken" / kind / "broken.yaml")

    assert not VALIDATOR.is_valid(as_editors_see_it(tree))
