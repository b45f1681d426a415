"""The project's own files, read and parsed once for all house tests."""

import ast
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

TOP = Path(__file__).resolve().parents[2]
SOURCE = TOP / "src" / "millhand"
TESTS = TOP / "tests"

Function = ast.FunctionDef | ast.AsyncFunctionDef


def over_each(values: Iterable[Any]) -> Callable[[Callable[[Any], None]], Callable[[], None]]:
    """One test over many values, thousands of files and formulas in all, where one test each would cost minutes. Each
    value is looked at, and all that do not pass are told."""

    def whole(test: Callable[[Any], None]) -> Callable[[], None]:
        def over_all() -> None:
            faults, seen = [], 0
            for value in values:
                seen += 1
                try:
                    test(value)
                except AssertionError as fault:
                    faults.append(f"{getattr(value, 'name', value)}: {fault}")
            assert seen, "nothing was looked at"
            assert not faults, "\n".join(faults)

        over_all.__name__, over_all.__doc__, over_all.__module__ = test.__name__, test.__doc__, test.__module__
        return over_all

    return whole


def files(top: Path) -> list[Path]:
    """The Python files below one folder, in order."""
    return sorted(top.rglob("*.py"))


def short(path: Path) -> str:
    """The path as the project writes it."""
    return path.relative_to(TOP).as_posix()


@cache
def text(path: Path) -> str:
    """The text of one file."""
    return path.read_text(encoding="utf-8")


@cache
def tree(path: Path) -> ast.Module:
    """The parsed text of one file."""
    return ast.parse(text(path), filename=str(path))


def functions(path: Path) -> Iterator[Function]:
    """Every function of a file, methods and inner ones too."""
    return (node for node in ast.walk(tree(path)) if isinstance(node, Function))


def classes(path: Path) -> Iterator[ast.ClassDef]:
    """Every class of a file."""
    return (node for node in ast.walk(tree(path)) if isinstance(node, ast.ClassDef))


def named_parts(path: Path) -> Iterator[tuple[str, Function | ast.ClassDef]]:
    """Functions and classes that others may use by name: those of the module, and the methods of its classes."""
    for node in tree(path).body:
        if isinstance(node, Function | ast.ClassDef):
            yield node.name, node
        if isinstance(node, ast.ClassDef):
            yield from ((f"{node.name}.{part.name}", part) for part in node.body if isinstance(part, Function))


def is_public(dotted: str) -> bool:
    """True where no part of the name begins with an underscore."""
    return not any(part.startswith("_") for part in dotted.split("."))


def decorated_by(node: Function | ast.ClassDef, name: str) -> bool:
    """True where one decorator is `name`, or a call or attribute of it."""
    found = (part for decorator in node.decorator_list for part in ast.walk(decorator))
    return any(isinstance(part, ast.Name) and part.id == name for part in found)
