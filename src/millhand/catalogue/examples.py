"""The examples: invented shops whose inquiries run, in the checkout that this installation comes from."""

import difflib
from collections.abc import Mapping
from pathlib import Path

from millhand.errors import InputError, ToolError

INQUIRY = "inquiry.yaml"
MADE_BY_US = ("expected.json",)


def examples_folder() -> Path | None:
    """The folder `examples` beside the sources; None where only the package was installed."""
    found = Path(__file__).resolve().parents[3] / "examples"
    return found if found.is_dir() else None


def examples() -> Mapping[str, Path]:
    """The folders of all examples by name; none where only the package was installed."""
    folder = examples_folder()
    return {path.parent.name: path.parent for path in sorted(folder.glob(f"*/{INQUIRY}"))} if folder else {}


def example_folder(name: str, where: str) -> Path:
    """The folder of the example of that name; `where` it was named."""
    known = examples()
    if not known:
        raise ToolError(
            "the examples are part of the source checkout, and this installation has none; 'millhand new DIR' without "
            "--example needs none.", code="no_examples",
        )  # fmt: skip
    if name not in known:
        near = difflib.get_close_matches(name, known, n=1, cutoff=0.3)
        write = f"one of {', '.join(known)}" + (f" (did you mean {near[0]!r}?)" if near else "")
        raise InputError(where, name, write, "unknown_example")
    return known[name]


def files_of_example(folder: Path) -> tuple[str, ...]:
    """The paths in an example's folder of what belongs to its inquiry, itself among them."""
    found = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    return tuple(name for name in found if name not in MADE_BY_US)
