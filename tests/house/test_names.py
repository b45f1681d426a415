"""Names are nouns of the trade; nothing is called a helper, and nothing passes arguments through unseen."""

import re
from collections.abc import Iterator
from pathlib import Path

from tests.house.source_text import (
    SOURCE,
    Function,
    classes,
    files,
    functions,
    is_public,
    named_parts,
    over_each,
    short,
)

EMPTY_WORDS = {"calculate", "util", "utils", "helper", "helpers", "manager", "engine"}
BASES_FOR_ALL = {"Protocol", "Enum", "StrEnum", "IntEnum", "Exception"}


def words(name: str) -> set[str]:
    """The words of a name, however they are joined.

    >>> sorted(words("CalculateTime_s"))
    ['calculate', 's', 'time']
    """
    return {word.lower() for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])|\d+", name)}


def names(path: Path) -> Iterator[str]:
    """What a file is called and what it calls its functions and classes."""
    yield from path.relative_to(SOURCE).with_suffix("").parts
    yield from (function.name for function in functions(path))
    yield from (record.name for record in classes(path))


@over_each(files(SOURCE))
def test_names_say_something(path: Path) -> None:
    """No file, function or class is named by a word that says nothing."""
    empty = sorted(name for name in names(path) if words(name) & EMPTY_WORDS)

    assert not empty, f"{short(path)}: {empty}"


def test_words_of_a_name() -> None:
    """Joined in either way, a word is found; inside another word it is not."""
    assert words("TimeManager") & EMPTY_WORDS
    assert words("calculate_time_s") & EMPTY_WORDS
    assert not words("engineer_managerial") & EMPTY_WORDS


@over_each(files(SOURCE))
def test_no_public_function_passes_unnamed_arguments(path: Path) -> None:
    """`**kwargs` hides what a function wants; only `apply` takes a formula's inputs that way: trace's, and those of
    a stage's scope that hand them on to it under the scope's own ids."""
    hiding = [
        name
        for name, part in named_parts(path)
        if isinstance(part, Function) and is_public(name) and part.args.kwarg is not None
    ]
    allowed = path == SOURCE / "trace.py" or SOURCE / "stages" in path.parents

    assert [name for name in hiding if not (allowed and name.rpartition(".")[2] == "apply")] == [], short(path)


def own_bases() -> dict[str, set[str]]:
    """Every own class with the names of its bases."""
    found: dict[str, set[str]] = {}
    for path in files(SOURCE):
        for record in classes(path):
            found[record.name] = {base.id for base in record.bases if hasattr(base, "id")}
    return found


def test_own_classes_do_not_inherit_from_each_other() -> None:
    """Only protocols, enumerations and exceptions form families."""
    bases = own_bases()

    def is_family(name: str) -> bool:
        return bool(bases.get(name, set()) & BASES_FOR_ALL) or any(map(is_family, bases.get(name, set())))

    heirs = {name: own for name, of in bases.items() if (own := {base for base in of if base in bases}) and
             not all(map(is_family, own))}  # fmt: skip

    assert not heirs
