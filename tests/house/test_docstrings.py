"""Everything that has a name says in one sentence what it is."""

import ast
from pathlib import Path

from tests.house.source_text import (
    SOURCE,
    TESTS,
    TOP,
    files,
    functions,
    is_public,
    named_parts,
    over_each,
    short,
    text,
    tree,
)

WRITTEN = [path for path in files(SOURCE) if text(path).strip()]
CHECKED = [path for path in [*files(TESTS), TOP / "benchmarks" / "run.py"] if text(path).strip()]


@over_each(WRITTEN)
def test_every_module_and_public_part_has_a_docstring(path: Path) -> None:
    """Module, public functions, classes and methods."""
    silent = [name for name, part in named_parts(path) if is_public(name) and not ast.get_docstring(part)]
    if not ast.get_docstring(tree(path)):
        silent.insert(0, "the module")

    assert not silent, f"{short(path)}: {silent}"


@over_each(CHECKED)
def test_every_test_says_what_holds(path: Path) -> None:
    """Each test and each test file has a docstring."""
    silent = [part.name for part in functions(path) if part.name.startswith("test_") and not ast.get_docstring(part)]
    if not ast.get_docstring(tree(path)):
        silent.insert(0, "the module")

    assert not silent, f"{short(path)}: {silent}"
