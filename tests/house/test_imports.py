"""Imports point down only, and each layer stays what it is."""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.house.source_text import SOURCE, files, functions, over_each, short, tree

LAYERS = (
    "errors run",
    "compiling",
    "model formulas",
    "trace solvers intake catalogue",
    "stages",
    "phased",
    "road sweep safety",
    "study servicing tending together safeguarding sizing comparing maps stood ahead",
    "beside part_mix offering whatif",
    "whole",
    "front report store cluster cache",
    "web",
    "cli",
)
RANK = {name: rank for rank, names in enumerate(LAYERS) for name in names.split()}
MODULES = [path for path in files(SOURCE) if path.parent != SOURCE or path.stem not in ("__init__", "__main__")]

# What a tier that only computes has no business with: printing, logging, files, clocks, environment, global chance.
PURE = ("formulas", "model", "solvers", "stages")
IMPURE_MODULES = {
    *("datetime", "logging", "os", "sys", "io", "pathlib", "tempfile", "shutil", "subprocess", "socket"),
    *("time", "random", "secrets", "threading", "importlib"),
}
IMPURE_CALLS = {"print", "open", "input", "breakpoint"}
IMPURE_ATTRIBUTES = {"now", "utcnow", "read_text", "read_bytes", "write_text", "write_bytes", "environ"}


def place(dotted: str) -> str:
    """The place of a module below `millhand`: its package; each stage is a place of its own, feasibility is one."""
    parts = dotted.split(".")
    return ".".join(parts[:2]) if parts[0] == "stages" else parts[0]


def dotted_name(path: Path) -> str:
    """The module's name below `millhand`."""
    parts = path.relative_to(SOURCE).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


def imports(path: Path) -> Iterator[str]:
    """Every module that a file imports."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.ImportFrom):
            yield node.module or ""
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


def own_imports(path: Path) -> set[str]:
    """The own modules that a file imports, as names below `millhand`."""
    return {name.removeprefix("millhand.") for name in imports(path) if name.startswith("millhand.")}


def in_tier(*tiers: str) -> list[Path]:
    """The modules of these packages."""
    return [path for path in MODULES if place(dotted_name(path)).partition(".")[0] in tiers]


@over_each(MODULES)
def test_imports_point_down(path: Path) -> None:
    """A module imports only from its own place and from the layers below it."""
    own = place(dotted_name(path))
    level = RANK[own.partition(".")[0]]

    too_high = {name for name in map(place, own_imports(path)) if name != own and RANK[name.partition(".")[0]] >= level}

    assert not too_high, f"{short(path)} imports {sorted(too_high)}; {own} may only look down"


@over_each(files(SOURCE))
def test_own_code_is_imported_by_its_full_name_from_a_module(path: Path) -> None:
    """`from millhand.x.y import z`, never `import millhand.x`, never by dots, never out of the bare package."""
    bad = [
        ast.unparse(node)
        for node in ast.walk(tree(path))
        if (isinstance(node, ast.ImportFrom) and (node.level or node.module == "millhand"))
        or (isinstance(node, ast.Import) and any(name.name.partition(".")[0] == "millhand" for name in node.names))
    ]

    assert not bad, f"{short(path)}: {bad}"


@over_each(files(SOURCE))
def test_own_code_is_imported_at_module_level(path: Path) -> None:
    """No import of own code hides inside a function, but for the loops, whose compiler costs a second to load."""
    hidden = {
        f"{function.name}: {ast.unparse(node)}"
        for function in functions(path)
        for node in ast.walk(function)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("millhand")
    }

    allowed = path in {SOURCE / "solvers" / name / "running.py" for name in ("kernel", "cashflow")} | {
        SOURCE / "solvers" / "pose" / "compiled.py"
    }
    assert allowed or not hidden, f"{short(path)}: {sorted(hidden)}"


@over_each(files(SOURCE))
def test_only_the_command_table_and_the_package_load_by_name(path: Path) -> None:
    """Loading a module by its name hides an import: only two files may."""
    allowed = {SOURCE / "cli" / "main.py", SOURCE / "__init__.py"}

    assert path in allowed or "import_module" not in path.read_text(encoding="utf-8"), short(path)


@over_each(in_tier("model"))
def test_model_knows_the_standard_library_and_one_other(path: Path) -> None:
    """Records need no library but annotated_types."""
    known = sys.stdlib_module_names | {"annotated_types", "millhand"}

    assert {name.partition(".")[0] for name in imports(path)} <= known, short(path)


@over_each(in_tier(*PURE))
def test_computing_tiers_have_no_side(path: Path) -> None:
    """formulas, model, solvers and stages print, log, read and remember nothing, and look at no clock."""
    found = {name for name in imports(path) if name.partition(".")[0] in IMPURE_MODULES}
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in IMPURE_CALLS:
            found.add(f"{node.func.id}()")
        elif isinstance(node, ast.Attribute) and node.attr in IMPURE_ATTRIBUTES:
            found.add(f".{node.attr}")
        elif isinstance(node, ast.Global):
            found.add(f"global {', '.join(node.names)}")

    assert not found, f"{short(path)} uses {sorted(found)}"


def test_places_are_told_apart() -> None:
    """Stages are places of their own; the checks of feasibility share one."""
    assert place("stages.timing") != place("stages.cells")
    assert place("stages.feasibility.reach") == place("stages.feasibility.payload")
    assert place("solvers.cycle.steady") == place("solvers.kernel.draws")
