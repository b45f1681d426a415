"""Every kind of wrong cell: broken in one place, refused in exact words; mended, it passes."""

import ast
import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from millhand.errors import InputErrors
from millhand.intake.cell import cell_from

EXAMPLES = Path("examples/cells")
BASES = {
    name: json.loads((EXAMPLES / f"{file}.json").read_text(encoding="utf-8"))
    for name, file in {
        "mills": "one_operator_two_mills",
        "arm": "one_arm_two_grippers",
        "hoist": "phillips_unger_1976",
        "arms": "two_arms_on_a_track",
    }.items()
}
CASES: list[dict[str, Any]] = json.loads(Path(__file__).with_name("cell_errors.json").read_text(encoding="utf-8"))
ABSENT = object()


def tokens(pointer: str) -> list[str]:
    """The keys of a JSON pointer."""
    return [token.replace("~1", "/").replace("~0", "~") for token in pointer[1:].split("/")]


def parent(data: Any, pointer: str) -> tuple[Any, Any]:
    """The container that a pointer leads into, and the key in it; missing objects on the way are made."""
    *way, last = tokens(pointer)
    for token in way:
        data = data[int(token)] if isinstance(data, list) else data.setdefault(token, {})
    return data, int(last) if isinstance(data, list) else last


def put(data: Any, pointer: str, value: Any) -> Any:
    """Set one value (ABSENT: take it out) and return what stood there."""
    inside, key = parent(data, pointer)
    old = inside[key] if (key < len(inside) if isinstance(inside, list) else key in inside) else ABSENT
    if value is ABSENT:
        del inside[key]
    elif isinstance(inside, list) and old is ABSENT:
        inside.append(value)
    else:
        inside[key] = value
    return old


def changes(case: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    """What a case does to its base, in order."""
    yield from ((pointer, ABSENT) for pointer in case["drop"])
    yield from copy.deepcopy(case["put"]).items()


@pytest.mark.parametrize("case", CASES, ids=[f"{i}-{case['code']}" for i, case in enumerate(CASES)])
def test_a_broken_cell_is_refused_in_exact_words_and_passes_when_mended(case: dict[str, Any]) -> None:
    """One break, these errors and no others; what stood there before makes the cell whole again."""
    data = copy.deepcopy(BASES[case["base"]])
    undo = [(pointer, put(data, pointer, value)) for pointer, value in changes(case)]

    with pytest.raises(InputErrors) as caught:
        cell_from(data)

    assert [str(error) for error in caught.value.errors] == case["says"]
    assert case["code"] in {error.code for error in caught.value.errors}
    for pointer, value in reversed(undo):
        inside, key = parent(data, pointer)
        if isinstance(inside, list) and (pointer in case["drop"]):
            inside.insert(key, value)
        else:
            put(data, pointer, value)
    cell_from(data)


def test_the_table_holds_at_least_a_hundred_kinds() -> None:
    """Each code of the loader and the checker has its row; the number only grows."""
    assert len({case["code"] for case in CASES}) >= 100


def codes_in(path: Path) -> Iterator[str]:
    """The codes that one module can give: the last argument of each error that it makes."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and len(node.args) == 4:
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            if name in {"InputError", "refused", "bad"} and isinstance(node.args[-1], ast.Constant):
                yield str(node.args[-1].value)


def test_every_code_in_the_source_has_a_row_or_a_test_of_its_own() -> None:
    """A new kind of error cannot come without its words being tested."""
    bytes_level = {"unreadable", "too_large", "too_deep", "not_json", "key_twice", "byte_order_mark", "not_utf8"}
    only_in_records = {"axis_left", "not_finite"}
    modules = [*Path("src/millhand/intake").glob("cell*.py"), Path("src/millhand/intake/upgrade/chain.py")]
    found = {code for module in modules for code in codes_in(module)}

    assert found - {case["code"] for case in CASES} == bytes_level | only_in_records
